package judging

import (
	"slices"
	"strings"

	"endfloat/api/rim"
	"endfloat/api/wire"
	"endfloat/service/catalogue"
	"endfloat/service/fault"
	"endfloat/service/judge"
	"endfloat/service/measure"
	"endfloat/service/note"
	"endfloat/service/spec"
)

// VerdictAnswer is the verdict on one number. The words and the value stand at the top too, for a cell or a line.
type VerdictAnswer struct {
	Revision        string         `json:"revision" example:"r-5f1c2a9e0b7d"`
	RevisionDate    string         `json:"revision_date" example:"2026-11-01"`
	Rules           string         `json:"rules" example:"1"`
	Policy          Policy         `json:"policy"`
	Spec            string         `json:"spec" example:"pl-85/counter-shaft/axial-play"`
	Verdict         string         `json:"verdict" enums:"pass,conditional_pass,conditional_fail,fail,not_judged" example:"pass"`
	Decided         bool           `json:"decided" example:"true"`
	UndecidedReason string         `json:"undecided_because,omitzero" example:"uncertainty"`
	Basis           string         `json:"basis,omitzero" enums:"measured,estimated,derived,below_gauge,above_gauge,missing,implausible" example:"measured"`
	Position        string         `json:"position,omitzero" enums:"below,within,above,worn_out" example:"within"`
	Action          string         `json:"action" enums:"accept,accept_with_note,adjust,machine,replace,measure_again,ask" example:"accept"`
	Value           wire.Decimal   `json:"value,omitzero" swaggertype:"number" example:"0.15"`
	Unit            string         `json:"unit,omitzero" example:"mm"`
	Probability     wire.Decimal   `json:"probability_within,omitzero" swaggertype:"number" example:"0.999"`
	Text            string         `json:"text" example:"inside: 0.15 mm; allowed 0.08–0.35 mm; accept; DEMO"`
	Result          Result         `json:"result"`
	Cautions        []wire.Caution `json:"cautions"`
} //@name VerdictAnswer

// Verdict answers GET /v1/families/{family}/components/{component}/specs/{spec}/verdict.
//
//	@Summary		The verdict on one number
//	@Description	For a spreadsheet cell or a shell line. As text it is one line: the verdict word, the cautions, then the value and what is allowed.
//	@ID				getVerdict
//	@Tags			judging
//	@Produce		json,plain
//	@Param			family					path		string		true	"key of the family"
//	@Param			component				path		string		true	"key of the component within the family"
//	@Param			spec					path		string		true	"key of the spec within the component"
//	@Param			value					query		number		true	"what was read"
//	@Param			unit					query		string		true	"unit of the value"
//	@Param			stage					query		string		false	"what it is held to"					Enums(as_built, as_found)
//	@Param			part					query		string		false	"a reused part is judged as found"		Enums(new, reused)
//	@Param			rule					query		string		false	"whether uncertainty guards the limits"	Enums(guarded, simple)
//	@Param			guard					query		string		false	"width of the guard band"				Enums(U, 1.65u)
//	@Param			how						query		string		false	"how it was had"						Enums(measured, estimated, check)
//	@Param			instrument				query		string		false	"kind of the instrument"
//	@Param			standard_uncertainty	query		number		false	"of the instrument, in the unit of the value"
//	@Param			condition				query		string		false	"condition of the thread"
//	@Param			variant					query		string		false	"variant of the family"
//	@Param			engine_number			query		string		false	"engine number as stamped"
//	@Param			mark					query		[]string	false	"component:mark, as stamped on the part"	collectionFormat(multi)
//	@Param			lang					query		string		false	"language of the texts"						Enums(en, de, fr, it, es)
//	@Param			format					query		string		false	"form of the answer"						Enums(json, text)
//	@Param			revision				query		string		false	"a catalogue revision that is still held"
//	@Success		200						{object}	VerdictAnswer
//	@Router			/v1/families/{family}/components/{component}/specs/{spec}/verdict [get]
func (h Handlers) Verdict(r *rim.Request) (rim.Reply, error) {
	b := h.batch(r)
	row, err := h.queried(r, b)
	if err != nil {
		return rim.Reply{}, err
	}
	a, err := alone(b, row).judged(r)
	if err != nil {
		return rim.Reply{}, err
	}
	w := a.Results[0]
	if r.Media == rim.MediaText {
		return rim.Ready([]byte(oneLine(&w, a.Cautions))), nil
	}
	return rim.JSON(VerdictAnswer{Revision: a.Revision, RevisionDate: a.RevisionDate, Rules: a.Rules, Policy: a.Policy, Spec: w.Spec,
		Verdict: w.Verdict, Decided: w.Decided, UndecidedReason: w.UndecidedBecause, Basis: w.Basis, Position: w.Position, Action: w.Action,
		Value: w.Value, Unit: w.Unit, Probability: w.Probability, Text: w.Text, Result: w, Cautions: a.Cautions}), nil
}

