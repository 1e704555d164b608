package judging

import (
	"endfloat/api/problem"
	"endfloat/api/wire"
)

// EvaluationAnswer is a verdict for every check, in the order in which they were asked. notes are for whoever inspects
// and change no verdict.
type EvaluationAnswer struct {
	Revision     string         `json:"revision" example:"r-5f1c2a9e0b7d"`
	RevisionDate string         `json:"revision_date" example:"2026-11-01"`
	Rules        string         `json:"rules" example:"1"`
	Policy       Policy         `json:"policy"`
	Summary      Summary        `json:"summary"`
	Results      []Result       `json:"results"`
	Notes        []wire.Note    `json:"notes"`
	Cautions     []wire.Caution `json:"cautions"`
} //@name EvaluationAnswer

// Policy is the strictness that was in force. A pinned one stands against what the request asked for.
type Policy struct {
	Name               string       `json:"name" example:"default"`
	Rule               string       `json:"rule" enums:"guarded,simple" example:"guarded"`
	Guard              string       `json:"guard" enums:"U,1.65u" example:"U"`
	MinProbability     wire.Decimal `json:"min_probability,omitzero" swaggertype:"number" example:"0.977"`
	RequireUncertainty bool         `json:"require_uncertainty" example:"false"`
	Pinned             bool         `json:"pinned" example:"false"`
} //@name Policy

// Summary counts the verdicts; the five counts sum to rows. Rows with a problem are not_judged and counted again in
// problems.
type Summary struct {
	Rows            int `json:"rows" example:"4"`
	Pass            int `json:"pass" example:"3"`
	ConditionalPass int `json:"conditional_pass" example:"1"`
	ConditionalFail int `json:"conditional_fail" example:"0"`
	Fail            int `json:"fail" example:"0"`
	NotJudged       int `json:"not_judged" example:"0"`
	Problems        int `json:"problems" example:"0"`
} //@name Summary

// Result is the answer to one check. A field without a value is absent.
type Result struct {
	ID                string             `json:"id" example:"1"`
	Index             int                `json:"index" example:"0"`
	Spec              string             `json:"spec,omitzero" example:"pl-85/counter-shaft/axial-play"`
	Verdict           string             `json:"verdict" enums:"pass,conditional_pass,conditional_fail,fail,not_judged" example:"pass"`
	Decided           bool               `json:"decided" example:"true"`
	UndecidedBecause  string             `json:"undecided_because,omitzero" example:"uncertainty"`
	Basis             string             `json:"basis,omitzero" enums:"measured,estimated,derived,below_gauge,above_gauge,missing,implausible" example:"measured"`
	Position          string             `json:"position,omitzero" enums:"below,within,above,worn_out" example:"within"`
	Action            string             `json:"action" enums:"accept,accept_with_note,adjust,machine,replace,measure_again,ask" example:"accept"`
	Value             wire.Decimal       `json:"value,omitzero" swaggertype:"number" example:"0.1667"`
	Unit              string             `json:"unit,omitzero" example:"mm"`
	Text              string             `json:"text" example:"inside: 0.17 mm (0.15 to 0.19 mm); allowed: 0.08–0.35 mm; accept; DEMO"`
	Display           ResultDisplay      `json:"display,omitzero"`
	Interval          wire.Band          `json:"interval,omitzero"`
	StandardU         wire.Decimal       `json:"standard_uncertainty,omitzero" swaggertype:"number" example:"0.010"`
	UncertaintySource string             `json:"uncertainty_source,omitzero" enums:"caller,assumed,bracket,repeats,by_feel,none" example:"caller"`
	RuleUsed          string             `json:"rule_used,omitzero" enums:"guarded,simple" example:"guarded"`
	Guard             string             `json:"guard,omitzero" enums:"U,1.65u" example:"U"`
	Stage             string             `json:"stage,omitzero" enums:"as_built,as_found" example:"as_built"`
	Probability       wire.Decimal       `json:"probability_within,omitzero" swaggertype:"number" example:"0.999"`
	Band              wire.Band          `json:"band,omitzero"`
	WearLimit         wire.Band          `json:"wear_limit,omitzero"`
	Limits            wire.Band          `json:"limits,omitzero"`
	SpecPolicy        wire.SpecPolicy    `json:"policy,omitzero"`
	Margin            Margin             `json:"margin,omitzero"`
	Target            wire.Decimal       `json:"target,omitzero" swaggertype:"number" example:"0.08"`
	TargetPolicy      string             `json:"target_policy,omitzero" enums:"nearest,not_below,not_above" example:"not_below"`
	TargetDeviation   wire.Decimal       `json:"target_deviation,omitzero" swaggertype:"number" example:"0.0867"`
	AllowanceUsed     wire.Decimal       `json:"allowance_used,omitzero" swaggertype:"number" example:"0.833"`
	Ratio             wire.Decimal       `json:"measurement_ratio,omitzero" swaggertype:"number" example:"6.8"`
	Places            PlacesSummary      `json:"places,omitzero"`
	DecidedBy         int                `json:"decided_by_reading,omitzero" example:"3"`
	Readings          []ReadingResult    `json:"readings,omitzero"`
	Views             []View             `json:"views,omitzero"`
	Warnings          []wire.Note        `json:"warnings"`
	Next              []wire.Note        `json:"next"`
	Trace             []wire.Note        `json:"trace,omitzero"`
	Alternatives      []wire.Alternative `json:"alternatives,omitzero"`
	SourceClass       string             `json:"source_class,omitzero" enums:"maker,bulletin,standard,shop_measured,generic,caller,demo" example:"demo"`
	Cautions          []string           `json:"cautions" example:"circlip_eye_protection"`
	Problem           RowProblem         `json:"problem,omitzero"`
} //@name Result

