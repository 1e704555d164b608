package measure

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// Source says where an uncertainty comes from.
type Source string

// The sources.
const (
	FromCaller  Source = "caller"
	Assumed     Source = "assumed"
	FromBracket Source = "bracket"
	FromRepeats Source = "repeats"
	ByFeel      Source = "by_feel"
	Unknown     Source = "none"
)

// Budget adds up the parts of an uncertainty. The zero value knows nothing.
type Budget struct {
	Source Source
	limits float64 // Σ limits of error ±a
	square float64 // Σ a²/3, or as the distribution says
	rest   float64 // Σ of the other variances
	fourth float64 // Σ u⁴/ν of the parts with finite degrees of freedom
}

// Known reports whether there is an uncertainty; a declared 0 is one.
func (b Budget) Known() bool { return b.Source != "" && b.Source != Unknown }

// Standard is the combined standard uncertainty (JCGM 100, 5.1.2).
func (b Budget) Standard() float64 { return math.Sqrt(b.square + b.rest) }

// Expanded is U = min(2u, Σ limits of error + 2 · the rest): a limit of error is never exceeded, so U is not either.
func (b Budget) Expanded() float64 { return b.expanded(2) }

func (b Budget) expanded(k float64) float64 {
	return math.Min(k*b.Standard(), b.limits+k*math.Sqrt(b.rest))
}

// ExpandedT is Expanded with Student's t at 95.45 % in place of 2, for the effective degrees of freedom (JCGM 100,
// G.4.1, Welch and Satterthwaite), and those degrees. Without finite ones it is Expanded.
func (b Budget) ExpandedT() (expanded, dof float64) {
	u := b.Standard()
	if b.fourth == 0 || u == 0 {
		return b.Expanded(), math.Inf(1)
	}
	dof = math.Pow(u, 4) / b.fourth
	return b.expanded(StudentT(dof, 0.9545)), dof
}

// manyDegrees is from where on Student's t is had from the normal distribution: the quantile of the library loses its
// digits with very many degrees, and the series is right to 1e-12 long before.
const manyDegrees = 10_000

// StudentT is the factor that covers the central share p with dof degrees of freedom. Degrees are cut to the next
// lower whole number, as JCGM 100, G.4.1, allows.
func StudentT(dof, p float64) float64 {
	dof = math.Max(1, math.Floor(dof+1e-9))
	if dof < manyDegrees {
		return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: dof}.Quantile((1 + p) / 2)
	}
	x := distuv.UnitNormal.Quantile((1 + p) / 2)
	cube := x * x * x
	return x + (cube+x)/(4*dof) + (5*cube*x*x+16*cube+3*x)/(96*dof*dof) // Abramowitz and Stegun, 26.7.5
}

// Scattered adds the scatter of repeats with its degrees of freedom.
func (b Budget) Scattered(u float64, dof int) Budget {
	if !b.Known() {
		b.Source = FromRepeats
	}
	b.rest += u * u
	if dof > 0 {
		b.fourth += math.Pow(u, 4) / float64(dof)
	}
	return b
}

// Repeats adds share times the scatter of a place that was read often enough, and nothing for any other.
func (b Budget) Repeats(p *Place, share float64) Budget {
	if p.Count < EnoughRepeats {
		return b
	}
	return b.Scattered(p.Scatter()*share, p.Count-1)
}

// OfBracket is the uncertainty of a bracket: its width/√12 (JCGM 100, 4.3.7).
func OfBracket(width float64, assumed bool) Budget {
	b := Budget{Source: FromBracket, rest: width * width / 12}
	if assumed {
		b.Source = Assumed
	}
	return b
}

// Feeling is the share of the judged value that a torque or play by feel is uncertain by: one standard uncertainty of
// 20 %. Common practice, no source.
const Feeling = 0.20

// OfFeel is the uncertainty of a value that was only felt.
func OfFeel(value float64) Budget {
	u := Feeling * math.Abs(value)
	return Budget{Source: ByFeel, rest: u * u}
}

// Error is what one instrument may be wrong by, before it is added to others: a standard uncertainty or a limit ±a, of
// which the variance is a²/Narrow; 0 stands for 3, the even distribution.
type Error struct {
	Source Source
	Std    float64
	Limit  float64
	Narrow float64
}

// Of is what the instrument is known to be good for at a value, in the unit to. Its own figures are in unit from;
// without one the default of its kind applies. ok is false where nothing is known.
func (i *Instrument) Of(value float64, from, to quantity.Unit, defaults []spec.Instrument) (e Error, ok bool) {
	scale := factor(from, to) * i.corrected()
	switch {
	case i.Standard.Has:
		return Error{Source: FromCaller, Std: i.Standard.Value * scale}, true
	case i.Expanded.Has:
		k := i.K
		if k == 0 {
			k = 2
		}
		return Error{Source: FromCaller, Std: i.Expanded.Value * scale / k}, true
	case i.Accuracy.Has:
		return i.within(i.Accuracy.Value * scale), true
	case i.Percent.Has:
		return i.within(i.Percent.Value / 100 * math.Abs(value)), true
	}
	return i.byKind(value, from, to, defaults)
}

func (i *Instrument) byKind(value float64, from, to quantity.Unit, defaults []spec.Instrument) (Error, bool) {
	for _, d := range defaults {
		if d.Kind != i.Kind {
			continue
		}
		if d.HasStandard && d.Unit.Kind() == to.Kind() {
			return Error{Source: Assumed, Std: d.Standard.Float64() * factor(d.Unit, to) * i.corrected()}, true
		}
		if d.HasPercent && to.Kind() == quantity.TorqueKind {
			pct := d.Percent.Float64()
			if d.HasSmall && i.Maximum.Has && i.Maximum.Value*factor(from, quantity.NewtonMetre) <= d.SmallMax.Float64() {
				pct = d.SmallPercent.Float64()
			}
			return Error{Source: Assumed, Limit: pct / 100 * math.Abs(value)}, true
		}
	}
	return Error{}, false
}

func (i *Instrument) corrected() float64 {
	if i.Correction.None() {
		return 1
	}
	return math.Abs(i.Correction.Factor().Float64())
}

// factor is how many units to there are in one from; 1 where they do not convert.
func factor(from, to quantity.Unit) float64 {
	x, ok := quantity.In(quantity.NewDecimal(1, 0), from, to)
	if !ok {
		return 1
	}
	return x.Float64()
}

// Budget is the error as a budget of its own.
func (e Error) Budget() Budget {
	return Budget{Source: e.Source, limits: e.Limit, square: e.Limit * e.Limit / e.narrow(), rest: e.Std * e.Std}
}

// Plus adds an independent budget; what one of them does not know is not known.
func (b Budget) Plus(o Budget) Budget {
	if !b.Known() || !o.Known() {
		return Budget{}
	}
	return Budget{stronger(b.Source, o.Source), b.limits + o.limits, b.square + o.square, b.rest + o.rest, b.fourth + o.fourth}
}

// stronger is the source that a sum is named by: what was assumed before what was declared, and that before repeats.
func stronger(a, b Source) Source {
	for _, s := range [...]Source{Assumed, ByFeel, FromCaller, FromBracket} {
		if a == s || b == s {
			return s
		}
	}
	return a
}

// OfResolution is what is left of a difference of two readings of one instrument whose common error cancels: √2 times
// the resolution that was declared, taken as the standard uncertainty of either.
func OfResolution(resolution float64) Budget {
	return Budget{Source: FromCaller, rest: 2 * resolution * resolution}
}
