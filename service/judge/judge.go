// Package judge holds what was measured to what is allowed and says, with its uncertainty, what follows.
//
// It decides verdicts in the words of ILAC-G8, by the guard-band rule of ISO 14253-1 or by the values alone, with
// probabilities after JCGM 106. It refuses to know where specs come from and how answers are worded: what it says
// beside a verdict are codes with parameters. Everything near a limit is exact; only probabilities and uncertainties
// are floats. All functions are pure and safe for concurrent use.
//
//	r := judge.Judge(judge.Check{Spec: s, Unit: quantity.Millimetre, Readings: readings, Defaults: defaults})
//	r.Verdict // pass, conditional_pass, conditional_fail, fail, not_judged
package judge

import (
	"endfloat/service/measure"
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// Verdict is the word for the outcome.
type Verdict string

// The verdicts.
const (
	Pass            Verdict = "pass"
	ConditionalPass Verdict = "conditional_pass"
	ConditionalFail Verdict = "conditional_fail"
	Fail            Verdict = "fail"
	NotJudged       Verdict = "not_judged"
)

// Position is where the judged value lies.
type Position string

// The positions.
const (
	Below   Position = "below"
	Within  Position = "within"
	Above   Position = "above"
	WornOut Position = "worn_out"
)

// Action is what to do next.
type Action string

// The actions.
const (
	Accept         Action = "accept"
	AcceptWithNote Action = "accept_with_note"
	Adjust         Action = "adjust"
	Machine        Action = "machine"
	Replace        Action = "replace"
	MeasureAgain   Action = "measure_again"
	Ask            Action = "ask"
)

// Basis is what the value stands on.
type Basis string

// The bases.
const (
	Measured    Basis = "measured"
	Estimated   Basis = "estimated"
	Derived     Basis = "derived"
	BelowGauge  Basis = "below_gauge"
	AboveGauge  Basis = "above_gauge"
	Missing     Basis = "missing"
	Implausible Basis = "implausible"
)

// Words of a request.
const (
	AsBuilt = "as_built"
	AsFound = "as_found"
	New     = "new"
	Reused  = "reused"
	Guarded = "guarded"
	Simple  = "simple"
	GuardU  = "U"
	Guard95 = "1.65u"

	byFeel = "by_feel"
)

// Check is one question: these readings against this spec. Empty words take their defaults: as_built, new, guarded, U.
type Check struct {
	Spec       *spec.Spec
	Undecided  bool // the spec differs between variants and none was named
	Unit       quantity.Unit
	Readings   []measure.Reading
	Sizes      []Size
	Instrument measure.Instrument
	How        string // measured, estimated, check
	Stage      string
	Part       string
	Rule       string
	Guard      string
	Coverage   string // t: Student's t
	Condition  string // of a torque record
	Defaults   []spec.Instrument
	Policy     spec.JudgePolicy
	Today      string // date by which a review may be overdue
	Trace      bool
	Notes      []note.Note    // warnings that come with the question, such as what an engine number left open
	Shift      quantity.Exact // added to what every place says, in the unit of the spec: a prediction after a change

	trial *trial // judged only to see whether another instrument would decide it: nothing but the verdict is worked out
}

// Size is one part of a clearance, measured by itself.
type Size struct {
	Part        string
	Sign        int
	Readings    []measure.Reading
	Instrument  measure.Instrument
	Celsius     quantity.Decimal
	HasTemp     bool
	Expansion   quantity.Decimal
	HasExp      bool
	Gauge       quantity.Decimal // °C of the instrument; 20 unless given
	HasGauge    bool
	GaugeExp    quantity.Decimal
	HasGaugeExp bool
}

// Limit is one exact limit that a value was held to.
type Limit struct {
	At  quantity.Exact
	Has bool
}

// Places sums up what was read where.
type Places struct {
	Count            int
	Min, Max, Spread quantity.Exact
}

// Result is the answer to a check. Fields that say nothing have Has… false or are empty.
type Result struct {
	Verdict      Verdict
	Decided      bool
	Because      string // undecided_because
	Basis        Basis
	Position     Position
	Action       Action
	Value        quantity.Exact
	HasValue     bool
	Lower, Upper quantity.Decimal // of the interval, at 1e-9 of the unit
	HasLower     bool
	HasUpper     bool
	LowerOpen    bool // the end itself does not belong to the interval
	UpperOpen    bool
	Standard     float64
	HasStandard  bool
	Source       measure.Source
	RuleUsed     string
	Probability  float64
	HasProb      bool
	LimitLower   Limit
	LimitUpper   Limit
	MarginLower  Limit
	MarginUpper  Limit
	Deviation    Limit // from the target
	Target       Limit
	Places       Places
	HasPlaces    bool
	Allowance    float64 // share of the wear allowance that is used
	HasAllowance bool
	Angle        Limit    // of a torque that is judged by its angle alone: the angle, in degrees, as the margins then are
	Reading      int      // of a torque record: which reading decided, from 0
	Each         []Result // of a torque record of several readings: each judged alone
	Warnings     []note.Note
	Next         []note.Note
	Trace        []note.Note
}

// Judge answers one check.
func Judge(c Check) (r Result) {
	c.setDefaults()
	c.judge(&r)
	c.finish(&r)
	return r
}

func (c *Check) setDefaults() {
	if c.felt() {
		c.How = "estimated"
	}
	if c.Stage == "" {
		c.Stage = AsBuilt
	}
	if c.Part == Reused {
		c.Stage = AsFound
	}
	if c.Rule == "" {
		c.Rule = c.Policy.Rule
	}
	if c.Rule == "" {
		c.Rule = Guarded
	}
	if c.Guard == "" {
		c.Guard = c.Policy.Guard
	}
	if c.Guard == "" {
		c.Guard = GuardU
	}
}

// felt reports whether anything was only estimated or felt: a reading that says so, or an instrument by feel without a
// figure.
func (c *Check) felt() bool {
	if c.Instrument.Kind == byFeel && !c.Instrument.Declared() {
		return true
	}
	for i := range c.Sizes {
		if z := &c.Sizes[i]; z.Instrument.Kind == byFeel && !z.Instrument.Declared() || anyEstimated(z.Readings) {
			return true
		}
	}
	return c.Spec.Kind != spec.Torque && anyEstimated(c.Readings)
}

func anyEstimated(rs []measure.Reading) bool {
	for i := range rs {
		if rs[i].How == "estimated" {
			return true
		}
	}
	return false
}

// judge fills in an empty result.
func (c *Check) judge(r *Result) {
	s := c.Spec
	switch {
	case c.Undecided:
		c.undone(r, "variant", Measured)
		r.next("name_the_variant")
	case s.ValueForm == spec.OutOfScope:
		c.undone(r, "out_of_scope", Measured)
	case s.ValueForm == spec.NotPublished:
		c.undone(r, "not_published", Measured)
	case c.blank():
		c.undone(r, "missing", Missing)
	case s.Kind == spec.Category:
		c.category(r)
	case s.Kind == spec.Torque:
		c.torque(r)
	default:
		c.length(r)
	}
}

// length judges readings or sizes that are held to limits.
func (c *Check) length(r *Result) {
	l, ok := c.limits()
	switch {
	case !ok:
		c.undone(r, "no_band", Measured)
	case len(c.Sizes) > 0:
		c.sized(r, &l)
	default:
		c.dimension(r, &l)
	}
}

func (c *Check) blank() bool {
	if len(c.Sizes) > 0 && c.Spec.Kind != spec.Torque && c.Spec.Kind != spec.Category {
		for i := range c.Sizes {
			if allBlank(c.Sizes[i].Readings) {
				return true
			}
		}
		return false
	}
	return allBlank(c.Readings)
}

func allBlank(rs []measure.Reading) bool {
	for i := range rs {
		if rs[i].Blank() {
			return true
		}
	}
	return len(rs) == 0
}

// undone makes r, whatever it was, that of a check that is not judged.
func (c *Check) undone(r *Result, because string, basis Basis) {
	*r = Result{Verdict: NotJudged, Because: because, Basis: basis, RuleUsed: c.Rule}
}
