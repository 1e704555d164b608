package judge

import (
	"endfloat/service/note"
	"endfloat/service/quantity"
)

// worn warns, as found, of a value between band and wear limit, and says how much of the allowance is used.
func (c *Check) worn(r *Result, l *limits, sides *[2]held) {
	if c.Stage != AsFound {
		return
	}
	if l.noWear {
		r.warn("no_wear_limit")
	}
	if r.Position != Within {
		return
	}
	used := quantity.Exact{}
	s := c.Spec
	if l.worn[0] && s.Band.HasLower {
		used = larger(used, share(s.Band.Lower.Exact().Sub(sides[0].value), s.Band.Lower.Exact().Sub(l.lower)))
	}
	if l.worn[1] && s.Band.HasUpper {
		used = larger(used, share(sides[1].value.Sub(s.Band.Upper.Exact()), l.upper.Sub(s.Band.Upper.Exact())))
	}
	if used.Sign() > 0 {
		r.Allowance, r.HasAllowance = used.Float64(), true
		r.warn("worn_but_serviceable", note.Part("used", r.Allowance))
	}
}

// share is past/whole, 0 where nothing is past.
func share(past, whole quantity.Exact) quantity.Exact {
	if past.Sign() <= 0 || whole.Sign() <= 0 {
		return quantity.Exact{}
	}
	return past.Quo(whole)
}

func larger(a, b quantity.Exact) quantity.Exact {
	if a.Less(b) {
		return b
	}
	return a
}
