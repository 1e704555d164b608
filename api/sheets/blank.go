package sheets

import (
	"strings"

	"endfloat/api/rim"
	"endfloat/api/table"
	"endfloat/api/wire"
	"endfloat/service/catalogue"
	"endfloat/service/note"
	"endfloat/service/sheet"
	"endfloat/service/spec"
)

// BlankSheet is a sheet to be filled: every line in assembly order with what is allowed.
type BlankSheet struct {
	Revision     string         `json:"revision" example:"r-5f1c2a9e0b7d"`
	RevisionDate string         `json:"revision_date" example:"2026-11-01"`
	Rules        string         `json:"rules" example:"1"`
	Family       string         `json:"family" example:"pl-85"`
	FamilyName   string         `json:"family_name" example:"PL-85"`
	Maker        string         `json:"maker,omitzero" example:"Pellumbra"`
	Variant      string         `json:"variant,omitzero" example:"b"`
	EngineNumber string         `json:"engine_number,omitzero" example:"PLC 7001"`
	Scope        string         `json:"scope" example:"full"`
	Scopes       []string       `json:"scopes" example:"full"`
	Lines        []BlankLine    `json:"lines"`
	Gates        []BlankGate    `json:"gates"`
	Renew        []RenewPart    `json:"renew"`
	Warnings     []wire.Note    `json:"warnings"`
	Cautions     []wire.Caution `json:"cautions"`
	Notice       string         `json:"notice" example:"This sheet supports the work and does not replace the maker's own current manual."`
} //@name BlankSheet

// BlankLine is one line of a blank sheet. Stages are those that are read; none where nothing was published. Readings is
// how many there is room for on paper.
type BlankLine struct {
	ID            string    `json:"id" example:"1"`
	Spec          string    `json:"spec" example:"pl-85/counter-shaft/axial-play"`
	Name          string    `json:"name" example:"Axial play of the gear stack"`
	Component     string    `json:"component" example:"counter-shaft"`
	ComponentName string    `json:"component_name" example:"Counter shaft stack"`
	Order         int       `json:"order" example:"1"`
	Gate          string    `json:"gate" enums:"cases_close,head_on,first_start" example:"cases_close"`
	Stages        []string  `json:"stages" enums:"as_found,as_built" example:"as_found"`
	Readings      int       `json:"readings" example:"3"`
	Critical      bool      `json:"critical" example:"false"`
	WaiverAllowed bool      `json:"waiver_allowed" example:"false"`
	After         []string  `json:"after" example:"pl-85/head/head-nuts"`
	Before        []string  `json:"before" example:"pl-85/flywheel/air-gap"`
	Shims         string    `json:"shims,omitzero" example:"pl-85/counter-shaft/stack-shims"`
	Renew         []string  `json:"renew" example:"PL-CIR-20"`
	Values        wire.Spec `json:"values"`
	Text          string    `json:"text" example:"0.08–0.35 mm, aim 0.08 mm, not below; worn out past 0.50 mm; DEMO"`
	Cautions      []string  `json:"cautions" example:"circlip_eye_protection"`
} //@name BlankLine

// BlankGate is a gate with the lines that have to be proven before it.
type BlankGate struct {
	Gate  string   `json:"gate" enums:"cases_close,head_on,first_start" example:"cases_close"`
	Name  string   `json:"name" example:"Before the cases close"`
	Specs []string `json:"specs" example:"pl-85/counter-shaft/axial-play"`
} //@name BlankGate

// RenewPart is a part that is always renewed, by the number under which it is sold now.
type RenewPart struct {
	SKU       string   `json:"sku" example:"PL-CIR-20"`
	Replaces  string   `json:"replaces,omitzero" example:"PL-CIR-19"`
	Name      string   `json:"name" example:"Circlip of the counter shaft"`
	Quantity  int      `json:"quantity" example:"2"`
	Component string   `json:"component" example:"counter-shaft"`
	Specs     []string `json:"specs" example:"pl-85/counter-shaft/axial-play"`
} //@name RenewPart

// Blank answers GET /v1/families/{family}/sheet.
//
//	@Summary		The blank check sheet
//	@Description	Every line in assembly order with limits, aim, places, torque, cautions, what comes first and what closes over it, and the parts that are always renewed. As HTML it is made for paper, A4 or US letter (paper=letter), in black and white; as CSV it can be filled and sent back to POST /v1/sheets as it is. Scope is full, a scope that the family lists, or a component.
//	@ID				getSheet
//	@Tags			sheets
//	@Produce		json,text/csv,html
//	@Param			family			path		string		true	"key of the family"
//	@Param			scope			query		string		false	"full, a scope of the family, or a component by its key or its id"
//	@Param			variant			query		string		false	"variant of the family"
//	@Param			engine_number	query		string		false	"engine number as stamped"
//	@Param			mark			query		[]string	false	"component:mark, as stamped on the part"	collectionFormat(multi)
//	@Param			unit_system		query		string		false	"also in these units"			Enums(metric, imperial)
//	@Param			paper			query		string		false	"size of the paper of the HTML form"	Enums(a4, letter)
//	@Param			delimiter		query		string		false	"of the CSV form"				Enums(comma, semicolon, tab)
//	@Param			decimal			query		string		false	"mark of the CSV form"			Enums(point, comma)
//	@Param			lang			query		string		false	"language of the texts"			Enums(en, de, fr, it, es)
//	@Param			format			query		string		false	"form of the answer"			Enums(json, csv, html)
//	@Param			revision		query		string		false	"a catalogue revision that is still held"
//	@Success		200				{object}	BlankSheet
//	@Router			/v1/families/{family}/sheet [get]
func (h Handlers) Blank(r *rim.Request) (rim.Reply, error) {
	f, err := family(r)
	if err != nil {
		return rim.Reply{}, err
	}
	paper, err := paperOf(r)
	if err != nil {
		return rim.Reply{}, err
	}
	form, err := table.FormOf(r)
	if err != nil {
		return rim.Reply{}, err
	}
	unit := wire.System(r.One("unit_system"))
	if word := r.One("unit_system"); word != "" && unit == nil {
		return rim.Reply{}, rim.BadParameter("unit_system", "bad_parameter", note.New("found_no_system_units", note.Str("word", rim.Quote(word))), note.New("fix_send_one_of", note.Str("list", "metric, imperial")))
	}
	e, err := fromQuery(r, f)
	if err != nil {
		return rim.Reply{}, err
	}
	b := h.blank(r, e, unit)
	switch r.Media {
	case rim.MediaCSV:
		return rim.Ready(b.table(form)), nil
	case rim.MediaHTML:
		return h.paper(r, e, b, paper)
	}
	return rim.JSON(b), nil
}

