package sheets

import (
	"slices"
	"strings"

	"endfloat/api/page"
	"endfloat/api/rim"
	"endfloat/api/wire"
	"endfloat/service/catalogue"
	"endfloat/service/note"
	"endfloat/service/sheet"
)

// paperOf is the size of the paper that the query asks for, A4 unless it says letter.
func paperOf(r *rim.Request) (page.Paper, error) {
	switch word := r.One("paper"); word {
	case "", "a4":
		return page.A4, nil
	case "letter":
		return page.Letter, nil
	default:
		return "", rim.BadParameter("paper", "bad_parameter", note.New("found_no_size_paper", note.Str("word", rim.Quote(word))), note.New("fix_send_one_of", note.Str("list", "a4, letter")))
	}
}

// harmless are the header fields that keep a page from doing anything but being read.
func harmless(html []byte, policy string, err error) (rim.Reply, error) {
	if err != nil {
		return rim.Reply{}, err
	}
	reply := rim.Ready(html)
	reply.Header = []rim.Header{{Name: "Content-Security-Policy", Value: policy}, {Name: "X-Content-Type-Options", Value: "nosniff"},
		{Name: "Referrer-Policy", Value: "no-referrer"}}
	return reply, nil
}

// frame is what every page of a sheet has: revision and source class stand at the foot of each.
func (h Handlers) frame(r *rim.Request, title string, classes []string, paper page.Paper) page.Frame {
	lang := r.Lang
	shown := make([]string, len(classes))
	for i, c := range classes {
		shown[i] = h.book.Term(lang, "source", c)
	}
	foot := h.book.Word(lang, "sheet_revision") + " " + r.Revision.Name + " (" + r.Revision.Date + ")"
	if len(shown) > 0 {
		foot = h.book.Joined(lang, foot, h.book.Word(lang, "sheet_source")+h.colon(lang)+strings.Join(shown, ", "))
	}
	return page.Frame{Lang: lang, Title: title, Foot: foot, Paper: paper}
}

// colon is what stands between a name and what is said of it.
func (h Handlers) colon(lang string) string { return h.book.Word(lang, "word_colon") }

func classesOf(p *sheet.Plan) []string {
	var out []string
	for i := range p.Lines {
		if s := p.Lines[i].Spec().Source; s != nil && s.Class != "" && !slices.Contains(out, s.Class) {
			out = append(out, s.Class)
		}
	}
	return out
}

// paper is the blank sheet for the bench.
func (h Handlers) paper(r *rim.Request, e engine, b *BlankSheet, size page.Paper) (rim.Reply, error) {
	lang, p := r.Lang, e.plan
	word := func(code string) string { return h.book.Word(lang, code) }
	title := word("sheet_title") + " " + b.FamilyName
	v := page.Blank{Frame: h.frame(r, title, classesOf(p), size), Heading: title, Notice: b.Notice, CautionsH: word("sheet_cautions"), RenewH: word("sheet_renew"),
		About: h.book.Joined(lang, b.Maker, p.Family.Description.In(lang)),
		Fields: []page.Field{{Label: word("sheet_engine_number"), Value: b.EngineNumber}, {Label: word("sheet_variant"), Value: h.variant(p.Family, b.Variant, lang)},
			{Label: word("sheet_scope"), Value: h.scopeName(lang, p)}, {Label: word("sheet_hours")}, {Label: word("sheet_claim")}, {Label: word("sheet_customer")},
			{Label: word("sheet_by")}, {Label: word("sheet_at")}, {Label: word("sheet_witness")}},
		Heads: page.BlankHeads{Line: word("sheet_line"), Found: word("sheet_as_found"), Built: word("sheet_as_built"), Shims: word("sheet_shims_before"),
			ShimsAfter: word("sheet_shims_after"), By: word("sheet_by"), At: word("sheet_at"), Tool: word("sheet_tool"), Witness: word("sheet_witness"),
			Waiver: word("sheet_waiver"), Note: word("sheet_note"), Renewed: word("sheet_renewed")}}
	for _, w := range b.Warnings {
		v.Warnings = append(v.Warnings, w.Text)
	}
	texts := map[string]string{}
	for _, c := range b.Cautions {
		v.Cautions = append(v.Cautions, page.Caution{Text: c.Text})
		texts[c.Code] = c.Text
	}
	for _, n := range b.Renew {
		v.Renew = append(v.Renew, page.Field{Label: n.Name + h.colon(lang), Value: n.SKU + " × " + itoa(n.Quantity)})
	}
	v.Groups = h.groups(p, b, lang, texts)
	return harmless(h.pages.Blank(v))
}

