package judge

import "endfloat/service/quantity"

// View is what one party of a dispute can prove. Lower and Upper are the limits that the value itself would have to
// keep for the proof: those of the stage moved by the half-width of its interval.
type View struct {
	Proven       bool
	Lower, Upper Limit
}

// Views is what a supplier can prove, that the value is inside, and what a customer can prove, that it is outside: the
// uncertainty counts against whoever has to prove (ISO 14253-1:2017). Without an uncertainty nobody can prove anything.
func Views(c Check) (supplier, customer View) {
	c.Rule, c.Trace = Guarded, false
	r := Judge(c)
	if r.RuleUsed != Guarded {
		return View{}, View{}
	}
	supplier.Proven, customer.Proven = r.Verdict == Pass, r.Verdict == Fail
	g, ok := r.half()
	if !ok || r.Source == "bracket" {
		return supplier, customer
	}
	if r.LimitLower.Has {
		supplier.Lower = Limit{r.LimitLower.At.Add(g), true}
		customer.Lower = Limit{r.LimitLower.At.Sub(g), true}
	}
	if r.LimitUpper.Has {
		supplier.Upper = Limit{r.LimitUpper.At.Sub(g), true}
		customer.Upper = Limit{r.LimitUpper.At.Add(g), true}
	}
	if supplier.Lower.Has && supplier.Upper.Has && supplier.Upper.At.Less(supplier.Lower.At) {
		supplier.Lower, supplier.Upper = Limit{}, Limit{}
	}
	return supplier, customer
}

// half is half the width of the interval; ok is false where an end is not known.
func (r *Result) half() (quantity.Exact, bool) {
	if !r.HasLower || !r.HasUpper {
		return quantity.Exact{}, false
	}
	return r.Upper.Exact().Sub(r.Lower.Exact()).DivInt(2), true
}

// Ratio is half the distance of the limits of the stage divided by the half-width of the interval: how fine the
// measurement is for this band. Other definitions are in use; this one is ours. ok is false for one-sided limits and
// where there is no uncertainty or it is 0.
func (r *Result) Ratio() (ratio float64, ok bool) {
	g, known := r.half()
	if !known || g.Sign() <= 0 || !r.LimitLower.Has || !r.LimitUpper.Has {
		return 0, false
	}
	return r.LimitUpper.At.Sub(r.LimitLower.At).DivInt(2).Quo(g).Float64(), true
}
