package shimming

import (
	"endfloat/api/judging"
	"endfloat/api/wire"
)

// PlanRequest asks what to fit. Exactly one of shims and caller_shims. Thicknesses and offsets are in unit. An answer always
// has its trace, whatever trace says.
type PlanRequest struct {
	Unit           string               `json:"unit" example:"mm" validate:"required"`
	Variant        string               `json:"variant,omitzero" validate:"max=64" example:"b"`
	EngineNumber   string               `json:"engine_number,omitzero" validate:"max=64" example:"PLC 7001"`
	Marks          []wire.MarkRequest   `json:"marks,omitzero" validate:"max=32"`
	Shims          []string             `json:"shims,omitzero" validate:"max=32" example:"pl-85/counter-shaft/stack-shims"`
	CallerShims    []CallerShimsRequest `json:"caller_shims,omitzero" validate:"max=32"`
	Measured       []MeasuredRequest    `json:"measured" validate:"required,max=64"`
	Fitted         []FittedRequest      `json:"fitted,omitzero" validate:"max=32"`
	Sets           []SetRequest         `json:"sets,omitzero" validate:"max=32"`
	OffsetNow      wire.Number          `json:"offset_now,omitzero" swaggertype:"number" example:"0.06"`
	OnHand         []OnHandRequest      `json:"on_hand,omitzero" validate:"max=500"`
	MaxOptions     wire.Number          `json:"max_options,omitzero" swaggertype:"integer" example:"5"`
	MinProbability wire.Number          `json:"min_probability,omitzero" swaggertype:"number" example:"0.95"`
	Objective      string               `json:"objective,omitzero" enums:"closest,fewest_new" example:"closest"`
	Rule           string               `json:"rule,omitzero" enums:"guarded,simple" example:"guarded"`
	Guard          string               `json:"guard,omitzero" enums:"U,1.65u" example:"U"`
	Trace          bool                 `json:"trace,omitzero" example:"true"`
	Note           string               `json:"note,omitzero" validate:"max=2000"`
} //@name ShimPlanRequest

// CallerShimsRequest is a caller's own shim set. Its places name its specs by their ids.
type CallerShimsRequest struct {
	ID     string         `json:"id" validate:"required,max=64" example:"stack"`
	Unit   string         `json:"unit,omitzero" example:"mm"`
	Specs  []SpecRequest  `json:"specs" validate:"required,max=64"`
	Places []PlaceRequest `json:"places" validate:"required,max=32"`
	Ladder []RungRequest  `json:"ladder,omitzero" validate:"max=500"`
	Offset OffsetRequest  `json:"offset,omitzero"`
	WearOf []string       `json:"wear_of,omitzero" validate:"max=16" example:"face"`
	Grind  bool           `json:"grind_to_size,omitzero" example:"false"`
} //@name CallerShims

// SpecRequest is a caller's spec under an id.
type SpecRequest struct {
	ID         string                  `json:"id" validate:"required,max=64" example:"play"`
	CallerSpec *wire.CallerSpecRequest `json:"caller_spec" validate:"required"`
} //@name CallerShimsSpec

// PlaceRequest is one spot where thickness can be added. min_pieces and max_pieces are 1 unless said.
type PlaceRequest struct {
	ID        string          `json:"id" validate:"required,max=64" example:"left"`
	MinPieces wire.Number     `json:"min_pieces,omitzero" swaggertype:"integer" example:"1"`
	MaxPieces wire.Number     `json:"max_pieces,omitzero" swaggertype:"integer" example:"3"`
	Against   string          `json:"against,omitzero" enums:"circlip,rotating" example:"circlip"`
	PerMM     []EffectRequest `json:"per_mm" validate:"required,max=16"`
} //@name CallerShimsPlace

// EffectRequest is the change of a spec per millimetre of thickness added: -1 for a plain stack.
type EffectRequest struct {
	Spec   string      `json:"spec" validate:"required,max=64" example:"play"`
	Change wire.Number `json:"change" swaggertype:"number" example:"-1" validate:"required"`
} //@name CallerShimsEffect

// RungRequest is one size that can be bought.
type RungRequest struct {
	Thickness    wire.Number      `json:"thickness" swaggertype:"number" example:"1.20" validate:"required"`
	Tolerance    ToleranceRequest `json:"tolerance,omitzero"`
	SKU          string           `json:"sku,omitzero" validate:"max=64" example:"SH-120"`
	SupersededBy string           `json:"superseded_by,omitzero" validate:"max=64" example:"SH-121"`
	FromSerial   string           `json:"from_serial,omitzero" validate:"max=20" example:"7001"`
	ToSerial     string           `json:"to_serial,omitzero" validate:"max=20" example:"9999"`
} //@name CallerShimsRung