func (h Handlers) blank(r *rim.Request, e engine, unit wire.UnitChoice) *BlankSheet {
	p, lang, rev := e.plan, r.Lang, r.Revision
	b := &BlankSheet{Revision: rev.Name, RevisionDate: rev.Date, Rules: spec.Rules, Family: p.Family.Key, FamilyName: p.Family.Name.In(lang), Maker: p.Family.Maker,
		Variant: e.sel.Variant, EngineNumber: r.One("engine_number"), Scope: p.Scope, Scopes: sheet.Scopes(p.Family), Lines: make([]BlankLine, len(p.Lines)),
		Gates: []BlankGate{}, Renew: []RenewPart{}, Warnings: []wire.Note{}, Notice: h.book.Word(lang, "sheet_notice")}
	b.Warnings = append(b.Warnings, wire.FromNotes(e.open, lang, h.book)...)
	codes := []string{catalogue.VerifyMaker}
	for i := range p.Lines {
		l := &p.Lines[i]
		w := BlankLine{ID: itoa(i + 1), Component: l.Component.Key, ComponentName: l.Component.Name.In(lang), Order: l.Order, Gate: string(l.Gate),
			Stages: []string{}, Readings: l.Readings(), Critical: l.Spec().Critical, WaiverAllowed: l.Spec().Waiver, After: keys(l.Spec().After),
			Before: before(p, l.Spec().Key), Shims: string(l.Spec().AdjustedBy), Renew: []string{}, Values: wire.ShowResolved(l.Resolved, lang, h.book, rev.Defaults, unit)}
		w.Spec, w.Name = w.Values.Key, w.Values.Name
		w.Text = w.Values.Display.Summary
		w.Cautions = rev.Defaults.Ordered(append(append([]string{}, w.Values.Cautions...), l.Component.Cautions...))
		if l.Worn() {
			w.Stages = append(w.Stages, "as_found")
		}
		if l.Needed() {
			w.Stages = append(w.Stages, "as_built")
		}
		codes = append(codes, w.Cautions...)
		b.Lines[i] = w
	}
	h.renew(b, p, rev, lang)
	for _, g := range catalogue.Gates() {
		w := BlankGate{Gate: string(g), Name: h.book.Word(lang, "gate_"+string(g)), Specs: []string{}}
		for i := range p.Lines {
			if l := &p.Lines[i]; l.Gate == g && l.Needed() {
				w.Specs = append(w.Specs, string(l.Spec().Key))
			}
		}
		if len(w.Specs) > 0 {
			b.Gates = append(b.Gates, w)
		}
	}
	b.Cautions = wire.Resolved(codes, lang, h.book, rev.Defaults)
	return b
}

// alternatives are the values of the variants and marks that the sheet leaves open, in words.
func (h Handlers) alternatives(s *wire.Spec, lang string) (list []string) {
	for _, a := range s.Alternatives {
		list = append(list, a.Name+h.book.Word(lang, "word_colon")+a.Display.Summary)
	}
	return list
}

// renew lists the parts that are always renewed, and names them in their lines.
func (h Handlers) renew(b *BlankSheet, p *sheet.Plan, rev *catalogue.Revision, lang string) {
	for _, x := range p.Parts {
		if !x.Part.Renew {
			continue
		}
		w := RenewPart{SKU: rev.Latest(x.Part.SKU), Name: x.Part.Name.In(lang), Quantity: max(x.Part.Quantity, 1), Component: x.Component.Key, Specs: keys(x.Part.Specs)}
		if w.SKU != x.Part.SKU {
			w.Replaces = x.Part.SKU
		}
		b.Renew = append(b.Renew, w)
		for i := range b.Lines {
			for _, k := range w.Specs {
				if b.Lines[i].Spec == k {
					b.Lines[i].Renew = append(b.Lines[i].Renew, w.SKU)
				}
			}
		}
	}
}

func keys(list []spec.Key) []string {
	out := make([]string, len(list))
	for i, k := range list {
		out[i] = string(k)
	}
	return out
}

// before lists the lines that have to wait for a spec.
func before(p *sheet.Plan, key spec.Key) []string {
	out := []string{}
	for i := range p.Lines {
		for _, k := range p.Lines[i].Spec().After {
			if k == key {
				out = append(out, string(p.Lines[i].Spec().Key))
			}
		}
	}
	return out
}

// names puts keys into words for paper.
func (h Handlers) names(p *sheet.Plan, list []string, lang string) string {
	if len(list) == 0 {
		return ""
	}
	words := make([]string, len(list))
	for i, k := range list {
		words[i] = k
		if l, ok := p.Line(spec.Key(k)); ok {
			words[i] = l.Spec().Name.In(lang)
		}
	}
	return h.say(lang, "sheet_after", note.Str("specs", strings.Join(words, ", ")))
}
