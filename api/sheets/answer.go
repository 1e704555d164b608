package sheets

import (
	"endfloat/api/judging"
	"endfloat/api/signature"
	"endfloat/api/wire"
)

// SheetAnswer is a filled sheet judged: what each line says at both stages, and what the whole proves. Signed is absent
// where the service has no key to sign with; signature says so then.
type SheetAnswer struct {
	Revision       string          `json:"revision" example:"r-5f1c2a9e0b7d"`
	RevisionDate   string          `json:"revision_date" example:"2026-11-01"`
	Rules          string          `json:"rules" example:"1"`
	Policy         judging.Policy  `json:"policy"`
	Family         string          `json:"family" example:"pl-85"`
	FamilyName     string          `json:"family_name" example:"PL-85"`
	Variant        string          `json:"variant,omitzero" example:"b"`
	EngineNumber   string          `json:"engine_number,omitzero" example:"PLC 7001"`
	Scope          string          `json:"scope" example:"full"`
	Hours          wire.Decimal    `json:"hours,omitzero" swaggertype:"number" example:"412.5"`
	At             string          `json:"at,omitzero" example:"2026-11-21"`
	Claim          string          `json:"claim_number,omitzero" example:"C-1044"`
	Customer       string          `json:"customer_reference,omitzero" example:"north shed, engine 2"`
	Note           string          `json:"note,omitzero"`
	Outcome        Outcome         `json:"outcome"`
	Lines          []Line          `json:"lines"`
	Missing        []Missing       `json:"missing"`
	Gates          []Gate          `json:"gates"`
	Contradictions []Contradiction `json:"contradictions"`
	Order          []Order         `json:"order"`
	Warnings       []wire.Note     `json:"warnings"`
	Cautions       []wire.Caution  `json:"cautions"`
	Notice         string          `json:"notice" example:"This sheet supports the work and does not replace the maker's own current manual."`
	Signed         signature.Token `json:"signed,omitzero" swaggertype:"string"`
	Signature      Signature       `json:"signature"`
} //@name SheetAnswer

// Outcome is the worst verdict of the sheet, lines that are missing counting as not judged. Complete says that every line
// that has something to prove was read.
type Outcome struct {
	Verdict  string        `json:"verdict" enums:"pass,conditional_pass,conditional_fail,fail,not_judged" example:"not_judged"`
	Complete bool          `json:"complete" example:"false"`
	Text     string        `json:"text" example:"Not decided: lines are missing or could not be judged."`
	Summary  OutcomeCounts `json:"summary"`
} //@name SheetOutcome

// OutcomeCounts count the lines; the five verdicts sum to lines, and lines that are not on the sheet are among the not
// judged. Estimated, missing, waived and problems count some of them again.
type OutcomeCounts struct {
	Lines           int `json:"lines" example:"14"`
	Pass            int `json:"pass" example:"11"`
	ConditionalPass int `json:"conditional_pass" example:"1"`
	ConditionalFail int `json:"conditional_fail" example:"0"`
	Fail            int `json:"fail" example:"0"`
	NotJudged       int `json:"not_judged" example:"2"`
	Estimated       int `json:"estimated" example:"1"`
	Missing         int `json:"missing" example:"2"`
	Waived          int `json:"waived" example:"1"`
	Problems        int `json:"problems" example:"0"`
	Contradictions  int `json:"contradictions" example:"0"`
} //@name SheetCounts

// Line is one line, judged. Verdict, action, text, warnings and next are those of the stage that says how the engine was
// left: as built, or as found where the part was put back as it was. What was said is echoed.
type Line struct {
	ID               string             `json:"id" example:"1"`
	Index            int                `json:"index" example:"0"`
	Spec             string             `json:"spec,omitzero" example:"pl-85/counter-shaft/axial-play"`
	Name             string             `json:"name,omitzero" example:"Axial play of the gear stack"`
	Gate             string             `json:"gate,omitzero" enums:"cases_close,head_on,first_start" example:"cases_close"`
	Critical         bool               `json:"critical" example:"false"`
	Verdict          string             `json:"verdict" enums:"pass,conditional_pass,conditional_fail,fail,not_judged" example:"pass"`
	Decided          bool               `json:"decided" example:"true"`
	UndecidedBecause string             `json:"undecided_because,omitzero" example:"estimated"`
	Estimated        bool               `json:"estimated" example:"false"`
	Waived           bool               `json:"waived" example:"false"`
	Action           string             `json:"action" enums:"accept,accept_with_note,adjust,machine,replace,measure_again,ask" example:"accept"`
	Text             string             `json:"text" example:"inside: 0.1667 mm ± 0.02 mm; allowed 0.08–0.35 mm; accept; DEMO"`
	AsFound          *judging.Result    `json:"as_found,omitzero"`
	AsBuilt          *judging.Result    `json:"as_built,omitzero"`
	Part             string             `json:"part,omitzero" enums:"new,reused" example:"new"`
	ShimsBefore      []ShimRequest      `json:"shims_before,omitzero"`
	ShimsAfter       []ShimRequest      `json:"shims_after,omitzero"`
	Renewed          []string           `json:"renewed,omitzero" example:"PL-CIR-20"`
	Retorqued        bool               `json:"retorqued,omitzero" example:"false"`
	By               string             `json:"by,omitzero" example:"bench 3"`
	At               string             `json:"at,omitzero" example:"2026-11-20"`
	Tool             ToolRequest        `json:"tool,omitzero"`
	Witness          string             `json:"witness,omitzero" example:"foreman"`
	Waiver           *WaiverRequest     `json:"waiver,omitzero"`
	Note             string             `json:"note,omitzero"`
	Warnings         []wire.Note        `json:"warnings"`
	Next             []wire.Note        `json:"next"`
	Cautions         []string           `json:"cautions" example:"circlip_eye_protection"`
	Problem          judging.RowProblem `json:"problem,omitzero"`
} //@name SheetLine

