package shimming

import (
	"endfloat/api/judging"
	"endfloat/api/wire"
)

// PlanAnswer is what to fit. fit_now lists what needs no buying, to_order everything, both in order of rank; no_change is
// shown by itself. A field without a value is absent.
type PlanAnswer struct {
	Revision        string           `json:"revision" example:"r-5f1c2a9e0b7d"`
	RevisionDate    string           `json:"revision_date" example:"2026-11-01"`
	Rules           string           `json:"rules" example:"1"`
	Policy          judging.Policy   `json:"policy"`
	Outcome         string           `json:"outcome" enums:"change,leave,none_sure,none_in_band,refused" example:"change"`
	Reason          string           `json:"reason" example:"out_of_order"`
	Text            string           `json:"text" example:"Fit left side 1.20 mm | right side 1.20 mm → 0.22 mm."`
	Needed          bool             `json:"needed" example:"true"`
	Objective       string           `json:"objective,omitzero" enums:"closest,fewest_new" example:"closest"`
	Unit            string           `json:"unit" example:"mm"`
	FitNow          []Option         `json:"fit_now"`
	ToOrder         []Option         `json:"to_order"`
	Order           []OrderLine      `json:"order"`
	NoChange        NoChange         `json:"no_change,omitzero"`
	Now             []judging.Result `json:"now"`
	Thickness       Thickness        `json:"thickness,omitzero"`
	PracticalTarget wire.Decimal     `json:"practical_target,omitzero" swaggertype:"number" example:"0.12"`
	PracticalText   string           `json:"practical_target_display,omitzero" example:"0.12 mm"`
	Nearest         Nearest          `json:"nearest,omitzero"`
	Rejected        []Option         `json:"rejected"`
	RefusedPoints   []RefusedPoint   `json:"refused_points"`
	Sensitivity     []Sensitivity    `json:"sensitivity"`
	GrindTo         []Grind          `json:"grind_to,omitzero"`
	Warnings        []wire.Note      `json:"warnings"`
	Next            []wire.Note      `json:"next"`
	Cautions        []wire.Caution   `json:"cautions"`
	Demand          Demand           `json:"demand,omitzero"`
	Trace           []wire.Note      `json:"trace"`
	Proven          bool             `json:"proven" example:"true"`
	Nodes           int              `json:"nodes" example:"4000000"`
} //@name ShimPlanAnswer

// Demand is the probability that every spec has to reach; asked says that the request or a policy named it.
type Demand struct {
	MinProbability wire.Decimal `json:"min_probability" swaggertype:"number" example:"0.977"`
	Asked          bool         `json:"asked" example:"false"`
} //@name ShimDemand

// Option is one filling of the places. why has the codes of its reasons, reasons the sentences.
type Option struct {
	Rank        int          `json:"rank,omitzero" example:"1"`
	Text        string       `json:"text" example:"left side 1.20 mm | right side 1.20 mm → 0.22 mm"`
	Places      []Place      `json:"places"`
	Predicted   []Prediction `json:"predicted"`
	Offset      wire.Decimal `json:"offset,omitzero" swaggertype:"number" example:"0.00"`
	Offsets     []Offset     `json:"offsets,omitzero"`
	NewPieces   int          `json:"new_pieces" example:"2"`
	Pieces      int          `json:"pieces" example:"2"`
	MeetsDemand bool         `json:"meets_demand" example:"true"`
	PlaceOut    bool         `json:"place_out" example:"false"`
	PastAim     bool         `json:"past_aim" example:"false"`
	Value       wire.Decimal `json:"value,omitzero" swaggertype:"number" example:"0.03"`
	Miss        wire.Decimal `json:"miss,omitzero" swaggertype:"number" example:"0.02"`
	Why         []string     `json:"why" example:"on_aim,centred"`
	Reasons     []wire.Note  `json:"reasons"`
} //@name ShimOption

