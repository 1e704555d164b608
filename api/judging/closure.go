package judging

import (
	"endfloat/api/rim"
	"endfloat/api/wire"
	"endfloat/service/fault"
	"endfloat/service/judge"
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// ClosureRequest asks whether a measurement before, a change of shims and a measurement after add up. Exactly one of spec
// and caller_spec, and exactly one of added and pieces (removed, fitted, or both).
type ClosureRequest struct {
	Spec         string                  `json:"spec,omitzero" validate:"max=200" example:"pl-85/counter-shaft/axial-play"`
	CallerSpec   *wire.CallerSpecRequest `json:"caller_spec,omitzero"`
	Variant      string                  `json:"variant,omitzero" validate:"max=64" example:"b"`
	EngineNumber string                  `json:"engine_number,omitzero" validate:"max=64"`
	Marks        []wire.MarkRequest      `json:"marks,omitzero" validate:"max=32"`
	Unit         string                  `json:"unit" validate:"required" example:"mm"`
	Before       MeasuredRequest         `json:"before"`
	After        MeasuredRequest         `json:"after"`
	Added        wire.Number             `json:"added,omitzero" swaggertype:"number" example:"0.40"`
	AddedU       wire.Number             `json:"added_standard_uncertainty,omitzero" swaggertype:"number" example:"0.004"`
	Removed      []ClosurePieceRequest   `json:"removed,omitzero" validate:"max=32"`
	Fitted       []ClosurePieceRequest   `json:"fitted,omitzero" validate:"max=32"`
	Change       wire.Number             `json:"change,omitzero" swaggertype:"number" example:"-1"`
	Place        string                  `json:"place,omitzero" validate:"max=64" example:"left"`
	Trace        bool                    `json:"trace,omitzero" example:"true"`
} //@name ClosureRequest

// MeasuredRequest is what was read before or after the change.
type MeasuredRequest struct {
	Readings   []wire.ReadingRequest  `json:"readings" validate:"max=100"`
	Instrument wire.InstrumentRequest `json:"instrument,omitzero"`
	How        string                 `json:"how,omitzero" enums:"measured,estimated,check" example:"measured"`
} //@name ClosureMeasurement

// ClosurePieceRequest is a shim that came out or went in.
type ClosurePieceRequest struct {
	Thickness         wire.Number `json:"thickness" swaggertype:"number" example:"1.20" validate:"required"`
	Tolerance         wire.Number `json:"tolerance,omitzero" swaggertype:"number" example:"0.01"`
	StandardU         wire.Number `json:"standard_uncertainty,omitzero" swaggertype:"number" example:"0.004"`
	SKU               string      `json:"sku,omitzero" validate:"max=64" example:"PL-SH-120"`
	MeasuredThickness bool        `json:"measured,omitzero" example:"true"`
} //@name ClosurePiece

// ClosureAnswer says whether before, change and after add up, and what is suspected where they do not.
type ClosureAnswer struct {
	Revision         string         `json:"revision" example:"r-5f1c2a9e0b7d"`
	RevisionDate     string         `json:"revision_date" example:"2026-11-01"`
	Rules            string         `json:"rules" example:"1"`
	Spec             string         `json:"spec,omitzero" example:"pl-85/counter-shaft/axial-play"`
	Outcome          string         `json:"outcome" enums:"explained,unexplained,not_judged" example:"explained"`
	UndecidedBecause string         `json:"undecided_because,omitzero" example:"no_uncertainty"`
	Explained        bool           `json:"explained" example:"true"`
	Unit             string         `json:"unit" example:"mm"`
	Before           wire.Decimal   `json:"before,omitzero" swaggertype:"number" example:"0.50"`
	Added            wire.Decimal   `json:"added" swaggertype:"number" example:"0.40"`
	Change           wire.Decimal   `json:"change" swaggertype:"number" example:"-1"`
	Expected         wire.Decimal   `json:"expected,omitzero" swaggertype:"number" example:"0.10"`
	After            wire.Decimal   `json:"after,omitzero" swaggertype:"number" example:"0.15"`
	Residual         wire.Decimal   `json:"residual,omitzero" swaggertype:"number" example:"0.05"`
	StandardU        wire.Decimal   `json:"standard_uncertainty,omitzero" swaggertype:"number" example:"0.0283"`
	ExpandedU        wire.Decimal   `json:"expanded_uncertainty,omitzero" swaggertype:"number" example:"0.0566"`
	Text             string         `json:"text" example:"explained: 0.05 mm left over, within ± 0.0566 mm"`
	Suspects         []wire.Note    `json:"suspects"`
	Next             []wire.Note    `json:"next"`
	Trace            []wire.Note    `json:"trace,omitzero"`
	Result           Result         `json:"result"`
	Cautions         []wire.Caution `json:"cautions"`
} //@name ClosureAnswer

// Close answers POST /v1/closures.
//
//	@Summary		Before, shim change and after: does it add up
//	@Description	The residual is what was measured after, less what the measurement before and the change let expect; it is explained where it is within twice its standard uncertainty. What is suspected otherwise is listed, the likelier first. change is the change of the value per unit of thickness added: that of the shim set for a spec of the catalogue, else -1. result is the verdict on what was measured after.
//	@ID				close
//	@Tags			judging
//	@Accept			json
//	@Produce		json
//	@Param			body		body		ClosureRequest	true	"before, change and after"
//	@Param			lang		query		string			false	"language of the texts"	Enums(en, de, fr, it, es)
//	@Param			format		query		string			false	"form of the answer"	Enums(json)
//	@Param			revision	query		string			false	"a catalogue revision that is still held"
//	@Success		200			{object}	ClosureAnswer
//	@Router			/v1/closures [post]
func (h Handlers) Close(r *rim.Request) (rim.Reply, error) {
	var req ClosureRequest
	if err := r.Decode(&req); err != nil {
		return rim.Reply{}, err
	}
	b := h.batch(r)
	before, after, change, err := b.toClosure(&req)
	if err != nil {
		return rim.Reply{}, err
	}
	was := judge.Judge(before.check)
	now := judge.Judge(after.check)
	k := judge.Close(was, now, change)
	a := b.fromClosing(k, change, after.check.Spec)
	if req.Trace {
		a.Trace = b.notes(k.Steps(after.check.Spec, change))
	}
	a.Revision, a.RevisionDate, a.Rules, a.Spec = b.rev.Name, b.rev.Date, spec.Rules, after.key
	a.Result, a.Cautions = b.fromRow(after, 0), b.cautions()
	return rim.JSON(a), nil
}

// toClosure reads the two measurements and the change between them; all violations are collected.
func (b *batch) toClosure(req *ClosureRequest) (before, after *row, change judge.Change, err error) {
	check := func(m *MeasuredRequest, at wire.At) *row {
		return b.toRow(&row{}, &CheckRequest{Spec: req.Spec, CallerSpec: req.CallerSpec, Variant: req.Variant, EngineNumber: req.EngineNumber,
			Marks: req.Marks, Unit: req.Unit, Readings: m.Readings, Instrument: m.Instrument, How: m.How}, at)
	}
	before, after = check(&req.Before, "/before"), check(&req.After, "/after")
	var bad fault.List
	after.bad.Each(func(v fault.Violation) { bad.Add(lifted(v, "/after")) })
	before.bad.Each(func(v fault.Violation) {
		if lifted(v, "/before").At == v.At {
			bad.Add(v) // what both share was listed already
		}
	})
	if bad.Len() > 0 {
		return nil, nil, change, bad.Err()
	}
	s := after.check.Spec
	if s.Kind == spec.Category || s.Unit.Kind() == quantity.Other && s.Kind != spec.Other {
		bad.Add(wire.At("/spec").Fault("not_a_number", note.New("found_spec_judges_words"), note.New("fix_name_spec_shims_change")))
		return nil, nil, change, bad.Err()
	}
	unit, ok := wire.Unit(req.Unit, s.Unit, wire.At("/unit"), &bad)
	if !ok {
		return nil, nil, change, bad.Err()
	}
	change = b.change(req, s, unit, &bad)
	return before, after, change, bad.Err()
}
