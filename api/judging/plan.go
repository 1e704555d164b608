package judging

import (
	"endfloat/api/rim"
	"endfloat/api/wire"
	"endfloat/service/catalogue"
	"endfloat/service/fault"
	"endfloat/service/judge"
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// MeasuringPlan is what is worth knowing before measuring: which instruments are good enough, where and how often to
// measure, and the limits to work to.
type MeasuringPlan struct {
	Revision     string             `json:"revision" example:"r-5f1c2a9e0b7d"`
	RevisionDate string             `json:"revision_date" example:"2026-11-01"`
	Rules        string             `json:"rules" example:"1"`
	Spec         string             `json:"spec" example:"pl-85/counter-shaft/axial-play"`
	Unit         string             `json:"unit,omitzero" example:"mm"`
	Stage        string             `json:"stage" enums:"as_built,as_found" example:"as_built"`
	Guard        string             `json:"guard" enums:"U,1.65u" example:"U"`
	Planned      bool               `json:"planned" example:"true"`
	Because      string             `json:"undecided_because,omitzero" example:"variant"`
	Limits       wire.Band          `json:"limits,omitzero"`
	Places       PlanPlaces         `json:"places"`
	State        string             `json:"state,omitzero" example:"cold, dry, stack pushed to one side"`
	RatioOf      string             `json:"ratio_of,omitzero" enums:"half_band,half_limit" example:"half_band"`
	WantedRatio  wire.Decimal       `json:"wanted_ratio" swaggertype:"number" example:"2"`
	Coarsest     wire.Decimal       `json:"coarsest_standard_uncertainty,omitzero" swaggertype:"number" example:"0.0337"`
	Instruments  []PlanInstrument   `json:"instruments"`
	Alternatives []wire.Alternative `json:"alternatives,omitzero"`
	Text         string             `json:"text" example:"Measure at 3 places or more; good enough: dial indicator on a stand, work to 0.10 to 0.33 mm."`
	Next         []wire.Note        `json:"next"`
	Display      wire.Display       `json:"display"`
	Cautions     []wire.Caution     `json:"cautions"`
} //@name MeasuringPlan

// PlanPlaces says where to measure and what is held against each limit.
type PlanPlaces struct {
	Minimum      int    `json:"minimum" example:"3"`
	Where        string `json:"where,omitzero" example:"four places, 90° apart"`
	Combine      string `json:"combine,omitzero" enums:"mean,min,max,range" example:"mean"`
	AgainstLower string `json:"against_lower,omitzero" enums:"mean,min,max,range" example:"min"`
	AgainstUpper string `json:"against_upper,omitzero" enums:"mean,min,max,range" example:"max"`
} //@name PlanPlaces

// PlanInstrument is what one instrument is worth here. measurement_ratio is half the band divided by the expanded
// uncertainty; from wanted_ratio on it is good enough.
type PlanInstrument struct {
	Kind       string       `json:"kind" example:"dial"`
	Name       string       `json:"name,omitzero" example:"Dial indicator on a stand"`
	Source     string       `json:"uncertainty_source" enums:"caller,assumed,bracket,by_feel,none" example:"assumed"`
	StandardU  wire.Decimal `json:"standard_uncertainty" swaggertype:"number" example:"0.010"`
	ExpandedU  wire.Decimal `json:"expanded_uncertainty" swaggertype:"number" example:"0.020"`
	Ratio      wire.Decimal `json:"measurement_ratio,omitzero" swaggertype:"number" example:"6.75"`
	GoodEnough bool         `json:"good_enough" example:"true"`
	Guard      wire.Band    `json:"guard_limits,omitzero"`
	Repeats    int          `json:"repeats" example:"4"`
	Scatter    wire.Decimal `json:"scatter_allowed,omitzero" swaggertype:"number" example:"0.064"`
	Text       string       `json:"text" example:"good enough: work to 0.10 to 0.33 mm"`
} //@name PlanInstrument

// Plan answers GET /v1/families/{family}/components/{component}/specs/{spec}/measuring-plan.
//
//	@Summary		Before measuring
//	@Description	Which instruments are good enough, at how many places and how often to measure, and the guard limits to work to so that the verdict will be a decided pass. Guard limits are rounded inward to the digits of the spec.
//	@ID				getMeasuringPlan
//	@Tags			judging
//	@Produce		json
//	@Param			family					path		string		true	"key of the family"
//	@Param			component				path		string		true	"key of the component within the family"
//	@Param			spec					path		string		true	"key of the spec within the component"
//	@Param			stage					query		string		false	"what it will be held to"			Enums(as_built, as_found)
//	@Param			part					query		string		false	"a reused part is judged as found"	Enums(new, reused)
//	@Param			guard					query		string		false	"width of the guard band"			Enums(U, 1.65u)
//	@Param			instrument				query		string		false	"kind of an instrument of your own"
//	@Param			standard_uncertainty	query		number		false	"of that instrument, in the unit of the spec"
//	@Param			variant					query		string		false	"variant of the family"
//	@Param			engine_number			query		string		false	"engine number as stamped"
//	@Param			mark					query		[]string	false	"component:mark, as stamped on the part"	collectionFormat(multi)
//	@Param			lang					query		string		false	"language of the texts"						Enums(en, de, fr, it, es)
//	@Param			format					query		string		false	"form of the answer"						Enums(json)
//	@Param			revision				query		string		false	"a catalogue revision that is still held"
//	@Success		200						{object}	MeasuringPlan
//	@Router			/v1/families/{family}/components/{component}/specs/{spec}/measuring-plan [get]
func (h Handlers) Plan(r *rim.Request) (rim.Reply, error) {
	b := h.batch(r)
	res, _, err := h.specInPath(r, b)
	if err != nil {
		return rim.Reply{}, err
	}
	var bad fault.List
	s := res.Spec
	b.top = words{stage: r.One("stage"), part: r.One("part"), guard: r.One("guard")}
	b.top.query(&bad)
	c := judge.Check{Spec: s, Undecided: res.Undecided, Stage: b.top.stage, Part: b.top.part, Guard: b.pin(b.top).guard, Unit: s.Unit,
		Defaults: b.rev.Defaults.Instruments, Policy: b.policy}
	instrument := wire.InstrumentRequest{Kind: r.One("instrument"), StandardUncertainty: wire.NumberFromText(r.One("standard_uncertainty"))}
	c.Instrument = instrumentOf(&instrument, c, &bad)
	if v, faulty := bad.First(); faulty {
		return rim.Reply{}, rim.BadParameter(v.At.Parameter, v.Code, v.Detail, v.Fix)
	}
	return rim.JSON(b.planned(res, c)), nil
}

func (b *batch) planned(res catalogue.Resolved, c judge.Check) MeasuringPlan {
	s := res.Spec
	shown := wire.ShowResolved(res, b.lang, b.book, b.rev.Defaults, nil)
	b.codes.Add(shown.Cautions...)
	w := MeasuringPlan{Revision: b.rev.Name, RevisionDate: b.rev.Date, Rules: spec.Rules, Spec: string(s.Key), Unit: string(s.Unit), Stage: stageOf(&c),
		Guard: guardOf(&c), State: s.State.In(b.lang), WantedRatio: wire.Estimate(judge.FineEnough, 2), Instruments: []PlanInstrument{}, Next: []wire.Note{},
		Places: PlanPlaces{Minimum: max(1, s.Points.Minimum), Where: s.Points.Places.In(b.lang)}, Display: shown.Display, Alternatives: shown.Alternatives,
		Cautions: b.cautions()}
	p, ok := judge.PlanMeasuring(c)
	if !ok {
		w.Because = judge.Judge(c).Because
		w.Text = b.say("plan_none", note.Str("reason", b.unplanned(w.Because)))
		return w
	}
	d := s.Decimals
	w.Planned = true
	w.Limits = wire.Band{Lower: limit(p.Limits[0], d), Upper: limit(p.Limits[1], d)}
	w.Places.Minimum, w.Places.Combine = p.Places, string(p.Combine)
	w.Places.AgainstLower, w.Places.AgainstUpper = string(p.Against[0]), string(p.Against[1])
	if p.HasHalf {
		w.RatioOf = map[bool]string{false: "half_band", true: "half_limit"}[p.OfLimit]
		w.Coarsest = wire.Dec(quantity.FromFloat(p.Coarsest).Print(d, 4))
	}
	for _, f := range p.Instruments {
		w.Instruments = append(w.Instruments, b.fromFitness(&f, s))
	}
	w.Text = b.planLine(&w)
	return w
}

func (v *voice) unplanned(because string) string {
	if because == "missing" {
		return v.word("plan_words")
	}
	return v.word("because_" + because)
}

func (v *voice) fromFitness(f *judge.Fitness, s *spec.Spec) PlanInstrument {
	d := s.Decimals
	w := PlanInstrument{Kind: f.Instrument.Kind, Name: f.Instrument.Name.In(v.lang), Source: string(f.Source), GoodEnough: f.GoodEnough, Repeats: f.Repeats,
		StandardU: wire.Dec(quantity.FromFloat(f.Standard).Print(d, 4)), ExpandedU: wire.Dec(quantity.FromFloat(f.Expanded).Print(d, 4)),
		Guard: wire.FromRange(f.Guard, d)}
	if w.Kind == "feeler" {
		w.Source = "bracket"
	}
	if f.HasRatio {
		w.Ratio = wire.Estimate(f.Ratio, 2)
	}
	if f.HasScatter {
		w.Scatter = wire.Dec(quantity.FromFloat(f.Scatter).Print(d, 2))
	}
	switch {
	case !f.GoodEnough:
		w.Text = v.word("plan_coarse")
	case f.Guard.Empty():
		w.Text = v.word("plan_good")
	default:
		w.Text = v.say("plan_good_work_to", note.Str("limits", v.book.Interval(v.lang, f.Guard, s.Unit)))
	}
	return w
}

// planLine is the plan for an eye: places first, then the finest instrument that is good enough.
func (v *voice) planLine(w *MeasuringPlan) string {
	line := v.say("plan_places", note.Count("places", w.Places.Minimum))
	for _, i := range w.Instruments {
		if i.GoodEnough && i.Kind != "feeler" {
			name := i.Name
			if name == "" {
				name = i.Kind
			}
			return line + " " + v.say("plan_instrument", note.Str("instrument", name), note.Str("judgement", i.Text))
		}
	}
	return line + " " + v.say("plan_no_instrument")
}