// NoChange is what leaving everything means; allowed is false where that breaks a limit, which why names.
type NoChange struct {
	Allowed     bool         `json:"allowed" example:"false"`
	Text        string       `json:"text" example:"left side 1.00 mm | right side 1.00 mm → 0.62 mm"`
	Places      []Place      `json:"places"`
	Predicted   []Prediction `json:"predicted"`
	Offset      wire.Decimal `json:"offset,omitzero" swaggertype:"number" example:"0.00"`
	Offsets     []Offset     `json:"offsets,omitzero"`
	NewPieces   int          `json:"new_pieces" example:"0"`
	Pieces      int          `json:"pieces" example:"2"`
	MeetsDemand bool         `json:"meets_demand" example:"false"`
	PlaceOut    bool         `json:"place_out" example:"false"`
	PastAim     bool         `json:"past_aim" example:"false"`
	Why         []string     `json:"why" example:"above"`
	Reasons     []wire.Note  `json:"reasons"`
} //@name ShimNoChange

// IsZero reports whether nothing was planned.
func (n NoChange) IsZero() bool { return n.Predicted == nil }

// Place is the adjustable pieces of one place, thickest first from the face in against.
type Place struct {
	Shims   string  `json:"shims,omitzero" example:"pl-85/counter-shaft/stack-shims"`
	Place   string  `json:"place" example:"left"`
	Against string  `json:"against,omitzero" enums:"circlip,rotating" example:"circlip"`
	Changed bool    `json:"changed" example:"true"`
	Pieces  []Piece `json:"pieces"`
	Display string  `json:"display" example:"1.20 mm"`
} //@name ShimOptionPlace

// Piece is one shim of an option, with where it comes from. A fitted one of another place names that place.
type Piece struct {
	Thickness wire.Decimal `json:"thickness" swaggertype:"number" example:"1.20"`
	Unit      string       `json:"unit" example:"mm"`
	From      string       `json:"from" enums:"fitted,on_hand,order" example:"order"`
	SKU       string       `json:"sku,omitzero" example:"PL-SH-120"`
	FromShims string       `json:"from_shims,omitzero" example:"pl-85/counter-shaft/stack-shims"`
	FromPlace string       `json:"from_place,omitzero" example:"right"`
	Worn      bool         `json:"worn,omitzero" example:"false"`
} //@name ShimOptionPiece

// Prediction is what a spec would read with an option. verdict_if_confirmed is what measuring exactly that would give.
type Prediction struct {
	Spec            string       `json:"spec" example:"pl-85/counter-shaft/axial-play"`
	Name            string       `json:"name,omitzero" example:"Axial play of the gear stack"`
	Value           wire.Decimal `json:"value" swaggertype:"number" example:"0.22"`
	Unit            string       `json:"unit" example:"mm"`
	Display         string       `json:"display" example:"0.22 mm"`
	Lowest          wire.Decimal `json:"lowest" swaggertype:"number" example:"0.20"`
	Highest         wire.Decimal `json:"highest" swaggertype:"number" example:"0.24"`
	StandardU       wire.Decimal `json:"standard_uncertainty,omitzero" swaggertype:"number" example:"0.0129"`
	NoUncertainty   bool         `json:"no_uncertainty,omitzero" example:"false"`
	Probability     wire.Decimal `json:"probability_within,omitzero" swaggertype:"number" example:"0.999"`
	TargetDeviation wire.Decimal `json:"target_deviation" swaggertype:"number" example:"0.02"`
	Verdict         string       `json:"verdict_if_confirmed" enums:"pass,conditional_pass,conditional_fail,fail,not_judged" example:"pass"`
	Because         string       `json:"undecided_because,omitzero" example:"uncertainty"`
	Position        string       `json:"position,omitzero" enums:"below,within,above,worn_out" example:"within"`
	Hot             wire.Decimal `json:"hot,omitzero" swaggertype:"number" example:"0.284"`
	Miss            wire.Decimal `json:"miss,omitzero" swaggertype:"number" example:"0.02"`
} //@name ShimPrediction

// Offset is where the stack of a set would stand; positive is towards the second place.
type Offset struct {
	Shims string       `json:"shims" example:"pl-85/counter-shaft/stack-shims"`
	Value wire.Decimal `json:"value" swaggertype:"number" example:"0.00"`
	Unit  string       `json:"unit" example:"mm"`
} //@name ShimOffsetValue