// Missing is a line that has something to prove and does not say it.
type Missing struct {
	Spec      string `json:"spec" example:"pl-85/crank/runout"`
	Name      string `json:"name" example:"Runout of the shaft ends"`
	Component string `json:"component" example:"crank"`
	Gate      string `json:"gate" enums:"cases_close,head_on,first_start" example:"cases_close"`
	Critical  bool   `json:"critical" example:"false"`
	Because   string `json:"because" enums:"no_line,no_reading,as_built_missing" example:"no_line"`
	Text      string `json:"text" example:"Runout of the shaft ends is not on the sheet."`
} //@name SheetMissing

// Gate is a moment after which what lies behind it cannot be reached, and what stands before it.
type Gate struct {
	Gate      string     `json:"gate" enums:"cases_close,head_on,first_start" example:"cases_close"`
	Name      string     `json:"name" example:"Before the cases close"`
	State     string     `json:"state" enums:"blocked,may_close_with_waiver,may_close" example:"blocked"`
	Proven    int        `json:"proven" example:"4"`
	BlockedBy []GateItem `json:"blocked_by"`
	Waived    []GateItem `json:"waived"`
	Unproven  []GateItem `json:"unproven"`
	Text      string     `json:"text" example:"DO NOT CLOSE: 2 things are in the way"`
} //@name SheetGate

// GateItem is one thing that a gate waits for, or lets stand: a line, or an earlier gate.
type GateItem struct {
	Spec    string `json:"spec,omitzero" example:"pl-85/counter-shaft/key-bolt"`
	ID      string `json:"id,omitzero" example:"3"`
	Name    string `json:"name" example:"Bolt of the sliding key"`
	Gate    string `json:"gate,omitzero" enums:"cases_close,head_on,first_start" example:"cases_close"`
	Because string `json:"because" example:"gate_waiver_missing"`
	Text    string `json:"text" example:"It is estimated: a waiver has to name who lets it stand and why."`
} //@name SheetGateItem

// Contradiction is where the sheet does not agree with itself or with the trade. One that blocks holds a gate.
type Contradiction struct {
	Code     string       `json:"code" example:"closure_open"`
	Text     string       `json:"text" example:"Before, shims and after do not add up."`
	Params   []wire.Param `json:"params"`
	Specs    []string     `json:"specs" example:"pl-85/counter-shaft/axial-play"`
	IDs      []string     `json:"ids" example:"1"`
	Indexes  []int        `json:"indexes" example:"0"`
	Blocks   bool         `json:"blocks" example:"true"`
	Suspects []wire.Note  `json:"suspects,omitzero"`
} //@name SheetContradiction

// Order is a part to be ordered, by the number under which it is sold now.
type Order struct {
	SKU       string   `json:"sku" example:"PL-CIR-20"`
	Replaces  string   `json:"replaces,omitzero" example:"PL-CIR-19"`
	Name      string   `json:"name" example:"Circlip of the counter shaft"`
	Quantity  int      `json:"quantity" example:"2"`
	Component string   `json:"component" example:"counter-shaft"`
	Because   string   `json:"because" enums:"always_renew,replace" example:"always_renew"`
	Specs     []string `json:"specs" example:"pl-85/counter-shaft/axial-play"`
	Text      string   `json:"text" example:"always renewed at a rebuild"`
} //@name SheetOrder

// Signature says what stands behind the sheet. Digest is the SHA-256 of what is signed, in hexadecimal digits, for paper.
type Signature struct {
	Signed    bool   `json:"signed" example:"true"`
	Algorithm string `json:"algorithm,omitzero" enums:"EdDSA" example:"EdDSA"`
	KeyID     string `json:"kid,omitzero" example:"kPrK_qmxVWaYVA9wwBF6Iuo3vVzz7TxHCTwXBygrS4k"`
	SignedOn  string `json:"signed_on,omitzero" example:"2026-11-25"`
	Digest    string `json:"digest" example:"9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08"`
	Text      string `json:"text" example:"Unsigned: this service has no signing key."`
} //@name SheetSignature
