package torque

import "endfloat/api/wire"

// SettingsAnswer is what to set and what that gives. Where outcome is not set there is no number: the reason stands in
// outcome and text.
type SettingsAnswer struct {
	Revision         string         `json:"revision" example:"r-5f1c2a9e0b7d"`
	RevisionDate     string         `json:"revision_date" example:"2026-11-01"`
	Rules            string         `json:"rules" example:"1"`
	Spec             string         `json:"spec,omitzero" example:"pl-85/kick-start/stop-bolt"`
	Outcome          string         `json:"outcome" enums:"set,not_published,out_of_scope,angle_alone,variant" example:"set"`
	Text             string         `json:"text" example:"set 25.5 N·m, which gives 29.75 N·m; wanted 30 N·m, 28–32 N·m"`
	Hand             string         `json:"hand,omitzero" enums:"right,left" example:"right"`
	Wanted           Wanted         `json:"wanted,omitzero"`
	Exact            Amount         `json:"exact,omitzero"`
	Set              Amount         `json:"set,omitzero"`
	Gives            Gives          `json:"gives,omitzero"`
	ExactWithRunning Amount         `json:"exact_with_running,omitzero"`
	SetWithRunning   Amount         `json:"set_with_running,omitzero"`
	GivesWithRunning Gives          `json:"gives_with_running,omitzero"`
	Display          SettingDisplay `json:"display,omitzero"`
	InBand           bool           `json:"in_band" example:"true"`
	GoodEnough       bool           `json:"good_enough" example:"true"`
	Ratio            wire.Decimal   `json:"ratio,omitzero" swaggertype:"number" example:"1.67"`
	Guard            Guard          `json:"guard_limits,omitzero"`
	Accuracy         Accuracy       `json:"accuracy,omitzero"`
	Wrenches         []WrenchAnswer `json:"wrenches,omitzero"`
	Best             string         `json:"best,omitzero" example:"tw-2"`
	Stages           []StageAnswer  `json:"stages,omitzero"`
	Castle           CastleAnswer   `json:"castle,omitzero"`
	Method           string         `json:"method,omitzero" example:"set = wanted torque · L / (L + E · cos a), L = 300 mm, E = 50 mm, a = 0°"`
	Source           wire.Source    `json:"source,omitzero"`
	Warnings         []wire.Note    `json:"warnings"`
	Next             []wire.Note    `json:"next"`
	Cautions         []wire.Caution `json:"cautions"`
} //@name TorqueSettings

// SettingDisplay is ready text beside the numbers of a setting.
type SettingDisplay struct {
	Set            string `json:"set" example:"25.5 N·m"`
	Exact          string `json:"exact" example:"25.71 N·m"`
	Gives          string `json:"gives" example:"29.8 N·m"`
	GivesBand      string `json:"gives_band,omitzero" example:"28.6 to 30.9 N·m"`
	Wanted         string `json:"wanted" example:"30 N·m"`
	Band           string `json:"band,omitzero" example:"28 to 32 N·m"`
	SetWithRunning string `json:"set_with_running,omitzero" example:"27.5 N·m"`
} //@name SettingDisplay

// Wanted is the torque that the fastener shall get. policy says that the band is policy and was never published.
type Wanted struct {
	Value  wire.Decimal    `json:"value" swaggertype:"number" example:"30"`
	Band   wire.Band       `json:"band,omitzero"`
	Unit   string          `json:"unit" example:"N·m"`
	Policy wire.SpecPolicy `json:"policy,omitzero"`
	Angle  wire.Decimal    `json:"angle,omitzero" swaggertype:"number" example:"90"`
} //@name WantedTorqueShown

// Gives is what a setting gives: value at the joint, total where a running torque is on top of it, and the band that the
// accuracy of the tool leaves of value.
type Gives struct {
	Value   wire.Decimal `json:"value" swaggertype:"number" example:"29.75"`
	Total   wire.Decimal `json:"total,omitzero" swaggertype:"number" example:"32.083333"`
	Net     wire.Decimal `json:"net,omitzero" swaggertype:"number" example:"29.983333"`
	Running wire.Decimal `json:"running_torque,omitzero" swaggertype:"number" example:"2.1"`
	Band    wire.Band    `json:"band,omitzero"`
	Unit    string       `json:"unit" example:"N·m"`
} //@name GivenTorque

// Guard are the readings between which the tool proves the band (ISO 14253-1), rounded inward.
type Guard struct {
	Lower wire.Decimal `json:"lower" swaggertype:"number" example:"11.3"`
	Upper wire.Decimal `json:"upper" swaggertype:"number" example:"12.6"`
	Unit  string       `json:"unit" example:"N·m"`
} //@name GuardLimits

// Accuracy is the limit of error of the tool that was reckoned with.
type Accuracy struct {
	Percent wire.Decimal `json:"percent" swaggertype:"number" example:"4"`
	Source  string       `json:"source" enums:"caller,assumed,tool_class" example:"caller"`
} //@name ToolAccuracy

// WrenchAnswer is one of several wrenches offered, in their order.
type WrenchAnswer struct {
	ID         string       `json:"id,omitzero" example:"tw-2"`
	Index      int          `json:"index" example:"0"`
	GoodEnough bool         `json:"good_enough" example:"true"`
	InBand     bool         `json:"in_band" example:"true"`
	Exact      Amount       `json:"exact"`
	Set        Amount       `json:"set"`
	Gives      Gives        `json:"gives"`
	Text       string       `json:"text" example:"set 12.0 N·m, which gives 12.0 N·m (11.5 to 12.5 N·m with the tool's error)"`
	Ratio      wire.Decimal `json:"ratio,omitzero" swaggertype:"number" example:"2.5"`
	Guard      Guard        `json:"guard_limits,omitzero"`
	Accuracy   Accuracy     `json:"accuracy,omitzero"`
	Why        []wire.Note  `json:"why"`
} //@name WrenchVerdict

// StageAnswer is one stage of a staged tightening that has a figure.
type StageAnswer struct {
	Stage    int          `json:"stage" example:"1"`
	Pattern  string       `json:"pattern,omitzero" example:"crosswise"`
	Wanted   Wanted       `json:"wanted"`
	Exact    Amount       `json:"exact"`
	Set      Amount       `json:"set"`
	Gives    Gives        `json:"gives"`
	Text     string       `json:"text" example:"set 10.0 N·m, which gives 10.0 N·m"`
	Angle    wire.Decimal `json:"angle,omitzero" swaggertype:"number" example:"90"`
	Warnings []wire.Note  `json:"warnings"`
} //@name TorqueStage

// CastleAnswer says whether a castle nut may advance to its next slot. reached is from the lower figure, reached_at_most
// from the most that the setting gives with the tool's error.
type CastleAnswer struct {
	From          wire.Decimal `json:"from" swaggertype:"number" example:"45"`
	Angle         wire.Decimal `json:"angle_deg" swaggertype:"number" example:"14"`
	Reached       wire.Decimal `json:"reached" swaggertype:"number" example:"57.6"`
	ReachedAtMost wire.Decimal `json:"reached_at_most,omitzero" swaggertype:"number" example:"61.48"`
	Allowed       bool         `json:"allowed" example:"true"`
	MostAngle     wire.Decimal `json:"most_angle_deg" swaggertype:"number" example:"16.666667"`
	Unit          string       `json:"unit" example:"N·m"`
} //@name CastleAdvance
