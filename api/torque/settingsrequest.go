package torque

import (
	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"

	"endfloat/api/wire"
)

// SettingsRequest asks what to set. Exactly one of spec, caller_spec and wanted; at most one of wrench and wrenches.
type SettingsRequest struct {
	Spec         string                  `json:"spec,omitzero" validate:"max=200" example:"pl-85/kick-start/stop-bolt"`
	CallerSpec   *wire.CallerSpecRequest `json:"caller_spec,omitzero"`
	Wanted       *WantedRequest          `json:"wanted,omitzero"`
	Variant      string                  `json:"variant,omitzero" validate:"max=64" example:"b"`
	EngineNumber string                  `json:"engine_number,omitzero" validate:"max=64"`
	Marks        []wire.MarkRequest      `json:"marks,omitzero" validate:"max=32"`
	Running      RunningRequest          `json:"running_torque,omitzero" swaggertype:"number" example:"2.1"`
	Extension    *ExtensionRequest       `json:"extension,omitzero"`
	Wrench       *WrenchRequest          `json:"wrench,omitzero"`
	Wrenches     []WrenchRequest         `json:"wrenches,omitzero" validate:"max=20"`
	Castle       *CastleRequest          `json:"castle,omitzero"`
} //@name TorqueSettingsRequest

// WantedRequest is the torque that a fastener shall get. Without value the middle of the band is wanted; a policy stands
// in for a band that was never published.
type WantedRequest struct {
	Value   wire.Number            `json:"value,omitzero" swaggertype:"number" example:"30"`
	Band    wire.RangeRequest      `json:"band,omitzero"`
	Unit    string                 `json:"unit" example:"N·m" validate:"required"`
	Policy  wire.SpecPolicyRequest `json:"policy,omitzero"`
	Hand    string                 `json:"hand,omitzero" enums:"right,left" example:"right"`
	Running RunningRequest         `json:"running_torque,omitzero" swaggertype:"number" example:"2.1"`
} //@name WantedTorque

// RunningRequest is a running torque, in the unit of the wanted torque. An object with value and unit is read too.
type RunningRequest struct {
	number wire.Number
	amount amountRequest
	whole  bool
}

// IsZero reports whether nothing was sent.
func (r RunningRequest) IsZero() bool { return !r.whole && r.number.IsZero() }

// UnmarshalJSONFrom reads a number, or an object with value and unit.
func (r *RunningRequest) UnmarshalJSONFrom(dec *jsontext.Decoder) error {
	if dec.PeekKind() != '{' {
		return r.number.UnmarshalJSONFrom(dec)
	}
	r.whole = true
	return json.UnmarshalDecode(dec, &r.amount)
}

// ExtensionRequest is an adapter that offsets the square: 0° straight on, 90° no change, 180° folded back.
type ExtensionRequest struct {
	Length wire.Number `json:"length" swaggertype:"number" example:"50" validate:"required"`
	Unit   string      `json:"unit" example:"mm" validate:"required"`
	Angle  wire.Number `json:"angle_deg,omitzero" swaggertype:"number" example:"0"`
} //@name WrenchExtension

// WrenchRequest is a torque wrench. length is from the square to the mark on the grip and is needed with an extension;
// range and step are in torque_unit. Without accuracy_percent the class of the tool (ISO 6789-1:2017) or the documented
// default of its kind counts.
type WrenchRequest struct {
	ID         string            `json:"id,omitzero" validate:"max=64" example:"tw-2"`
	Kind       string            `json:"kind,omitzero" validate:"max=64" example:"click_wrench"`
	Length     wire.Number       `json:"length,omitzero" swaggertype:"number" example:"300"`
	Unit       string            `json:"unit,omitzero" example:"mm"`
	TorqueUnit string            `json:"torque_unit,omitzero" example:"N·m"`
	Range      wire.RangeRequest `json:"range,omitzero"`
	Step       wire.Number       `json:"step,omitzero" swaggertype:"number" example:"0.5"`
	Accuracy   wire.Number       `json:"accuracy_percent,omitzero" swaggertype:"number" example:"4"`
	Type       string            `json:"tool_type,omitzero" enums:"I,II" example:"II"`
	Class      string            `json:"tool_class,omitzero" enums:"A,B,C,D,E,F,G" example:"A"`
	Directions string            `json:"directions,omitzero" enums:"both,clockwise,anticlockwise" example:"both"`
} //@name TorqueWrench

// CastleRequest is how far the next slot of a castle nut is and what a degree adds, in the unit of the wanted torque.
// Without angle_deg the slots of a turn say how far it may be.
type CastleRequest struct {
	Angle wire.Number `json:"angle_deg,omitzero" swaggertype:"number" example:"14"`
	Slope wire.Number `json:"torque_per_degree" swaggertype:"number" example:"0.9" validate:"required"`
	Slots wire.Number `json:"slots,omitzero" swaggertype:"integer" example:"6"`
} //@name CastleNut
