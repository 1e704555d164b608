// Package spec is the shape of what is allowed: a band, an aim, a wear limit or a torque with its source.
//
// It decides what a spec may hold and what an empty field means. It refuses to know where specs come from and how
// they are shown. One shape serves the catalogue and a caller's own spec. All numbers are exact decimals in Unit;
// limits are intervals with both ends inside.
//
//	s := &spec.Spec{Kind: spec.Dimension, Unit: quantity.Millimetre, Decimals: 2,
//		Band: quantity.Between(quantity.MustParse("0.08"), quantity.MustParse("0.35"))}
package spec

import "endfloat/service/quantity"

// Key names a spec, a shim set, a component or a family: lower-case slugs joined by slashes.
type Key string

// Kind is what a spec limits.
type Kind string

// The kinds.
const (
	Dimension Kind = "dimension"
	Torque    Kind = "torque"
	Angle     Kind = "angle"
	Other     Kind = "other"
	Category  Kind = "category"
)

// TargetPolicy says from which side the aim may be missed.
type TargetPolicy string

// The policies; the empty one means Nearest.
const (
	Nearest  TargetPolicy = "nearest"
	NotBelow TargetPolicy = "not_below"
	NotAbove TargetPolicy = "not_above"
)

// Remedy is what is done about a part that fails. Empty: the spec does not say.
type Remedy string

// The remedies.
const (
	Adjust  Remedy = "adjust"
	Machine Remedy = "machine"
	Replace Remedy = "replace"
)

// Combine says how the places of a check become one value.
type Combine string

// The rules; the empty one means Mean, in Against it means that the spec is silent.
const (
	Mean   Combine = "mean"
	Min    Combine = "min"
	Max    Combine = "max"
	Spread Combine = "range"
)

// Points says where and how often to measure and what is held against each limit.
type Points struct {
	Minimum      int
	Combine      Combine
	AgainstLower Combine
	AgainstUpper Combine
	MaxSpread    quantity.Decimal
	HasMaxSpread bool
	Places       Text // in words: "four places, 90° apart"
}

// ValueForm is how a torque was published.
type ValueForm string

// The forms; the empty one means Range for a torque.
const (
	Range        ValueForm = "range"
	Single       ValueForm = "single"
	Stages       ValueForm = "stages"
	TorqueAngle  ValueForm = "torque_angle"
	NotPublished ValueForm = "not_published"
	OutOfScope   ValueForm = "out_of_scope"
)

// Hand is the hand of a thread; the empty one means Right.
type Hand string

// The hands.
const (
	Right Hand = "right"
	Left  Hand = "left"
)

// Fastener is what a torque belongs to. Empty fields are what the source does not say.
type Fastener struct {
	Thread        string // "M8x1.25"
	Hand          Hand
	PropertyClass string
	Head          string // hexagon, socket, …
	Into          string // steel, light_alloy, insert
	Condition     string // dry, oiled, thread_lock, anti_seize, coated
	Count         int
	Access        string           // open, crowfoot, no_wrench
	Reuse         string           // reusable, one_time
	Retorque      string           // never, after_first_run, cold, …
	Prevailing    string           // included, extra, unstated; empty: no prevailing nut
	Running       quantity.Decimal // least running torque of a prevailing nut, in the unit of the spec
	HasRunning    bool
	Locking       string // tab_washer, split_pin, wire, …
	Pattern       string // crosswise, …
	Taper         bool
	Slots         int // slots of a castle nut a turn; 0: no castle nut
}

// Stage is one step of a staged tightening.
type Stage struct {
	Value    quantity.Decimal
	HasValue bool
	Angle    quantity.Decimal
	HasAngle bool
	Pattern  string
}

// Size is one part of a clearance that is computed from sizes: value = Σ Sign · size.
type Size struct {
	Part          string
	Sign          int // +1 or −1
	ExpansionPerK quantity.Decimal
	HasExpansion  bool
}

// Source says where a value comes from.
type Source struct {
	Class    string // maker, bulletin, standard, shop_measured, generic, caller, demo
	Title    string
	Locator  string
	Reviewed string // date
	ReviewBy string // date after which a review is overdue; empty: none
	Engines  int    // how many engines a shop_measured value stands on
}

// DecidedBy says which variant or part mark chose these values.
type DecidedBy struct {
	Variant string
	Mark    string // component:mark
}

// Spec is one published limit. The zero value of a field means that the source is silent. A Spec is immutable
// once it is in a catalogue and safe for concurrent use.
type Spec struct {
	Key           Key
	Kind          Kind
	Name          Text
	FamilyName    Text
	ComponentName Text
	Unit          quantity.Unit
	Decimals      int
	Band          quantity.Range
	Target        quantity.Decimal
	HasTarget     bool
	TargetPolicy  TargetPolicy
	WearLimit     quantity.Range
	Plausible     quantity.Range
	Remedy        Remedy
	Critical      bool
	Form          bool  // form characteristic: zero is perfect, several readings needed
	After         []Key // specs that must be proven before this one is measured or tightened
	Waiver        bool  // an estimate may stand on a sheet with a named waiver and a witness
	Points        Points
	State         Text     // condition at measuring
	Conditions    []string // machine words of the state: cold, dry, …
	AdjustedBy    Key      // a shim set
	Cautions      []string // codes in severity order
	DecidedBy     DecidedBy
	Source        *Source
	RevisionDate  string
	Reason        Text // of the last change
	Sizes         []Size
	Allowed       []string // values of a Category that pass
	Rejected      []string // values of a Category that are known and do not pass

	ValueForm         ValueForm
	PolicyPercent     quantity.Decimal // tolerance of a single value by policy
	HasPolicy         bool
	Stages            []Stage
	TurnAngle         quantity.Decimal // of a torque_angle, in degrees
	HasTurnAngle      bool
	AngleTolerance    quantity.Decimal
	HasAngleTolerance bool
	Fastener          *Fastener
}

// Policy is the policy about the aim with its default, nearest.
func (s *Spec) Policy() TargetPolicy {
	if s.TargetPolicy == "" {
		return Nearest
	}
	return s.TargetPolicy
}

// CombineRule is the rule by which places become one value, with its default.
func (s *Spec) CombineRule() Combine {
	if s.Points.Combine == "" {
		return Mean
	}
	return s.Points.Combine
}

// Limited reports whether there is anything a number could be held to.
func (s *Spec) Limited() bool { return !s.Band.Empty() || !s.WearLimit.Empty() }

// LeftHand reports whether the fastener has a left-hand thread.
func (s *Spec) LeftHand() bool { return s.Fastener != nil && s.Fastener.Hand == Left }