// ResultDisplay is ready text beside the numbers of a result.
type ResultDisplay struct {
	Value     string `json:"value,omitzero" example:"0.17 mm"`
	Interval  string `json:"interval,omitzero" example:"0.15 to 0.19 mm"`
	Deviation string `json:"target_deviation,omitzero" example:"0.09 mm"`
	Band      string `json:"band,omitzero" example:"0.08–0.35 mm"`
	Target    string `json:"target,omitzero" example:"0.08 mm, not below"`
	WearLimit string `json:"wear_limit,omitzero" example:"0.50 mm"`
} //@name ResultDisplay

// Margin is how far what was held against a limit lies inside it; negative is outside. It is in the unit of the result
// unless it names its own: that of an angle is in degrees.
type Margin struct {
	ToLower wire.Decimal `json:"to_lower,omitzero" swaggertype:"number" example:"0.07"`
	ToUpper wire.Decimal `json:"to_upper,omitzero" swaggertype:"number" example:"0.15"`
	Unit    string       `json:"unit,omitzero" example:"°"`
} //@name Margin

// PlacesSummary sums up what was read where.
type PlacesSummary struct {
	Count  int          `json:"count" example:"3"`
	Min    wire.Decimal `json:"min,omitzero" swaggertype:"number" example:"0.15"`
	Max    wire.Decimal `json:"max,omitzero" swaggertype:"number" example:"0.20"`
	Spread wire.Decimal `json:"spread,omitzero" swaggertype:"number" example:"0.05"`
} //@name PlacesSummary

// ReadingResult is what one fastener of a torque record comes to by itself.
type ReadingResult struct {
	Number          int          `json:"number" example:"3"`
	Position        string       `json:"position,omitzero" example:"3"`
	Verdict         string       `json:"verdict" enums:"pass,conditional_pass,conditional_fail,fail,not_judged" example:"fail"`
	Decided         bool         `json:"decided" example:"true"`
	UndecidedReason string       `json:"undecided_because,omitzero" example:"check_high"`
	Where           string       `json:"where,omitzero" enums:"below,within,above,worn_out" example:"below"`
	Action          string       `json:"action" enums:"accept,accept_with_note,adjust,machine,replace,measure_again,ask" example:"adjust"`
	Value           wire.Decimal `json:"value,omitzero" swaggertype:"number" example:"15"`
	Unit            string       `json:"unit" example:"N·m"`
	Display         string       `json:"display,omitzero" example:"15 N·m"`
	Probability     wire.Decimal `json:"probability_within,omitzero" swaggertype:"number" example:"0.001"`
	Warnings        []wire.Note  `json:"warnings"`
	Next            []wire.Note  `json:"next"`
} //@name ReadingResult

// View is what one party of a dispute can prove: the supplier that the value is inside, the customer that it is outside
// (ISO 14253-1). The limits are those that the value itself must keep, or pass, for that.
type View struct {
	Party    string    `json:"party" enums:"supplier,customer" example:"supplier"`
	Claim    string    `json:"claim" enums:"inside,outside" example:"inside"`
	CanProve bool      `json:"can_prove" example:"true"`
	Limits   wire.Band `json:"limits,omitzero"`
	Text     string    `json:"text" example:"The supplier can prove that the value is inside."`
} //@name View

// RowProblem is why a row could not be judged. Code and detail are those of the first fault.
type RowProblem struct {
	Type          string          `json:"type" example:"/problems/values-not-accepted"`
	Title         string          `json:"title" example:"The values cannot be accepted"`
	Code          string          `json:"code" example:"decimal_comma"`
	Detail        string          `json:"detail" example:"\"0,15\" is written with a decimal comma"`
	Errors        []problem.Fault `json:"errors,omitzero"`
	ErrorsOmitted int             `json:"errors_omitted,omitzero" example:"0"`
} //@name RowProblem
