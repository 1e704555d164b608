package sheets

import (
	"strconv"

	"endfloat/api/judging"
	"endfloat/api/wire"
)

func itoa(n int) string { return strconv.Itoa(n) }

// SheetRequest is a filled sheet. What stands at the top holds for every line. Family may be left out where a line names
// a spec of it. At is the day of the sheet: lines without a date are of that day, and none is later; without it, it is
// the latest date of a line, else that of the revision. No clock is read, so that a sheet says the same whenever it is
// judged.
type SheetRequest struct {
	Family       string             `json:"family,omitzero" validate:"max=64" example:"pl-85"`
	Variant      string             `json:"variant,omitzero" validate:"max=64" example:"b"`
	EngineNumber string             `json:"engine_number,omitzero" validate:"max=64" example:"PLC 7001"`
	Marks        []wire.MarkRequest `json:"marks,omitzero" validate:"max=32"`
	Scope        string             `json:"scope,omitzero" validate:"max=64" example:"full"`
	Hours        wire.Number        `json:"hours,omitzero" swaggertype:"number" example:"412.5"`
	At           string             `json:"at,omitzero" validate:"max=64" example:"2026-11-21"`
	Claim        string             `json:"claim_number,omitzero" validate:"max=64" example:"C-1044"`
	Customer     string             `json:"customer_reference,omitzero" validate:"max=64" example:"north shed, engine 2"`
	Rule         string             `json:"rule,omitzero" enums:"guarded,simple" example:"guarded"`
	Guard        string             `json:"guard,omitzero" enums:"U,1.65u" example:"U"`
	Note         string             `json:"note,omitzero" validate:"max=2000"`
	Lines        []LineRequest      `json:"lines" validate:"required,max=1000"`
} //@name SheetRequest

// LineRequest is what the sheet says about one spec. A part that was put back as it was found (part reused) may be read
// once, as found.
type LineRequest struct {
	ID          string         `json:"id,omitzero" validate:"max=64" example:"1"`
	Spec        string         `json:"spec" validate:"required,max=200" example:"pl-85/counter-shaft/axial-play"`
	Unit        string         `json:"unit,omitzero" validate:"max=16" example:"mm"`
	AsFound     *StageRequest  `json:"as_found,omitzero"`
	AsBuilt     *StageRequest  `json:"as_built,omitzero"`
	Part        string         `json:"part,omitzero" enums:"new,reused" example:"new"`
	ShimsBefore []ShimRequest  `json:"shims_before,omitzero" validate:"max=32"`
	ShimsAfter  []ShimRequest  `json:"shims_after,omitzero" validate:"max=32"`
	Renewed     []string       `json:"renewed,omitzero" validate:"max=100" example:"PL-CIR-20"`
	Retorqued   bool           `json:"retorqued,omitzero" example:"false"`
	By          string         `json:"by,omitzero" validate:"max=64" example:"bench 3"`
	At          string         `json:"at,omitzero" validate:"max=64" example:"2026-11-20"`
	Tool        ToolRequest    `json:"tool,omitzero"`
	Witness     string         `json:"witness,omitzero" validate:"max=64" example:"foreman"`
	Waiver      *WaiverRequest `json:"waiver,omitzero"`
	Note        string         `json:"note,omitzero" validate:"max=2000"`
} //@name SheetLineRequest

// StageRequest is what was read at one stage: readings, or sizes where the value is made of several parts.
type StageRequest struct {
	Readings   []wire.ReadingRequest  `json:"readings,omitzero" validate:"max=100"`
	Sizes      []judging.SizeRequest  `json:"sizes,omitzero" validate:"max=8"`
	Instrument wire.InstrumentRequest `json:"instrument,omitzero"`
	How        string                 `json:"how,omitzero" enums:"measured,estimated,check" example:"measured"`
	Condition  string                 `json:"condition,omitzero" validate:"max=64" example:"oiled"`
} //@name SheetStageRequest

// ShimRequest is one piece at one place, in the unit of the line. A piece that is silent on its tolerance takes that of
// its size on the ladder, by SKU, else by equal thickness.
type ShimRequest struct {
	Place     string      `json:"place,omitzero" validate:"max=64" example:"left"`
	Thickness wire.Number `json:"thickness" swaggertype:"number" validate:"required" example:"1.20"`
	SKU       string      `json:"sku,omitzero" validate:"max=64" example:"PL-SH-120"`
	Tolerance wire.Number `json:"tolerance,omitzero" swaggertype:"number" example:"0.01"`
	StandardU wire.Number `json:"standard_uncertainty,omitzero" swaggertype:"number" example:"0.004"`
	Measured  bool        `json:"measured,omitzero" example:"true"`
} //@name SheetShimRequest

// ToolRequest is what was measured or tightened with, as the shop names it.
type ToolRequest struct {
	ID             string `json:"id,omitzero" validate:"max=64" example:"wrench 2"`
	CalibrationDue string `json:"calibration_due,omitzero" validate:"max=64" example:"2027-03-01"`
} //@name SheetTool

// WaiverRequest is who lets an estimate stand, and why.
type WaiverRequest struct {
	Who    string `json:"who" validate:"required,max=64" example:"foreman"`
	Reason string `json:"reason" validate:"required,max=500" example:"no room for a wrench"`
} //@name SheetWaiver

// has reports whether the stage was stated at all.
func (s *StageRequest) has() bool {
	return s != nil && (s.Readings != nil || s.Sizes != nil || s.How != "" || s.Condition != "" || s.Instrument.Kind != "" || s.Instrument.ID != "")
}
