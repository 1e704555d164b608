package judging

import "endfloat/api/wire"

// EvaluationRequest asks for verdicts. What stands at the top holds for every check that does not say otherwise.
type EvaluationRequest struct {
	Variant      string             `json:"variant,omitzero" validate:"max=64" example:"b"`
	EngineNumber string             `json:"engine_number,omitzero" validate:"max=64" example:"PLC 7001"`
	Marks        []wire.MarkRequest `json:"marks,omitzero" validate:"max=32"`
	Stage        string             `json:"stage,omitzero" enums:"as_built,as_found" example:"as_built"`
	Part         string             `json:"part,omitzero" enums:"new,reused" example:"new"`
	Rule         string             `json:"rule,omitzero" enums:"guarded,simple" example:"guarded"`
	Guard        string             `json:"guard,omitzero" enums:"U,1.65u" example:"U"`
	View         string             `json:"view,omitzero" enums:"shop,both" example:"shop"`
	Trace        bool               `json:"trace,omitzero" example:"false"`
	Note         string             `json:"note,omitzero" validate:"max=2000"`
	Checks       []CheckRequest     `json:"checks" validate:"required,max=5000"`
} //@name EvaluationRequest

// CheckRequest is one question: readings against exactly one of spec and caller_spec. Sizes stand in place of readings
// where the value is made of several parts.
type CheckRequest struct {
	ID           string                  `json:"id,omitzero" validate:"max=64" example:"1"`
	Spec         string                  `json:"spec,omitzero" validate:"max=200" example:"pl-85/counter-shaft/axial-play"`
	CallerSpec   *wire.CallerSpecRequest `json:"caller_spec,omitzero"`
	Variant      string                  `json:"variant,omitzero" validate:"max=64" example:"b"`
	EngineNumber string                  `json:"engine_number,omitzero" validate:"max=64"`
	Marks        []wire.MarkRequest      `json:"marks,omitzero" validate:"max=32"`
	Unit         string                  `json:"unit,omitzero" example:"mm"`
	Readings     []wire.ReadingRequest   `json:"readings,omitzero" validate:"max=100"`
	Sizes        []SizeRequest           `json:"sizes,omitzero" validate:"max=8"`
	Instrument   wire.InstrumentRequest  `json:"instrument,omitzero"`
	How          string                  `json:"how,omitzero" enums:"measured,estimated,check" example:"measured"`
	Stage        string                  `json:"stage,omitzero" enums:"as_built,as_found" example:"as_built"`
	Part         string                  `json:"part,omitzero" enums:"new,reused" example:"new"`
	Rule         string                  `json:"rule,omitzero" enums:"guarded,simple" example:"guarded"`
	Guard        string                  `json:"guard,omitzero" enums:"U,1.65u" example:"U"`
	Coverage     string                  `json:"coverage,omitzero" enums:"t" example:"t"`
	Condition    string                  `json:"condition,omitzero" validate:"max=64" example:"oiled"`
	View         string                  `json:"view,omitzero" enums:"shop,both" example:"shop"`
	Trace        bool                    `json:"trace,omitzero" example:"false"`
	Note         string                  `json:"note,omitzero" validate:"max=2000"`
} //@name Check

// SizeRequest is one part of a value that is made of sizes: value = Σ sign · size. Parts of a catalogue spec know their
// sign and expansion; a part that was not measured at 20 °C names its temperature.
type SizeRequest struct {
	Part            string                 `json:"part" validate:"required,max=64" example:"bore"`
	Sign            wire.Number            `json:"sign,omitzero" swaggertype:"integer" example:"1"`
	Readings        []wire.ReadingRequest  `json:"readings" validate:"required,max=100"`
	Instrument      wire.InstrumentRequest `json:"instrument,omitzero"`
	Temperature     wire.Number            `json:"temperature_c,omitzero" swaggertype:"number" example:"18"`
	Expansion       wire.Number            `json:"expansion_per_k,omitzero" swaggertype:"number" example:"0.000023"`
	InstrumentTemp  wire.Number            `json:"instrument_temperature_c,omitzero" swaggertype:"number" example:"20"`
	InstrumentExpan wire.Number            `json:"instrument_expansion_per_k,omitzero" swaggertype:"number" example:"0.0000115"`
} //@name Size
