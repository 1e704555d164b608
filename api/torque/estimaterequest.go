package torque

import "endfloat/api/wire"

// EstimateRequest asks for a generic figure. friction is needed unless nut_factor or condition stands for it. Lengths
// without a unit of their own are in millimetres, as their names say.
type EstimateRequest struct {
	Spec          string             `json:"spec,omitzero" validate:"max=200" example:"pl-85/case/case-screw"`
	Variant       string             `json:"variant,omitzero" validate:"max=64" example:"b"`
	EngineNumber  string             `json:"engine_number,omitzero" validate:"max=64"`
	Marks         []wire.MarkRequest `json:"marks,omitzero" validate:"max=32"`
	Thread        string             `json:"thread,omitzero" validate:"max=64" example:"M8"`
	PropertyClass string             `json:"property_class,omitzero" validate:"max=64" example:"8.8"`
	Friction      FrictionRequest    `json:"friction,omitzero"`
	Utilisation   wire.Number        `json:"utilisation,omitzero" swaggertype:"number" example:"0.9"`
	Model         string             `json:"model,omitzero" enums:"vdi_2230,elastic_torsion,nut_factor" example:"vdi_2230"`
	NutFactor     wire.Number        `json:"nut_factor,omitzero" swaggertype:"number" example:"0.20"`
	Condition     string             `json:"condition,omitzero" enums:"black,zinc_plated,lubricated,cadmium_plated,anti_seize" example:"lubricated"`
	Head          string             `json:"head,omitzero" enums:"hexagon,socket" example:"hexagon"`
	Bearing       BearingRequest     `json:"bearing,omitzero"`
	Fastener      EstimateFastener   `json:"fastener,omitzero"`
	Purpose       string             `json:"purpose,omitzero" enums:"general,stretch_bolt,rod_bolt,taper,brake,steering,lifting,restraint,pressure_vessel" example:"general"`
	Tightening    string             `json:"tightening,omitzero" enums:"torque_wrench,torque_wrench_tested,angle,yield,impact_wrench_checked,impact_wrench" example:"torque_wrench"`
	EngagedIn     *EngagedRequest    `json:"engaged_in,omitzero"`
	Stiffness     *StiffnessRequest  `json:"stiffness,omitzero"`
	EqualClamp    *EqualRequest      `json:"equal_clamp,omitzero"`
	TorqueUnit    string             `json:"torque_unit,omitzero" example:"N·m"`
} //@name TorqueEstimatesRequest

// FrictionRequest are the coefficients in the thread and under head or nut.
type FrictionRequest struct {
	Thread wire.Number `json:"thread,omitzero" swaggertype:"number" example:"0.12"`
	Head   wire.Number `json:"head,omitzero" swaggertype:"number" example:"0.12"`
} //@name Friction

// BearingRequest is a given face: what head or nut turns on.
type BearingRequest struct {
	Outer wire.Number `json:"outer,omitzero" swaggertype:"number" example:"11.63"`
	Hole  wire.Number `json:"hole,omitzero" swaggertype:"number" example:"9"`
	Unit  string      `json:"unit,omitzero" example:"mm"`
} //@name BearingFace

// EstimateFastener is what may forbid a generic figure.
type EstimateFastener struct {
	Hand  string `json:"hand,omitzero" enums:"right,left" example:"right"`
	Taper bool   `json:"taper,omitzero" example:"false"`
	Reuse string `json:"reuse,omitzero" enums:"reusable,one_time" example:"reusable"`
	Into  string `json:"into,omitzero" enums:"steel,light_alloy,insert" example:"steel"`
} //@name EstimateFastener

// EngagedRequest is the thread that the bolt is screwed into; a name of a material says too little, its shear strength is
// needed.
type EngagedRequest struct {
	Material string      `json:"material,omitzero" validate:"max=64" example:"light_alloy"`
	Shear    wire.Number `json:"shear_strength_mpa" swaggertype:"number" example:"150" validate:"required"`
	Length   wire.Number `json:"length_mm" swaggertype:"number" example:"14" validate:"required"`
} //@name EngagedIn

// StiffnessRequest is how stiff the joint is: joint as a whole, or bolt and parts.
type StiffnessRequest struct {
	Joint wire.Number `json:"joint,omitzero" swaggertype:"number" example:"120"`
	Bolt  wire.Number `json:"bolt,omitzero" swaggertype:"number" example:"150"`
	Parts wire.Number `json:"parts,omitzero" swaggertype:"number" example:"600"`
	Unit  string      `json:"unit" enums:"kN/mm,N/mm" example:"kN/mm" validate:"required"`
} //@name JointStiffness

// EqualRequest asks which torque would clamp as hard with another friction; without torque, that of the estimate.
type EqualRequest struct {
	Friction FrictionRequest `json:"friction" validate:"required"`
	Torque   wire.Number     `json:"torque,omitzero" swaggertype:"number" example:"22"`
	Unit     string          `json:"unit,omitzero" example:"N·m"`
} //@name EqualClampRequest
