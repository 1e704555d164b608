package wire

// ReadingRequest is what was read at one place: exactly one of value, repeats, blades and category.
type ReadingRequest struct {
	Value    Number         `json:"value,omitzero" swaggertype:"number" example:"0.15"`
	Repeats  []Number       `json:"repeats,omitzero" swaggertype:"array,number" validate:"max=100"`
	Blades   []BladeRequest `json:"blades,omitzero" validate:"max=40"`
	Category string         `json:"category,omitzero" validate:"max=64" example:"centred"`
	Position string         `json:"position,omitzero" validate:"max=64" example:"1"`
	Stage    int            `json:"stage,omitzero" example:"3"`
	Angle    Number         `json:"angle,omitzero" swaggertype:"number" example:"90"`
	Running  Number         `json:"running_torque,omitzero" swaggertype:"number" example:"2.1"`
	How      string         `json:"how,omitzero" enums:"measured,estimated,check" example:"measured"`
} //@name ReadingRequest

// BladeRequest is one feeler blade and how it went in: the gap is over a free blade, at or over one that drags, under
// one that needs force or is refused.
type BladeRequest struct {
	Size Number `json:"size" swaggertype:"number" example:"0.15" validate:"required"`
	Feel string `json:"feel" enums:"free,drag,forced,refused" example:"drag" validate:"required"`
} //@name BladeRequest

// InstrumentRequest is what was measured with. Its uncertainty is declared by one figure in the unit of the check, or
// taken from the documented default of its kind. Within a limit of error (accuracy, accuracy_percent) errors lie evenly
// unless distribution says otherwise; normal takes the limit for the share that level names, and bounds nothing.
type InstrumentRequest struct {
	ID                  string       `json:"id,omitzero" validate:"max=64" example:"mic-3"`
	Kind                string       `json:"kind,omitzero" validate:"max=64" example:"dial"`
	StandardUncertainty Number       `json:"standard_uncertainty,omitzero" swaggertype:"number" example:"0.010"`
	ExpandedUncertainty Number       `json:"expanded_uncertainty,omitzero" swaggertype:"number" example:"0.020"`
	K                   Number       `json:"k,omitzero" swaggertype:"number" example:"2"`
	Accuracy            Number       `json:"accuracy,omitzero" swaggertype:"number" example:"0.010"`
	AccuracyPercent     Number       `json:"accuracy_percent,omitzero" swaggertype:"number" example:"4"`
	Distribution        string       `json:"distribution,omitzero" enums:"rectangular,triangular,u_shaped,normal" example:"rectangular"`
	Level               Number       `json:"level,omitzero" swaggertype:"number" example:"0.95"`
	Resolution          Number       `json:"resolution,omitzero" swaggertype:"number" example:"0.001"`
	BladeSet            []Number     `json:"blade_set,omitzero" swaggertype:"array,number" validate:"max=100"`
	BladeTolerance      Number       `json:"blade_tolerance,omitzero" swaggertype:"number" example:"0.005"`
	Range               RangeRequest `json:"range,omitzero"`
	Directions          string       `json:"directions,omitzero" enums:"both,clockwise,anticlockwise" example:"both"`
	Correction          Correction   `json:"correction,omitzero"`
	CalibrationDue      string       `json:"calibration_due,omitzero" example:"2027-03-01"`
} //@name InstrumentRequest

// Correction is what stands between what an indicator shows and what the spec limits: the angle of a lever's stylus to
// the surface, the radius at which backlash was read and at which it is published, and whether an eccentricity was read
// as an offset or as full indicator movement (TIR), which is twice the offset.
type Correction struct {
	TipAngle    Number `json:"tip_angle_deg,omitzero" swaggertype:"number" example:"0"`
	ProbeRadius Number `json:"probe_radius,omitzero" swaggertype:"number" example:"30"`
	PitchRadius Number `json:"pitch_radius,omitzero" swaggertype:"number" example:"24"`
	Runout      string `json:"runout,omitzero" enums:"offset_to_tir,tir_to_offset" example:"offset_to_tir"`
} //@name Correction

// RangeRequest is an interval with both ends inside it; a missing end is not limited.
type RangeRequest struct {
	Lower Number `json:"lower,omitzero" swaggertype:"number" example:"0.10"`
	Upper Number `json:"upper,omitzero" swaggertype:"number" example:"0.40"`
} //@name RangeRequest