func (h Handlers) variant(f *catalogue.Family, id, lang string) string {
	if id == "" {
		return ""
	}
	return h.book.Joined(lang, id, variantName(f, id, lang))
}

// groups are the components with their lines; the bar of a gate stands after the last component that it closes over.
func (h Handlers) groups(p *sheet.Plan, b *BlankSheet, lang string, texts map[string]string) []page.Group {
	last := map[catalogue.Gate]int{}
	var out []page.Group
	for i := range b.Lines {
		l := &p.Lines[i]
		if i == 0 || p.Lines[i-1].Component != l.Component {
			out = append(out, page.Group{Name: itoa(len(out)+1) + ". " + l.Component.Name.In(lang)})
		}
		g := &out[len(out)-1]
		g.Lines = append(g.Lines, h.paperLine(p, l, &b.Lines[i], lang, texts))
		last[l.Gate] = len(out) - 1
	}
	for _, g := range catalogue.Gates() {
		if i, ok := last[g]; ok {
			out[i].Gate = h.book.Joined(lang, out[i].Gate, h.book.Word(lang, "gate_"+string(g)))
		}
	}
	return out
}

func (h Handlers) paperLine(p *sheet.Plan, l *sheet.Line, w *BlankLine, lang string, texts map[string]string) page.BlankLine {
	out := page.BlankLine{Number: w.ID, Name: w.Name, Key: w.Spec, Limits: page.LimitsOf(h.book.Display(lang, l.Spec()).Summary, w.Values.Display.Band), Unit: w.Values.Unit, Where: w.Values.Points.Places,
		After: h.names(p, w.After, lang), Shims: w.Shims != "", Waiver: w.WaiverAllowed, Cautions: own(w.Cautions, texts)}
	if l.Spec().LeftHand() {
		out.Left = h.book.Word(lang, "sheet_mark_left")
	}
	if w.Critical {
		out.Critical = h.book.Word(lang, "sheet_mark_critical")
	}
	if w.WaiverAllowed {
		out.Estimate = h.book.Word(lang, "sheet_estimate")
	}
	if c := w.Values.Converted; c.Unit != "" {
		out.Alternatives = append(out.Alternatives, c.Display.Summary)
	}
	out.Alternatives = append(out.Alternatives, h.alternatives(&w.Values, lang)...)
	for _, sku := range w.Renew {
		out.Renew = append(out.Renew, h.book.Word(lang, "sheet_renew")+h.colon(lang)+sku)
	}
	if slices.Contains(w.Stages, "as_found") {
		out.Found = page.Boxes(w.Readings)
	}
	if slices.Contains(w.Stages, "as_built") {
		out.Built = page.Boxes(w.Readings)
	}
	return out
}

// own are the cautions of a line that do not stand for the whole sheet, nor in its own banner.
func own(codes []string, texts map[string]string) (out []string) {
	for _, c := range codes {
		switch c {
		case catalogue.VerifyMaker, catalogue.DemoValues, catalogue.LeftHandThread:
		default:
			if t := texts[c]; t != "" {
				out = append(out, t)
			}
		}
	}
	return out
}

func textsOf(list []wire.Caution) map[string]string {
	texts := make(map[string]string, len(list))
	for _, c := range list {
		texts[c.Code] = c.Text
	}
	return texts
}
