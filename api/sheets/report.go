package sheets

import (
	"slices"
	"strings"

	"endfloat/api/page"
	"endfloat/api/rim"
	"endfloat/api/wire"
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
	rule := d.h.say(d.r.Lang, "sheet_rule_"+a.Policy.Rule, note.Str("guard", a.Policy.Guard))
	return d.h.book.Joined(d.r.Lang, rule, d.h.say(d.r.Lang, "sheet_rule_policy", note.Str("policy", a.Policy.Name), note.Str("rules", spec.Rules)))
}

func (d *desk) sections(a *SheetAnswer, v *page.Report) {
	colon := d.h.colon(d.r.Lang)
	for _, g := range a.Gates {
		w := page.Gate{Name: g.Name + colon, State: g.Text, Blocked: g.State == "blocked", OpenH: d.h.book.Word(d.r.Lang, "sheet_unproven")}
		w.Items, w.Open = named(g.BlockedBy, colon), named(g.Unproven, colon)
		v.Waivers.Items = append(v.Waivers.Items, named(g.Waived, colon)...)
		v.GateList = append(v.GateList, w)
	}
	for _, c := range a.Contradictions {
		text := c.Text
		if len(c.Specs) == 1 || slices.ContainsFunc(c.Params, func(p wire.Param) bool { return p.Name == "spec" }) { // of one line
			text = d.name(c.Specs[0]) + colon + text
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
		v.Order.Items = append(v.Order.Items, d.h.book.Joined(d.r.Lang, o.SKU+" × "+itoa(o.Quantity)+colon+o.Name, o.Text))
	}
	for i := range a.Lines {
		if w := &a.Lines[i]; w.Waiver != nil && !w.Waived {
			v.Waivers.Items = append(v.Waivers.Items, w.Name+colon+d.h.say(d.r.Lang, "sheet_waiver_idle", note.Str("who", w.Waiver.Who)))
		}
		for _, sku := range a.Lines[i].Renewed {
			v.Renewed.Items = append(v.Renewed.Items, sku+colon+a.Lines[i].Name)
		}
	}
	for _, c := range a.Cautions {
		v.Cautions.Items = append(v.Cautions.Items, c.Text)
	}
}

// named are the things that a gate waits for or lets stand, each with why.
func named(list []GateItem, colon string) (out []string) {
	for _, it := range list {
		out = append(out, it.Name+colon+it.Text)
	}
	return out
}

func (d *desk) name(key string) string {
	if l, ok := d.engine.plan.Line(spec.Key(key)); ok {
		return l.Spec().Name.In(d.r.Lang)
	}
	return key
}
