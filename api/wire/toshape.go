package wire

import (
	"endfloat/service/fault"
	"endfloat/service/measure"
	"endfloat/service/note"
)

// shape reads how the errors lie within a limit of error: the distribution stands beside accuracy or accuracy_percent,
// and a normal one names the share that the limits cover, from 0.01 to 0.9999.
func (i *InstrumentRequest) shape(out *measure.Instrument, at At, bad *fault.List) {
	words := measure.Distributions()
	shape, ok := Word(measure.Distribution(i.Distribution), at.Key("distribution"), bad, words...)
	if !ok {
		return
	}
	out.Shape = shape
	if shape != "" && !i.Accuracy.Present() && !i.AccuracyPercent.Present() {
		bad.Add(at.Key("distribution").Fault("distribution_alone", note.New("found_distribution_belongs_limit_error"), note.New("fix_send_accuracy_or_accuracy")))
		return
	}
	switch {
	case shape == measure.Normal && !i.Level.Present():
		bad.Add(at.Key("level").Fault("missing_level", note.New("found_normal_distribution_no_limit"), note.New("fix_send_share_accuracy_covers", note.Str("example", "0.95"))))
	case shape != measure.Normal && i.Level.Present():
		bad.Add(at.Key("level").Fault("level_alone", note.New("found_level_belongs_normal_distribution"), note.New("fix_send_distribution_normal_beside")))
	case i.Level.Present():
		level, read := i.Level.Float(at.Key("level"), bad)
		if read && (level < 0.01 || level > 0.9999) {
			bad.Add(at.Key("level").Fault("out_of_range", note.New("found_level_share_all_cases"), note.New("fix_send_number_such_as", note.Str("least", "0.01"), note.Str("most", "0.9999"), note.Str("example", "0.95"))))
			return
		}
		out.Level = level
	}
}
