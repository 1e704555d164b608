package wire

import (
	"endfloat/service/fault"
	"endfloat/service/measure"
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
		bad.Add(at.Key("distribution").Fault("distribution_alone", "a distribution belongs to a limit of error", "send accuracy or accuracy_percent beside it, or leave it out"))
		return
	}
	switch {
	case shape == measure.Normal && !i.Level.Present():
		bad.Add(at.Key("level").Fault("missing_level", "a normal distribution has no limit", "send the share that ±accuracy covers, such as 0.95"))
	case shape != measure.Normal && i.Level.Present():
		bad.Add(at.Key("level").Fault("level_alone", "a level belongs to a normal distribution", `send "distribution": "normal" beside it, or leave it out`))
	case i.Level.Present():
		level, read := i.Level.Float(at.Key("level"), bad)
		if read && (level < 0.01 || level > 0.9999) {
			bad.Add(at.Key("level").Fault("out_of_range", "a level is a share of all cases", "send a number from 0.01 to 0.9999, such as 0.95"))
			return
		}
		out.Level = level
	}
}
