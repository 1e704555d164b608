package torque

import "endfloat/api/wire"

// EstimateAnswer is a generic figure with all that it rests on, or the reason why there is none.
type EstimateAnswer struct {
	Revision      string         `json:"revision" example:"r-5f1c2a9e0b7d"`
	RevisionDate  string         `json:"revision_date" example:"2026-11-01"`
	Rules         string         `json:"rules" example:"1"`
	Spec          string         `json:"spec,omitzero" example:"pl-85/case/case-screw"`
	Outcome       string         `json:"outcome" enums:"estimated,refused" example:"estimated"`
	Reason        string         `json:"reason,omitzero" enums:"out_of_scope,refused_stretch_bolt,refused_rod_bolt,refused_taper,refused_left_hand,refused_unknown_depth,published_stands" example:"out_of_scope"`
	Source        wire.Source    `json:"source"`
	Display       EstimateShown  `json:"display,omitzero"`
	Text          string         `json:"text" example:"GENERIC, not published by anybody: 24.6 N·m, clamps 18.6 kN"`
	Thread        string         `json:"thread,omitzero" example:"M8"`
	PropertyClass string         `json:"property_class,omitzero" example:"8.8"`
	Torque        Amount         `json:"torque,omitzero"`
	ClampForce    Amount         `json:"clamp_force,omitzero"`
	Geometry      Geometry       `json:"geometry,omitzero"`
	Bearing       Bearing        `json:"bearing,omitzero"`
	Strength      Strength       `json:"strength,omitzero"`
	ProofLoad     Amount         `json:"proof_load,omitzero"`
	ProofUse      wire.Decimal   `json:"proof_use,omitzero" swaggertype:"number" example:"0.8760"`
	UltimateLoad  Amount         `json:"ultimate_load,omitzero"`
	Stress        Stress         `json:"stress,omitzero"`
	NutFactor     wire.Decimal   `json:"nut_factor,omitzero" swaggertype:"number" example:"0.1652"`
	Scatter       Scatter        `json:"scatter,omitzero"`
	Engagement    Engagement     `json:"engagement,omitzero"`
	Slope         Slope          `json:"slope,omitzero"`
	EqualClamp    EqualClamp     `json:"equal_clamp,omitzero"`
	Assumptions   []wire.Note    `json:"assumptions"`
	Method        string         `json:"method,omitzero" example:"VDI 2230 Part 1 (2003)"`
	Warnings      []wire.Note    `json:"warnings"`
	Cautions      []wire.Caution `json:"cautions"`
} //@name TorqueEstimates

// EstimateShown is ready text with three significant digits.
type EstimateShown struct {
	Torque     string `json:"torque" example:"24.6 N·m"`
	ClampForce string `json:"clamp_force" example:"18.6 kN"`
	ProofLoad  string `json:"proof_load" example:"21.2 kN"`
} //@name EstimateDisplay

// Geometry is the basic profile of the thread: lengths in unit, areas in its square.
type Geometry struct {
	Diameter    wire.Decimal `json:"diameter" swaggertype:"number" example:"8.000"`
	Pitch       wire.Decimal `json:"pitch" swaggertype:"number" example:"1.250"`
	D2          wire.Decimal `json:"d2" swaggertype:"number" example:"7.188"`
	D1          wire.Decimal `json:"d1" swaggertype:"number" example:"6.647"`
	D3          wire.Decimal `json:"d3" swaggertype:"number" example:"6.466"`
	StressArea  wire.Decimal `json:"stress_area" swaggertype:"number" example:"36.61"`
	NominalArea wire.Decimal `json:"nominal_stress_area" swaggertype:"number" example:"36.60"`
	RootArea    wire.Decimal `json:"root_area" swaggertype:"number" example:"32.84"`
	LeadAngle   wire.Decimal `json:"lead_angle_deg" swaggertype:"number" example:"3.168"`
	Unit        string       `json:"unit" example:"mm"`
} //@name ThreadGeometry

// Bearing is the face that head or nut turns on; friction acts at its mean diameter.
type Bearing struct {
	Outer        wire.Decimal `json:"outer" swaggertype:"number" example:"11.63"`
	Hole         wire.Decimal `json:"hole" swaggertype:"number" example:"9.000"`
	MeanDiameter wire.Decimal `json:"mean_diameter" swaggertype:"number" example:"10.32"`
	Unit         string       `json:"unit" example:"mm"`
} //@name BearingFaceShown

// Strength is that of the bolt, by its standard.
type Strength struct {
	Standard string       `json:"standard" example:"ISO 898-1:2013"`
	Tensile  wire.Decimal `json:"tensile" swaggertype:"number" example:"800"`
	Yield    wire.Decimal `json:"yield" swaggertype:"number" example:"640"`
	Proof    wire.Decimal `json:"proof" swaggertype:"number" example:"580"`
	Unit     string       `json:"unit" example:"MPa"`
} //@name BoltStrength

// Stress is what the bolt bears while it is turned, and where the torque goes.
type Stress struct {
	Tension    wire.Decimal `json:"tension" swaggertype:"number" example:"508.0"`
	Combined   wire.Decimal `json:"combined" swaggertype:"number" example:"576.0"`
	Unit       string       `json:"unit" example:"MPa"`
	ThreadPart wire.Decimal `json:"thread_share,omitzero" swaggertype:"number" example:"0.3768"`
	HeadPart   wire.Decimal `json:"head_share,omitzero" swaggertype:"number" example:"0.4673"`
	PitchPart  wire.Decimal `json:"pitch_share,omitzero" swaggertype:"number" example:"0.1502"`
} //@name BoltStress

// Scatter is what the way of tightening makes of the clamp force: factor is the largest over the smallest.
type Scatter struct {
	Tightening string    `json:"tightening" example:"torque_wrench"`
	Factor     wire.Band `json:"factor"`
	Least      Amount    `json:"least_clamp_force"`
} //@name ClampScatter

// Engagement says what the internal thread holds and which thread strips first. bolt_load breaks a bolt 1.2 times as strong
// as its class asks: a thread must outlast that one.
type Engagement struct {
	StripsFirst  string       `json:"strips_first" enums:"internal,external" example:"internal"`
	FailsFirst   string       `json:"fails_first" enums:"internal,external,bolt" example:"bolt"`
	Internal     Amount       `json:"internal_load"`
	External     Amount       `json:"external_load"`
	Bolt         Amount       `json:"bolt_load"`
	Length       wire.Decimal `json:"length_mm" swaggertype:"number" example:"14.00"`
	NeededLength wire.Decimal `json:"needed_length_mm" swaggertype:"number" example:"9.317"`
	ClampLength  wire.Decimal `json:"length_for_clamp_mm" swaggertype:"number" example:"5.916"`
	Mouth        wire.Decimal `json:"mouth_mm" swaggertype:"number" example:"1.000"`
} //@name ThreadEngagement

// Slope is what a degree of turning adds once the joint is seated.
type Slope struct {
	Torque     Amount `json:"torque_per_degree"`
	ClampForce Amount `json:"clamp_force_per_degree"`
} //@name TighteningSlope

// EqualClamp is information only: nobody published it, and it is no limit.
type EqualClamp struct {
	Torque      Amount `json:"torque"`
	Information bool   `json:"information_only" example:"true"`
	Text        string `json:"text" example:"For information only: with friction 0.10 and 0.10 the same clamp force would take 19.2 N·m."`
} //@name EqualClamp
