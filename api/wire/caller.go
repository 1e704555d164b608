package wire

// CallerSpecRequest is a caller's own limit, in the shape in which the catalogue answers one. Only kind, unit and one
// limit are needed; what only describes is read and ignored.
type CallerSpecRequest struct {
	Key            string            `json:"key,omitzero" validate:"max=200"`
	Href           string            `json:"href,omitzero" validate:"max=500"`
	Kind           string            `json:"kind" enums:"dimension,torque,angle,other,category" example:"dimension" validate:"required"`
	Name           string            `json:"name,omitzero" validate:"max=200" example:"Axial play"`
	FamilyName     string            `json:"family_name,omitzero" validate:"max=200"`
	ComponentName  string            `json:"component_name,omitzero" validate:"max=200"`
	Unit           string            `json:"unit,omitzero" example:"mm"`
	Decimals       Number            `json:"decimals,omitzero" swaggertype:"integer" example:"2"`
	ValueForm      string            `json:"value_form,omitzero" enums:"range,single,stages,torque_angle,not_published,out_of_scope" example:"range"`
	Band           RangeRequest      `json:"band,omitzero"`
	Target         Number            `json:"target,omitzero" swaggertype:"number" example:"0.20"`
	TargetPolicy   string            `json:"target_policy,omitzero" enums:"nearest,not_below,not_above" example:"nearest"`
	Policy         SpecPolicyRequest `json:"policy,omitzero"`
	Stages         []StageRequest    `json:"stages,omitzero" validate:"max=20"`
	Angle          Number            `json:"angle,omitzero" swaggertype:"number" example:"90"`
	AngleTolerance Number            `json:"angle_tolerance,omitzero" swaggertype:"number" example:"5"`
	WearLimit      RangeRequest      `json:"wear_limit,omitzero"`
	Plausible      RangeRequest      `json:"plausible,omitzero"`
	Remedy         string            `json:"remedy,omitzero" enums:"adjust,machine,replace" example:"adjust"`
	Critical       bool              `json:"critical,omitzero" example:"false"`
	Form           bool              `json:"form,omitzero" example:"false"`
	Points         PointsRequest     `json:"points,omitzero"`
	Sizes          []SizePartRequest `json:"sizes,omitzero" validate:"max=8"`
	Allowed        []string          `json:"allowed,omitzero" validate:"max=50"`
	Rejected       []string          `json:"rejected,omitzero" validate:"max=50"`
	State          string            `json:"state,omitzero" validate:"max=500"`
	Conditions     []string          `json:"conditions,omitzero" validate:"max=20"`
	AdjustedBy     string            `json:"adjusted_by,omitzero" validate:"max=200"`
	After          []string          `json:"after,omitzero" validate:"max=50"`
	Waiver         bool              `json:"waiver,omitzero"`
	Fastener       CallerFastener    `json:"fastener,omitzero"`
	Cautions       []string          `json:"cautions,omitzero" validate:"max=20"`
	DecidedBy      DecidedBy         `json:"decided_by,omitzero"`
	Source         Source            `json:"source,omitzero"`
	RevisionDate   string            `json:"revision_date,omitzero" validate:"max=40"`
	Reason         string            `json:"reason,omitzero" validate:"max=500"`
	Display        Display           `json:"display,omitzero"`
	Converted      Converted         `json:"converted,omitzero"`
	Alternatives   []Alternative     `json:"alternatives,omitzero"`
} //@name CallerSpec

// SpecPolicyRequest is the tolerance that stands in for one that was never published.
type SpecPolicyRequest struct {
	Percent Number `json:"percent,omitzero" swaggertype:"number" example:"10"`
} //@name SpecPolicyRequest

// StageRequest is one step of a staged tightening.
type StageRequest struct {
	Value   Number `json:"value,omitzero" swaggertype:"number" example:"10"`
	Angle   Number `json:"angle,omitzero" swaggertype:"number" example:"90"`
	Pattern string `json:"pattern,omitzero" validate:"max=64" example:"crosswise"`
} //@name StageRequest

// PointsRequest says what is held against each limit.
type PointsRequest struct {
	Minimum      Number `json:"minimum,omitzero" swaggertype:"integer" example:"3"`
	Combine      string `json:"combine,omitzero" enums:"mean,min,max,range" example:"mean"`
	AgainstLower string `json:"against_lower,omitzero" enums:"mean,min,max,range" example:"min"`
	AgainstUpper string `json:"against_upper,omitzero" enums:"mean,min,max,range" example:"max"`
	MaxSpread    Number `json:"max_spread,omitzero" swaggertype:"number" example:"0.10"`
	Places       string `json:"places,omitzero" validate:"max=200"`
} //@name PointsRequest

// SizePartRequest is one size of a clearance that is computed from sizes.
type SizePartRequest struct {
	Part          string `json:"part" validate:"required,max=64" example:"bore"`
	Sign          Number `json:"sign" swaggertype:"integer" example:"1" validate:"required"`
	ExpansionPerK Number `json:"expansion_per_k,omitzero" swaggertype:"number" example:"0.000023"`
} //@name SizePartRequest

// CallerFastener is what a caller's torque belongs to.
type CallerFastener struct {
	Thread        string `json:"thread,omitzero" validate:"max=64" example:"M8x1.25"`
	Hand          string `json:"hand,omitzero" enums:"right,left" example:"left"`
	PropertyClass string `json:"property_class,omitzero" validate:"max=64" example:"10.9"`
	Head          string `json:"head,omitzero" validate:"max=64"`
	Into          string `json:"into,omitzero" validate:"max=64"`
	Condition     string `json:"condition,omitzero" validate:"max=64" example:"dry"`
	Count         Number `json:"count,omitzero" swaggertype:"integer" example:"4"`
	Access        string `json:"access,omitzero" validate:"max=64"`
	Reuse         string `json:"reuse,omitzero" validate:"max=64"`
	Retorque      string `json:"retorque,omitzero" validate:"max=64"`
	Prevailing    string `json:"prevailing,omitzero" enums:"included,extra,unstated"`
	Running       Number `json:"running_torque,omitzero" swaggertype:"number" example:"2.1"`
	Locking       string `json:"locking,omitzero" validate:"max=64"`
	Pattern       string `json:"pattern,omitzero" validate:"max=64"`
	Taper         bool   `json:"taper,omitzero"`
	Slots         Number `json:"slots,omitzero" swaggertype:"integer" example:"6"`
} //@name CallerFastener