// OffsetRequest is where a stack may stand between two places.
type OffsetRequest struct {
	Between []string    `json:"between,omitzero" validate:"max=2" example:"left,right"`
	Limit   wire.Number `json:"limit,omitzero" swaggertype:"number" example:"0.10"`
} //@name CallerShimsOffset

// MeasuredRequest is a spec with what was read of it, as a check has it. Without a unit that of the request holds.
type MeasuredRequest struct {
	Spec       string                 `json:"spec" validate:"required,max=200" example:"pl-85/counter-shaft/axial-play"`
	Unit       string                 `json:"unit,omitzero" example:"mm"`
	Readings   []wire.ReadingRequest  `json:"readings,omitzero" validate:"max=100"`
	Sizes      []judging.SizeRequest  `json:"sizes,omitzero" validate:"max=8"`
	Instrument wire.InstrumentRequest `json:"instrument,omitzero"`
	How        string                 `json:"how,omitzero" enums:"measured,estimated" example:"measured"`
	Heat       HeatRequest            `json:"expansion,omitzero"`
} //@name ShimMeasurement

// HeatRequest says how the value grows when the engine is hot: length · rise_k · (around_per_k − inside_per_k).
type HeatRequest struct {
	Length wire.Number `json:"length,omitzero" swaggertype:"number" example:"80"`
	Unit   string      `json:"unit,omitzero" example:"mm"`
	Rise   wire.Number `json:"rise_k,omitzero" swaggertype:"number" example:"70"`
	Around wire.Number `json:"around_per_k,omitzero" swaggertype:"number" example:"0.000023"`
	Inside wire.Number `json:"inside_per_k,omitzero" swaggertype:"number" example:"0.0000115"`
} //@name ShimExpansion

// FittedRequest is what sits at a place now. pieces left out means that nobody knows; [] that nothing is fitted. Fixed
// pieces stay and never count; a locked place does not change. With several sets shims names the set.
type FittedRequest struct {
	Shims  string         `json:"shims,omitzero" validate:"max=200" example:"pl-85/counter-shaft/stack-shims"`
	Place  string         `json:"place" validate:"required,max=64" example:"left"`
	Pieces []PieceRequest `json:"pieces,omitzero" validate:"max=32"`
	Fixed  []PieceRequest `json:"fixed,omitzero" validate:"max=32"`
	Locked bool           `json:"locked,omitzero" example:"false"`
} //@name ShimFitted

// PieceRequest is one shim. measured drops its tolerance, and so does a standard_uncertainty. A sku lends the tolerance of its
// size and nothing else: the stated thickness is used, and one that is not that of the sku is warned of.
type PieceRequest struct {
	Thickness wire.Number      `json:"thickness" swaggertype:"number" example:"1.00" validate:"required"`
	Tolerance ToleranceRequest `json:"tolerance,omitzero"`
	Measured  bool             `json:"measured,omitzero" example:"true"`
	StandardU wire.Number      `json:"standard_uncertainty,omitzero" swaggertype:"number" example:"0.003"`
	Stamped   wire.Number      `json:"stamped,omitzero" swaggertype:"number" example:"1.00"`
	SKU       string           `json:"sku,omitzero" validate:"max=64" example:"PL-SH-100"`
	Worn      bool             `json:"worn,omitzero" example:"false"`
	Shims     string           `json:"shims,omitzero" validate:"max=200" example:"pl-85/counter-shaft/stack-shims"`
} //@name ShimPiece

// OnHandRequest is shims on the shelf, one unless counted. They fit any set unless they name one. A sku lends the tolerance of
// its size and nothing else: the stated thickness is used, and one that is not that of the sku is warned of.
type OnHandRequest struct {
	Thickness wire.Number      `json:"thickness" swaggertype:"number" example:"1.20" validate:"required"`
	Count     wire.Number      `json:"count,omitzero" swaggertype:"integer" example:"2"`
	Tolerance ToleranceRequest `json:"tolerance,omitzero"`
	Measured  bool             `json:"measured,omitzero" example:"true"`
	StandardU wire.Number      `json:"standard_uncertainty,omitzero" swaggertype:"number" example:"0.003"`
	Stamped   wire.Number      `json:"stamped,omitzero" swaggertype:"number" example:"1.20"`
	SKU       string           `json:"sku,omitzero" validate:"max=64" example:"PL-SH-120"`
	Worn      bool             `json:"worn,omitzero" example:"false"`
	Shims     string           `json:"shims,omitzero" validate:"max=200" example:"pl-85/counter-shaft/stack-shims"`
} //@name ShimOnHand

// SetRequest says where the stack of one of several sets stands now.
type SetRequest struct {
	Shims     string      `json:"shims" validate:"required,max=200" example:"pl-85/counter-shaft/stack-shims"`
	OffsetNow wire.Number `json:"offset_now,omitzero" swaggertype:"number" example:"0.06"`
} //@name ShimSetState
