package sheets

import (
	"strings"

	"endfloat/api/judging"
	"endfloat/api/page"
	"endfloat/service/judge"
	"endfloat/service/quantity"
	"endfloat/service/spec"
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
	colon := strings.TrimRight(h.colon(lang), " ")
	add := func(code, value string) {
		if value != "" {
			out.Done = append(out.Done, page.Field{Label: h.book.Word(lang, code) + colon, Value: value})
		}
	}
	for _, n := range w.Warnings {
		out.Advice = append(out.Advice, n.Text)
	}
	for _, n := range w.Next {
		out.Advice = append(out.Advice, n.Text)
	}
	x := &d.lines[w.Index]
	add("sheet_shims_before", d.shims(x, w.ShimsBefore))
	add("sheet_shims_after", d.shims(x, w.ShimsAfter))
	add("sheet_renewed", strings.Join(w.Renewed, ", "))
	add("sheet_by", w.By)
	add("sheet_at", w.At)
	add("sheet_tool", strings.Trim(w.Tool.ID+", "+w.Tool.CalibrationDue, ", "))
	add("sheet_witness", w.Witness)
	if w.Waiver != nil {
		add("sheet_waiver", w.Waiver.Who+h.colon(lang)+w.Waiver.Reason)
	}
	add("sheet_note", w.Note)
	if x.row != nil {
		for _, c := range x.row.unread {
			out.Done = append(out.Done, page.Field{Label: c.Column + colon, Value: c.Text})
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
	out := page.Stage{Detail: d.readings(x, q)}
	if r != nil {
		out.Value = r.Display.Value
		if interval := r.Display.Interval; interval != "" {
			out.Detail = d.h.book.Joined(d.r.Lang, interval, out.Detail)
		}
	}
	return out
}

// written is the unit of a line as answers write it, and how many decimals its figures have there: those of the spec in
// the spec's own unit, in another as many as were sent.
func (x *filled) written() (unit string, decimals int) {
	u, known := quantity.ParseUnit(x.req.Unit)
	if !known {
		u, known = quantity.ParseOther(x.req.Unit)
	}
	if !known {
		return x.req.Unit, 0
	}
	if x.line != nil && x.line.Spec().Unit == u {
		decimals = x.line.Spec().Decimals
	}
	return string(u), decimals
}

// readings are what was read, as it was sent: a semicolon between places, a space between what was read at one.
func (d *desk) readings(x *filled, q *StageRequest) string {
	unit, decimals := x.written()
	b := make([]byte, 0, 80)
	for i := range q.Readings {
		b = q.Readings[i].AppendText(d.separated(b, i), decimals)
	}
	for i := range q.Sizes {
		s := &q.Sizes[i]
		b = append(d.separated(b, len(q.Readings)+i), s.Part...)
		for j := range s.Readings {
			b = s.Readings[j].Value.AppendText(append(b, ' '), decimals)
		}
	}
	if unit != "" && len(b) > 0 {
		b = append(append(b, unbroken...), unit...)
	}
	if q.Instrument.Kind != "" {
		b = append(d.separated(b, len(b)), d.instrument(q.Instrument.Kind)...)
	}
	return string(b)
}

// shims are pieces with the names of their places.
func (d *desk) shims(x *filled, list []ShimRequest) string {
	if len(list) == 0 || x.line == nil {
		return pieces(list)
	}
	unit, decimals := x.written()
	set := setOf(d.r.Revision, x.line.Spec().AdjustedBy)
	var b []byte
	for i := range list {
		b = d.separated(b, i)
		if name := placeName(set, list[i].Place, d.r.Lang); name != "" {
			b = append(append(b, name...), ' ')
		}
		b = list[i].Thickness.AppendText(b, decimals)
	}
	return string(append(append(b, unbroken...), unit...))
}

// placeName is the name of a place of shims; one without a name is called by its id.
func placeName(set *spec.ShimSet, id, lang string) string {
	for i := range set.Places {
		if p := &set.Places[i]; p.ID == id && p.Name.In(lang) != "" {
			return p.Name.In(lang)
		}
	}
	return id
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

// unbroken is the space that keeps a unit on the line of its figure.
const unbroken = "\u00a0"

func (d *desk) separated(b []byte, before int) []byte {
	if before > 0 {
		b = append(b, d.h.book.Word(d.r.Lang, "word_semicolon")...)
	}
	return b
}
