package sheets

import (
	"strings"

	"endfloat/api/judging"
	"endfloat/api/page"
	"endfloat/api/rim"
	"endfloat/service/note"
	"endfloat/service/spec"
)

// report is the judged sheet for the customer.
func (d *desk) report(a *SheetAnswer, size page.Paper) (rim.Reply, error) {
	h, lang, p := d.h, d.r.Lang, d.engine.plan
	word := func(code string) string { return h.book.Word(lang, code) }
	title := word("sheet_report") + " " + a.FamilyName
	hours := ""
	if !a.Hours.IsZero() {
		hours = a.Hours.Quantity().String()
	}
	v := page.Report{Frame: h.frame(d.r, title, classesOf(p), size), Heading: title, Verdict: a.Outcome.Verdict, OutcomeH: word("sheet_outcome"),
		Outcome: word("outcome_" + a.Outcome.Verdict), Counts: strings.TrimPrefix(a.Outcome.Text, word("outcome_"+a.Outcome.Verdict)+". "),
		Signature: a.Signature.Text, Notice: a.Notice,
		Fields: []page.Field{{Label: word("sheet_engine_number"), Value: a.EngineNumber}, {Label: word("sheet_variant"), Value: h.variant(p.Family, a.Variant, lang)},
			{Label: word("sheet_scope"), Value: h.scopeName(lang, p)}, {Label: word("sheet_hours"), Value: hours}, {Label: word("sheet_claim"), Value: a.Claim},
			{Label: word("sheet_customer"), Value: a.Customer}, {Label: word("sheet_revision"), Value: a.Revision + " (" + a.RevisionDate + ")"},
			{Label: word("sheet_rule"), Value: d.rule(a)}, {Label: word("sheet_note"), Value: a.Note}},
		Signs: []page.Field{{Label: word("sheet_by")}, {Label: word("sheet_witness")}, {Label: word("sheet_at")}},
		Heads: page.ReportHeads{Line: word("sheet_line"), Found: word("sheet_as_found"), Built: word("sheet_as_built"), Verdict: word("sheet_verdict")}}
	section := func(code string) page.Section { return page.Section{Heading: word(code), None: word("sheet_none")} }
	v.Gates, v.Waivers, v.Contradictions, v.Missing = section("sheet_gates"), section("sheet_waivers"), section("sheet_contradictions"), section("sheet_missing")
	v.Renewed, v.Order, v.Cautions = section("sheet_renewed"), section("sheet_order"), section("sheet_cautions")
	for _, w := range a.Warnings {
		v.Warnings = append(v.Warnings, w.Text)
	}
	d.sections(a, &v)
	texts, pictures := textsOf(a.Cautions), make([]byte, 0, len(a.Lines)*pictureRoom)
	v.Lines = make([]page.ReportLine, len(a.Lines))
	for i := range a.Lines {
		v.Lines[i] = d.reportLine(i, &a.Lines[i], texts)
		before := len(pictures)
		pictures = d.picture(i, &a.Lines[i], &v.Lines[i], pictures)
		v.Lines[i].Picture = pictures[before:]
	}
	return harmless(h.pages.Report(v))
}

// rule names the rule that the verdicts stand on, with the policy that asked for it.
func (d *desk) rule(a *SheetAnswer) string {
	return d.h.say(d.r.Lang, "sheet_rule_"+a.Policy.Rule, note.Str("guard", a.Policy.Guard)) + "; " + a.Policy.Name + "; " + spec.Rules
}

func (d *desk) sections(a *SheetAnswer, v *page.Report) {
	for _, g := range a.Gates {
		w := page.Gate{Name: g.Name, State: g.Text, Blocked: g.State == "blocked"}
		for _, it := range append(append([]GateItem{}, g.BlockedBy...), g.Unproven...) {
			w.Items = append(w.Items, it.Name+": "+it.Text)
		}
		for _, it := range g.Waived {
			v.Waivers.Items = append(v.Waivers.Items, it.Name+": "+it.Text)
		}
		v.GateList = append(v.GateList, w)
	}
	for _, c := range a.Contradictions {
		text := c.Text
		if len(c.Specs) == 1 {
			text = d.name(c.Specs[0]) + ": " + text
		}
		for _, s := range c.Suspects {
			text += " " + s.Text
		}
		v.Contradictions.Items = append(v.Contradictions.Items, text)
	}
	for _, m := range a.Missing {
		v.Missing.Items = append(v.Missing.Items, m.Text)
	}
	for _, o := range a.Order {
		v.Order.Items = append(v.Order.Items, o.SKU+" × "+itoa(o.Quantity)+": "+o.Name+"; "+o.Text)
	}
	for i := range a.Lines {
		for _, sku := range a.Lines[i].Renewed {
			v.Renewed.Items = append(v.Renewed.Items, sku+": "+a.Lines[i].Name)
		}
	}
	for _, c := range a.Cautions {
		v.Cautions.Items = append(v.Cautions.Items, c.Text)
	}
}

func (d *desk) name(key string) string {
	if l, ok := d.engine.plan.Line(spec.Key(key)); ok {
		return l.Spec().Name.In(d.r.Lang)
	}
	return key
}

func (d *desk) reportLine(i int, w *Line, texts map[string]string) page.ReportLine {
	h, lang, x := d.h, d.r.Lang, &d.lines[i]
	out := page.ReportLine{Number: itoa(i + 1), Name: w.Name, Key: w.Spec, Verdict: w.Text, Found: d.stage(x, w.AsFound, x.req.AsFound), Built: d.stage(x, w.AsBuilt, x.req.AsBuilt),
		Cautions: own(w.Cautions, texts)}
	if w.ID != "" && w.ID != out.Number {
		out.Number += " (" + w.ID + ")"
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

// stage is the value of a stage with what was read.
func (d *desk) stage(x *filled, r *judging.Result, q *StageRequest) page.Stage {
	if !q.has() {
		return page.Stage{Value: "–"}
	}
	out := page.Stage{Detail: readings(q)}
	if r != nil {
		out.Value = r.Display.Value
		if r.Display.Interval != "" {
			out.Detail = strings.TrimPrefix(r.Display.Interval+"; "+out.Detail, "; ")
		}
	}
	if out.Value == "" && x.req.Unit != "" && out.Detail != "" {
		out.Detail += " " + x.req.Unit
	}
	return out
}

// readings are what was read, as it was sent: a semicolon between places, a space between what was read at one.
func readings(q *StageRequest) string {
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
	if q.Instrument.Kind != "" {
		if len(b) > 0 {
			b = append(b, ' ')
		}
		b = append(append(append(b, '('), q.Instrument.Kind...), ')')
	}
	return string(b)
}

func separated(b []byte, before int) []byte {
	if before > 0 {
		b = append(b, "; "...)
	}
	return b
}
