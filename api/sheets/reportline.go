package sheets

import (
	"strings"

	"endfloat/api/judging"
	"endfloat/api/page"
	"endfloat/service/judge"
)

func (d *desk) reportLine(i int, w *Line, texts map[string]string) page.ReportLine {
	h, lang, x := d.h, d.r.Lang, &d.lines[i]
	out := page.ReportLine{Number: itoa(i + 1), Name: w.Name, Key: w.Spec, Verdict: w.Text, Found: d.stage(x, w.AsFound, x.req.AsFound), Built: d.stage(x, w.AsBuilt, x.req.AsBuilt),
		Cautions: own(w.Cautions, texts)}
	out.Found.Said = d.found(w.AsFound)
	if w.ID != out.Number {
		out.ID = w.ID
	}
	if w.Critical {
		out.Critical = h.book.Word(lang, "sheet_mark_critical")
	}
	switch {
	case w.Estimated:
		out.Mark = h.book.Word(lang, "sheet_mark_estimated")
	case !w.Decided:
		out.Mark = h.book.Word(lang, "sheet_mark_undecided")
	}
	if x.line != nil {
		s := x.line.Spec()
		shown := h.book.Display(lang, s)
		out.Limits = page.LimitsOf(shown.Summary, shown.Band)
		if s.LeftHand() {
			out.Left = h.book.Word(lang, "sheet_mark_left")
		}
	}
	d.notes(w, &out)
	return out
}

// pictureRoom is how many bytes the picture of a line mostly has.
const pictureRoom = 2 << 10

// picture appends the band with the reading to those of earlier lines, as an image that stands in the page itself. Its
// text alternative stands beside it and not in it.
func (d *desk) picture(i int, w *Line, out *page.ReportLine, pictures []byte) []byte {
	last := w.AsBuilt
	if last == nil {
		last = w.AsFound
	}
	line := d.lines[i].line
	if line == nil || last == nil || last.Limits.Lower.IsZero() && last.Limits.Upper.IsZero() {
		return pictures
	}
	b := d.bench.Band(line.Spec(), last)
	out.Alt = b.Description
	b.Heading, b.Line, b.Above, b.Description = "", "", "", ""
	return b.AppendSVG(pictures)
}

// notes are what follows from the verdict, and what was said beside the readings.
func (d *desk) notes(w *Line, out *page.ReportLine) {
	h, lang := d.h, d.r.Lang
	add := func(code, value string) {
		if value != "" {
			out.Done = append(out.Done, page.Field{Label: h.book.Word(lang, code), Value: value})
		}
	}
	for _, n := range w.Warnings {
		out.Advice = append(out.Advice, n.Text)
	}
	for _, n := range w.Next {
		out.Advice = append(out.Advice, n.Text)
	}
	add("sheet_shims_before", pieces(w.ShimsBefore))
	add("sheet_shims_after", pieces(w.ShimsAfter))
	add("sheet_renewed", strings.Join(w.Renewed, ", "))
	add("sheet_by", w.By)
	add("sheet_at", w.At)
	add("sheet_tool", strings.Trim(w.Tool.ID+", "+w.Tool.CalibrationDue, ", "))
	add("sheet_witness", w.Witness)
	if w.Waiver != nil {
		add("sheet_waiver", w.Waiver.Who+": "+w.Waiver.Reason)
	}
	add("sheet_note", w.Note)
	if row := d.lines[w.Index].row; row != nil {
		for _, c := range row.unread {
			out.Done = append(out.Done, page.Field{Label: c.Column, Value: c.Text})
		}
	}
}

// found says how a part was found, where it was not simply inside; empty where it was.
func (d *desk) found(r *judging.Result) string {
	switch {
	case r == nil:
		return ""
	case r.Position == string(judge.WornOut):
		return d.h.book.Word(d.r.Lang, "word_position_worn_out")
	case r.Verdict != string(judge.Pass):
		return d.h.book.Word(d.r.Lang, "word_said_verdict_"+r.Verdict)
	}
	for _, n := range r.Warnings {
		if n.Code == "worn_but_serviceable" {
			return n.Text
		}
	}
	return ""
}

// stage is the value of a stage with what was read.
func (d *desk) stage(x *filled, r *judging.Result, q *StageRequest) page.Stage {
	if !q.has() {
		return page.Stage{Value: "–"}
	}
	out := page.Stage{}
	interval, unit := "", x.req.Unit
	if r != nil {
		out.Value, interval = r.Display.Value, r.Display.Interval
	}
	if out.Value != "" {
		unit = "" // it stands with the value
	}
	out.Detail = d.readings(q, unit)
	if interval != "" {
		out.Detail = strings.TrimSuffix(interval+"; "+out.Detail, "; ")
	}
	return out
}

// readings are what was read, as it was sent: a semicolon between places, a space between what was read at one. The unit
// is that of the line where it stands nowhere else, and empty.
func (d *desk) readings(q *StageRequest, unit string) string {
	b := make([]byte, 0, 80)
	for i := range q.Readings {
		b = q.Readings[i].AppendText(separated(b, i))
	}
	for i := range q.Sizes {
		s := &q.Sizes[i]
		b = append(separated(b, len(q.Readings)+i), s.Part...)
		for j := range s.Readings {
			b = s.Readings[j].Value.AppendText(append(b, ' '))
		}
	}
	if unit != "" && len(b) > 0 {
		b = append(append(b, ' '), unit...)
	}
	if q.Instrument.Kind != "" {
		b = append(separated(b, len(b)), d.instrument(q.Instrument.Kind)...)
	}
	return string(b)
}

// instrument is the name of a kind of instrument; one that the catalogue does not know is shown as it was sent.
func (d *desk) instrument(kind string) string {
	for i := range d.r.Revision.Defaults.Instruments {
		if known := &d.r.Revision.Defaults.Instruments[i]; known.Kind == kind {
			return known.Name.In(d.r.Lang)
		}
	}
	return kind
}

func separated(b []byte, before int) []byte {
	if before > 0 {
		b = append(b, "; "...)
	}
	return b
}