// OrderLine is one size to buy for the option that is ranked first in to_order.
type OrderLine struct {
	Shims     string       `json:"shims" example:"pl-85/counter-shaft/stack-shims"`
	SKU       string       `json:"sku,omitzero" example:"PL-SH-120"`
	Thickness wire.Decimal `json:"thickness" swaggertype:"number" example:"1.20"`
	Unit      string       `json:"unit" example:"mm"`
	Count     int          `json:"count" example:"2"`
	Display   string       `json:"display" example:"2 × 1.20 mm PL-SH-120"`
} //@name ShimOrderLine

// Thickness is the total of the adjustable pieces that the one spec accepts, and the total that would meet its aim. lower and
// upper hold what is held against each limit, which may be a place; ideal follows from the value alone, is not moved into
// lower to upper and may lie outside them.
type Thickness struct {
	Lower   wire.Decimal `json:"lower,omitzero" swaggertype:"number" example:"1.58"`
	Upper   wire.Decimal `json:"upper,omitzero" swaggertype:"number" example:"1.73"`
	Ideal   wire.Decimal `json:"ideal" swaggertype:"number" example:"1.655"`
	Now     wire.Decimal `json:"now" swaggertype:"number" example:"1.50"`
	Unit    string       `json:"unit" example:"mm"`
	Display string       `json:"display" example:"1.58–1.73 mm"`
} //@name ShimThickness

// IsZero reports whether there is no such total.
func (t Thickness) IsZero() bool { return t.Unit == "" }

// Nearest is what comes nearest where nothing is inside: too tight, and too loose.
type Nearest struct {
	Tight Option `json:"tight,omitzero"`
	Loose Option `json:"loose,omitzero"`
} //@name ShimNearest

// IsZero reports whether an option is none.
func (o Option) IsZero() bool { return o.Places == nil }

// IsZero reports whether there is nothing near.
func (n Nearest) IsZero() bool { return n.Tight.IsZero() && n.Loose.IsZero() }

// RefusedPoint is a spec that cannot be planned; its places keep what they have.
type RefusedPoint struct {
	Spec   string      `json:"spec" example:"pl-85/counter-shaft/axial-play"`
	Basis  string      `json:"basis,omitzero" enums:"measured,estimated,derived,below_gauge,above_gauge,missing,implausible" example:"below_gauge"`
	Reason string      `json:"reason" example:"below_gauge"`
	Text   string      `json:"text" example:"No blade enters: no shim follows from that."`
	Places []PlaceName `json:"places"`
	Next   []wire.Note `json:"next"`
} //@name ShimRefusedPoint

// PlaceName names a place of a set.
type PlaceName struct {
	Shims string `json:"shims" example:"pl-85/counter-shaft/stack-shims"`
	Place string `json:"place" example:"left"`
} //@name ShimPlaceName

// Sensitivity says what one step of thickness more at a place changes.
type Sensitivity struct {
	Shims   string       `json:"shims" example:"pl-85/counter-shaft/stack-shims"`
	Place   string       `json:"place" example:"left"`
	Step    wire.Decimal `json:"step" swaggertype:"number" example:"0.05"`
	Unit    string       `json:"unit" example:"mm"`
	Changes []Effect     `json:"changes"`
	Offset  wire.Decimal `json:"offset,omitzero" swaggertype:"number" example:"0.025"`
	Text    string       `json:"text" example:"left side, 0.05 mm thicker: Axial play of the gear stack −0.05 mm, offset 0.025 mm, right side."`
} //@name ShimSensitivity

// Effect is the change of one spec.
type Effect struct {
	Spec   string       `json:"spec" example:"pl-85/counter-shaft/axial-play"`
	Change wire.Decimal `json:"change" swaggertype:"number" example:"-0.05"`
	Unit   string       `json:"unit" example:"mm"`
} //@name ShimEffectOfStep

// Grind is a thicker piece that the source allows to be ground to what puts every spec on its aim and the stack in the
// middle; one of just that thickness needs no grinding.
type Grind struct {
	Shims string       `json:"shims" example:"ov-120/carrier/shims"`
	Place string       `json:"place" example:"inner"`
	From  Piece        `json:"from"`
	To    wire.Decimal `json:"to" swaggertype:"number" example:"1.655"`
	Unit  string       `json:"unit" example:"mm"`
} //@name ShimGrind