// alone is a row that was read already.
func alone(b *batch, one *row) questions {
	return questions{b, 1, func(r *row) (more bool, err error) {
		if one == nil {
			return false, nil
		}
		*r, one = *one, nil
		return true, nil
	}}
}

// oneLine is a verdict for a cell or a shell: the verdict word, the cautions, the value and its limits.
func oneLine(w *Result, cautions []wire.Caution) string {
	parts := []string{w.Verdict}
	for _, c := range cautions {
		parts = append(parts, c.Text)
	}
	return strings.Join(append(parts, w.Text), " | ") + "\n"
}

// queried reads the check that an address and its query describe. Its faults are those of the query.
func (h Handlers) queried(r *rim.Request, b *batch) (*row, error) {
	res, open, err := h.specInPath(r, b)
	if err != nil {
		return nil, err
	}
	var bad fault.List
	s := res.Spec
	b.top = words{stage: r.One("stage"), part: r.One("part"), rule: r.One("rule"), guard: r.One("guard")}
	b.top.query(&bad)
	how, _ := wire.Word(r.One("how"), wire.Query("how"), &bad, "measured", "estimated", "check")
	axes := b.pin(b.top)
	c := judge.Check{Spec: s, Undecided: res.Undecided, How: how, Stage: axes.stage, Part: axes.part, Rule: axes.rule, Guard: axes.guard,
		Condition: r.One("condition"), Unit: s.Unit, Defaults: b.rev.Defaults.Instruments, Policy: b.policy, Today: b.today, Notes: open}
	c.Readings, c.Unit = valueOf(r, s, &bad)
	instrument := wire.InstrumentRequest{Kind: r.One("instrument"), StandardUncertainty: wire.NumberFromText(r.One("standard_uncertainty"))}
	c.Instrument = instrumentOf(&instrument, c, &bad)
	if v, faulty := bad.First(); faulty {
		return nil, rim.BadParameter(v.At.Parameter, v.Code, v.Detail, v.Fix)
	}
	return &row{key: string(s.Key), resolved: res, check: c}, nil
}

func instrumentOf(i *wire.InstrumentRequest, c judge.Check, bad *fault.List) measure.Instrument {
	if !wire.Fits(i.Kind, wire.MaxName, bad, wire.Query("instrument")) {
		return measure.Instrument{}
	}
	var kinds []string
	for n := range c.Defaults {
		kinds = append(kinds, c.Defaults[n].Kind)
	}
	if i.Kind != "" && !slices.Contains(kinds, i.Kind) {
		bad.Add(wire.Query("instrument").Fault("unknown_instrument", note.New("found_no_instrument_kind", note.Str("kind", rim.Quote(i.Kind))), note.New("fix_send_one_of", note.Str("list", strings.Join(kinds, ", ")))))
	}
	return i.ToInstrument(c.Unit, wire.Query("standard_uncertainty"), bad)
}

// query checks the words of a query.
func (w words) query(bad *fault.List) {
	_, _ = wire.Word(w.stage, wire.Query("stage"), bad, judge.AsBuilt, judge.AsFound)
	_, _ = wire.Word(w.part, wire.Query("part"), bad, judge.New, judge.Reused)
	_, _ = wire.Word(w.rule, wire.Query("rule"), bad, judge.Guarded, judge.Simple)
	_, _ = wire.Word(w.guard, wire.Query("guard"), bad, judge.GuardU, judge.Guard95)
}

// specInPath is the spec in the path for the engine in the query, and what its number leaves open.
func (h Handlers) specInPath(r *rim.Request, b *batch) (res catalogue.Resolved, open []note.Note, err error) {
	key := spec.Key(r.Param("family") + "/" + r.Param("component") + "/" + r.Param("spec"))
	entry, ok := r.Revision.Entry(key)
	if !ok {
		near, _ := r.Revision.NearestSpec(key)
		return res, nil, wire.Missing("unknown_spec", note.New("absent_spec", note.Str("key", rim.Quote(string(key))), note.Str("address", "/v1/specs")), near)
	}
	var bad fault.List
	marks := wire.MarksFromQuery(r.Query["mark"], &bad)
	request := make([]wire.MarkRequest, len(marks))
	for i, m := range marks {
		request[i] = wire.MarkRequest(m)
	}
	wire.CheckEngine(r.Revision, key, r.One("variant"), nil, wire.Query("variant"), &bad)
	wire.CheckEngine(r.Revision, key, "", request, wire.Query("mark"), &bad)
	sel, open := b.narrow(key, catalogue.Selection{Variant: r.One("variant"), EngineNumber: r.One("engine_number"), Marks: marks}, wire.Query("engine_number"), &bad)
	if v, faulty := bad.First(); faulty {
		return res, nil, rim.BadParameter(v.At.Parameter, v.Code, v.Detail, v.Fix)
	}
	if len(entry.Overrides) == 0 {
		open = nil
	}
	return entry.Resolve(sel), open, nil
}
