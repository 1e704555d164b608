package judging

import (
	"endfloat/api/rim"
	"endfloat/api/wire"
	"endfloat/service/catalogue"
	"endfloat/service/judge"
	"endfloat/service/measure"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// InstrumentList is every uncertainty that is assumed where a caller names a kind of instrument and no figure.
type InstrumentList struct {
	Revision     string       `json:"revision" example:"r-5f1c2a9e0b7d"`
	RevisionDate string       `json:"revision_date" example:"2026-11-01"`
	Rules        string       `json:"rules" example:"1"`
	Items        []Instrument `json:"items"`
	Defaults     Assumptions  `json:"defaults"`

	Cautions []wire.Caution `json:"cautions"`
} //@name InstrumentList

// Instrument is what a kind of instrument is taken to be good for. One of standard_uncertainty and accuracy_percent is
// there, or neither where no figure is defensible. u is what either comes to at 1 of the unit, k = 1.
type Instrument struct {
	Kind            string       `json:"kind" example:"dial"`
	Name            string       `json:"name" example:"Dial indicator on a stand"`
	Unit            string       `json:"unit,omitzero" example:"mm"`
	StandardU       wire.Decimal `json:"standard_uncertainty,omitzero" swaggertype:"number" example:"0.010"`
	AccuracyPercent wire.Decimal `json:"accuracy_percent,omitzero" swaggertype:"number" example:"4"`
	SmallMaximum    wire.Decimal `json:"small_maximum,omitzero" swaggertype:"number" example:"10"`
	SmallPercent    wire.Decimal `json:"small_accuracy_percent,omitzero" swaggertype:"number" example:"6"`
	Resolution      wire.Decimal `json:"resolution,omitzero" swaggertype:"number" example:"0.01"`
	Source          string       `json:"uncertainty_source" enums:"assumed,bracket,by_feel,none" example:"assumed"`
	Basis           string       `json:"basis" example:"common practice, no source"`
} //@name Instrument

// Assumptions are the other figures that are used where a caller says nothing. All are common practice without a source.
type Assumptions struct {
	ByFeelPercent   int          `json:"by_feel_percent" example:"20"`
	LoneBladeStep   wire.Decimal `json:"lone_blade_step" swaggertype:"number" example:"0.05"`
	StepUnit        string       `json:"lone_blade_step_unit" example:"mm"`
	RepeatsThatTell int          `json:"repeats_from" example:"4"`
	AngleTolerance  int          `json:"angle_tolerance_deg" example:"5"`
	SpreadShare     string       `json:"max_spread" example:"a third of the band"`
} //@name Assumptions

// Instruments answers GET /v1/instruments.
//
//	@Summary		Every default uncertainty
//	@Description	What is assumed of an instrument where a check names its kind and no figure. All of it is catalogue data and can be overridden by a figure in the check.
//	@ID				listInstruments
//	@Tags			judging
//	@Produce		json
//	@Param			lang		query		string	false	"language of the texts"	Enums(en, de, fr, it, es)
//	@Param			format		query		string	false	"form of the answer"	Enums(json)
//	@Param			revision	query		string	false	"a catalogue revision that is still held"
//	@Success		200			{object}	InstrumentList
//	@Router			/v1/instruments [get]
func (h Handlers) Instruments(r *rim.Request) (rim.Reply, error) {
	a := InstrumentList{Revision: r.Revision.Name, RevisionDate: r.Revision.Date, Rules: spec.Rules, Items: []Instrument{}, Defaults: h.assumptions(r.Lang),
		Cautions: wire.Resolved([]string{catalogue.VerifyMaker}, r.Lang, h.book, r.Revision.Defaults)}
	for _, d := range r.Revision.Defaults.Instruments {
		a.Items = append(a.Items, h.fromInstrument(d, r.Lang))
	}
	return rim.JSON(a), nil
}

func (h Handlers) fromInstrument(d spec.Instrument, lang string) Instrument {
	w := Instrument{Kind: d.Kind, Name: d.Name.In(lang), Unit: string(d.Unit), StandardU: wire.DecIf(d.Standard, d.HasStandard),
		AccuracyPercent: wire.DecIf(d.Percent, d.HasPercent), SmallMaximum: wire.DecIf(d.SmallMax, d.HasSmall),
		SmallPercent: wire.DecIf(d.SmallPercent, d.HasSmall), Resolution: wire.DecIf(d.Resolution, d.HasResolution), Source: "none", Basis: h.book.Basis(lang, d.Basis)}
	switch {
	case d.HasStandard || d.HasPercent:
		w.Source = "assumed"
	case d.Kind == "feeler":
		w.Source = "bracket"
	case d.Kind == "by_feel":
		w.Source = "by_feel"
	}
	return w
}

func (h Handlers) assumptions(lang string) Assumptions {
	step := measure.AssumedStep(quantity.Millimetre).Print(2, 0)
	return Assumptions{ByFeelPercent: int(100 * measure.Feeling), LoneBladeStep: wire.Dec(step), StepUnit: "mm", RepeatsThatTell: measure.EnoughRepeats, AngleTolerance: judge.AngleTolerance,
		SpreadShare: h.book.Word(lang, "word_basis_third_of_band")}
}
