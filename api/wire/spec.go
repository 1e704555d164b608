package wire

import (
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// Spec is one published limit as answers show it. A field without a value is absent.
type Spec struct {
	Key            string     `json:"key" example:"pl-85/counter-shaft/axial-play"`
	Href           string     `json:"href" example:"/v1/families/pl-85/components/counter-shaft/specs/axial-play"`
	Kind           string     `json:"kind" enums:"dimension,torque,angle,other,category" example:"dimension"`
	Name           string     `json:"name" example:"Axial play of the gear stack"`
	FamilyName     string     `json:"family_name" example:"PL-85"`
	ComponentName  string     `json:"component_name" example:"Counter shaft stack"`
	Unit           string     `json:"unit,omitzero" example:"mm"`
	Decimals       int        `json:"decimals" example:"2"`
	ValueForm      string     `json:"value_form,omitzero" enums:"range,single,stages,torque_angle,not_published,out_of_scope" example:"range"`
	Band           Band       `json:"band,omitzero"`
	Target         Decimal    `json:"target,omitzero" swaggertype:"number" example:"0.08"`
	TargetPolicy   string     `json:"target_policy,omitzero" enums:"nearest,not_below,not_above" example:"not_below"`
	Policy         SpecPolicy `json:"policy,omitzero"`
	Stages         []Stage    `json:"stages,omitzero"`
	Angle          Decimal    `json:"angle,omitzero" swaggertype:"number" example:"90"`
	AngleTolerance Decimal    `json:"angle_tolerance,omitzero" swaggertype:"number" example:"5"`
	WearLimit      Band       `json:"wear_limit,omitzero"`
	Plausible      Band       `json:"plausible,omitzero"`
	Remedy         string     `json:"remedy,omitzero" enums:"adjust,machine,replace" example:"adjust"`
	Critical       bool       `json:"critical" example:"false"`
	Form           bool       `json:"form,omitzero" example:"true"`
	Points         Points     `json:"points,omitzero"`
	Sizes          []SizePart `json:"sizes,omitzero"`
	Allowed        []string   `json:"allowed,omitzero" example:"centred"`
	Rejected       []string   `json:"rejected,omitzero" example:"toe"`
	State          string     `json:"state,omitzero" example:"cold, dry, stack pushed to one side"`
	Conditions     []string   `json:"conditions,omitzero" example:"cold"`
	AdjustedBy     string     `json:"adjusted_by,omitzero" example:"pl-85/counter-shaft/stack-shims"`
	After          []string   `json:"after,omitzero" example:"pl-85/counter-shaft/gear-face"`
	Waiver         bool       `json:"waiver,omitzero" example:"true"`
	Fastener       Fastener   `json:"fastener,omitzero"`
	Cautions       []string   `json:"cautions" example:"circlip_eye_protection"`
	DecidedBy      DecidedBy  `json:"decided_by,omitzero"`
	Source         Source     `json:"source"`
	RevisionDate   string     `json:"revision_date" example:"2026-11-01"`
	Reason         string     `json:"reason,omitzero" example:"tightened after a review"`
	Display        Display    `json:"display"`
	Converted      Converted  `json:"converted,omitzero"`
	NotConverted   string     `json:"not_converted,omitzero" enums:"other_kind" example:"other_kind"` // why not, where a unit was asked for that measures something else

	Alternatives []Alternative `json:"alternatives,omitzero"`
} //@name Spec

// Alternative is what a variant or a part mark has instead, where the caller named neither.
type Alternative struct {
	Variant   string    `json:"variant,omitzero" example:"b"`
	Mark      string    `json:"mark,omitzero" example:"counter-shaft:K2"`
	Name      string    `json:"name" example:"variant b"` // what decides it, in words
	Unit      string    `json:"unit,omitzero" example:"mm"`
	Decimals  int       `json:"decimals" example:"2"`
	ValueForm string    `json:"value_form,omitzero" enums:"range,single,stages,torque_angle,not_published,out_of_scope" example:"range"`
	Band      Band      `json:"band,omitzero"`
	Target    Decimal   `json:"target,omitzero" swaggertype:"number" example:"0.10"`
	WearLimit Band      `json:"wear_limit,omitzero"`
	Cautions  []string  `json:"cautions" example:"circlip_eye_protection"`
	Display   Display   `json:"display"`
	Converted Converted `json:"converted,omitzero"`
} //@name Alternative

// SpecPolicy is the tolerance that stands in for one that was never published.
type SpecPolicy struct {
	Percent Decimal `json:"percent,omitzero" swaggertype:"number" example:"5"`
} //@name SpecPolicy

// Stage is one step of a staged tightening: a torque, an angle, or both, with the pattern of the pass.
type Stage struct {
	Value   Decimal `json:"value,omitzero" swaggertype:"number" example:"10"`
	Angle   Decimal `json:"angle,omitzero" swaggertype:"number" example:"90"`
	Pattern string  `json:"pattern,omitzero" example:"crosswise"`
} //@name Stage

// Points says where and how often to measure and what is held against each limit.
type Points struct {
	Minimum      int     `json:"minimum,omitzero" example:"3"`
	Combine      string  `json:"combine,omitzero" enums:"mean,min,max,range" example:"mean"`
	AgainstLower string  `json:"against_lower,omitzero" enums:"mean,min,max,range" example:"min"`
	AgainstUpper string  `json:"against_upper,omitzero" enums:"mean,min,max,range" example:"max"`
	MaxSpread    Decimal `json:"max_spread,omitzero" swaggertype:"number" example:"0.10"`
	Places       string  `json:"places,omitzero" example:"four places, 90° apart"`
} //@name Points

// SizePart is one size of a clearance that is computed from sizes.
type SizePart struct {
	Part          string  `json:"part" example:"bore"`
	Sign          int     `json:"sign" example:"1"`
	ExpansionPerK Decimal `json:"expansion_per_k,omitzero" swaggertype:"number" example:"0.000023"`
} //@name SizePart

// Fastener is what a torque belongs to.
type Fastener struct {
	Thread        string  `json:"thread,omitzero" example:"M8x1.25"`
	Hand          string  `json:"hand,omitzero" enums:"right,left" example:"left"`
	PropertyClass string  `json:"property_class,omitzero" example:"10.9"`
	Head          string  `json:"head,omitzero" example:"hexagon"`
	Into          string  `json:"into,omitzero" example:"steel"`
	Condition     string  `json:"condition,omitzero" example:"thread_lock"`
	Count         int     `json:"count,omitzero" example:"1"`
	Access        string  `json:"access,omitzero" example:"no_wrench"`
	Reuse         string  `json:"reuse,omitzero" example:"reusable"`
	Retorque      string  `json:"retorque,omitzero" example:"never"`
	Prevailing    string  `json:"prevailing,omitzero" enums:"included,extra,unstated" example:"included"`
	Running       Decimal `json:"running_torque,omitzero" swaggertype:"number" example:"2.1"`
	Locking       string  `json:"locking,omitzero" example:"tab_washer"`
	Pattern       string  `json:"pattern,omitzero" example:"crosswise"`
	Taper         bool    `json:"taper,omitzero" example:"true"`
	Slots         int     `json:"slots,omitzero" example:"6"`
} //@name Fastener

// DecidedBy says which variant or part mark chose the values.
type DecidedBy struct {
	Variant string `json:"variant,omitzero" example:"b"`
	Mark    string `json:"mark,omitzero" example:"counter-shaft:K2"`
} //@name DecidedBy

// Source says where a value comes from.
type Source struct {
	Class    string `json:"class" enums:"maker,bulletin,standard,shop_measured,generic,caller,demo" example:"demo"`
	Title    string `json:"title,omitzero" example:"Demo data, invented"`
	Locator  string `json:"locator,omitzero" example:"sheet 2"`
	Reviewed string `json:"reviewed,omitzero" example:"2026-11-01"`
	ReviewBy string `json:"review_by,omitzero" example:"2027-11-01"`
	Engines  int    `json:"engines,omitzero" example:"14"`
} //@name Source

// Display is ready text beside the numbers, in the language asked for.
type Display struct {
	Summary   string `json:"summary" example:"0.08–0.35 mm, aim 0.08 mm, not below; worn out past 0.50 mm; cold, dry, stack pushed to one side; DEMO"`
	Band      string `json:"band,omitzero" example:"0.08–0.35 mm"`
	Target    string `json:"target,omitzero" example:"0.08 mm, not below"`
	WearLimit string `json:"wear_limit,omitzero" example:"0.50 mm"`
	Hand      string `json:"hand,omitzero" example:"LEFT-HAND THREAD (tightens anticlockwise, loosens clockwise)"`
	Details   string `json:"details,omitzero" example:"cold, dry, stack pushed to one side"`
	Source    string `json:"source,omitzero" example:"DEMO"`
} //@name Display

// Converted is the same limits in another unit, rounded inward; the published unit stays the truth and judges.
type Converted struct {
	Unit      string  `json:"unit" example:"in"`
	Decimals  int     `json:"decimals" example:"4"`
	Band      Band    `json:"band,omitzero"`
	Target    Decimal `json:"target,omitzero" swaggertype:"number" example:"0.0032"`
	WearLimit Band    `json:"wear_limit,omitzero"`
	Display   Display `json:"display"`
} //@name Converted

// FromRange is limits as answers show them, with at least decimals fractional digits.
func FromRange(r quantity.Range, decimals int) Band {
	return Band{Lower: DecIf(r.Lower.Padded(decimals), r.HasLower), Upper: DecIf(r.Upper.Padded(decimals), r.HasUpper)}
}

// FromSource is a source as answers show it.
func FromSource(s *spec.Source) Source {
	if s == nil {
		return Source{}
	}
	return Source{Class: s.Class, Title: s.Title, Locator: s.Locator, Reviewed: s.Reviewed, ReviewBy: s.ReviewBy, Engines: s.Engines}
}

// FromSpec is a spec as answers show it, without display and conversion, which need words.
func FromSpec(s *spec.Spec, lang string) Spec {
	w := Spec{
		Key: string(s.Key), Href: Href(s.Key, "specs"), Kind: string(s.Kind), Name: s.Name.In(lang), FamilyName: s.FamilyName.In(lang),
		ComponentName: s.ComponentName.In(lang), Unit: string(s.Unit), Decimals: s.Decimals, ValueForm: string(s.ValueForm),
		Band: FromRange(s.Band, s.Decimals), Target: DecIf(s.Target.Padded(s.Decimals), s.HasTarget),
		Policy: SpecPolicy{DecIf(s.PolicyPercent, s.HasPolicy)},
		Angle:  DecIf(s.TurnAngle, s.HasTurnAngle), AngleTolerance: DecIf(s.AngleTolerance, s.HasAngleTolerance),
		WearLimit: FromRange(s.WearLimit, s.Decimals), Plausible: FromRange(s.Plausible, 0),
		Remedy: string(s.Remedy), Critical: s.Critical, Form: s.Form, Points: fromPoints(s, lang),
		Allowed: s.Allowed, Rejected: s.Rejected, State: s.State.In(lang), Conditions: s.Conditions,
		AdjustedBy: string(s.AdjustedBy), Waiver: s.Waiver, Fastener: fromFastener(s.Fastener), Cautions: s.Cautions,
		DecidedBy: DecidedBy(s.DecidedBy), Source: FromSource(s.Source), RevisionDate: s.RevisionDate, Reason: s.Reason.In(lang),
	}
	if s.HasTarget {
		w.TargetPolicy = string(s.Policy())
	}
	for _, st := range s.Stages {
		w.Stages = append(w.Stages, Stage{DecIf(st.Value, st.HasValue), DecIf(st.Angle, st.HasAngle), st.Pattern})
	}
	for _, k := range s.After {
		w.After = append(w.After, string(k))
	}
	for _, p := range s.Sizes {
		w.Sizes = append(w.Sizes, SizePart{p.Part, p.Sign, DecIf(p.ExpansionPerK, p.HasExpansion)})
	}
	if s.ValueForm == spec.OutOfScope {
		return w.refused()
	}
	return w
}

// refused is a spec out of scope: what it is and why there is no value, and no number at all.
func (w Spec) refused() Spec {
	return Spec{Key: w.Key, Href: w.Href, Kind: w.Kind, Name: w.Name, FamilyName: w.FamilyName, ComponentName: w.ComponentName,
		Unit: w.Unit, ValueForm: w.ValueForm, Critical: w.Critical, Cautions: w.Cautions, DecidedBy: w.DecidedBy, Source: w.Source,
		RevisionDate: w.RevisionDate, Reason: w.Reason}
}

func fromPoints(s *spec.Spec, lang string) Points {
	p := s.Points
	w := Points{Minimum: p.Minimum, AgainstLower: string(p.AgainstLower), AgainstUpper: string(p.AgainstUpper),
		MaxSpread: DecIf(p.MaxSpread, p.HasMaxSpread), Places: p.Places.In(lang)}
	if s.Kind == spec.Dimension || s.Kind == spec.Angle || s.Kind == spec.Other {
		w.Combine = string(s.CombineRule())
	}
	return w
}

func fromFastener(f *spec.Fastener) Fastener {
	if f == nil {
		return Fastener{}
	}
	hand := f.Hand
	if hand == "" {
		hand = spec.Right
	}
	return Fastener{Thread: f.Thread, Hand: string(hand), PropertyClass: f.PropertyClass, Head: f.Head, Into: f.Into,
		Condition: f.Condition, Count: f.Count, Access: f.Access, Reuse: f.Reuse, Retorque: f.Retorque, Prevailing: f.Prevailing,
		Running: DecIf(f.Running, f.HasRunning), Locking: f.Locking, Pattern: f.Pattern, Taper: f.Taper, Slots: f.Slots}
}
