package judge

import (
	"math"

	"endfloat/service/measure"
	"endfloat/service/note"
	"endfloat/service/quantity"
)

// whatNext says what would settle an undecided check: a blade, a finer instrument, more places or repeats.
func (c Check) whatNext(r *Result) {
	switch r.Because {
	case "missing":
		r.next("measure_it")
	case "blades_contradict":
		r.next("measure_with_blades_again")
	case "few_places":
		r.next("measure_more_places", note.Count("minimum", max(2, c.Spec.Points.Minimum)))
	case "below_gauge":
		r.next("try_thinner_blade")
	case "above_gauge":
		r.next("try_thicker_blade_or_dial")
	case "angle_missing":
		r.next("turn_and_record_angle")
	case "check_high":
		r.next("leave_as_it_is")
	case "condition":
		r.next("tighten_in_published_condition")
	case "implausible":
		r.next("check_unit_and_figure")
	case "one_place_out":
		r.next("measure_place_again")
	case "estimated":
		r.next("measure_with_instrument")
	case "no_uncertainty":
		r.next("name_the_instrument")
	case "not_published", "no_band", "out_of_scope":
		r.next("ask_the_maker")
	case "uncertainty":
		c.settle(r)
	}
}

// settle names the limit that the interval straddles and what would decide it.
func (c Check) settle(r *Result) {
	limit, ok := r.straddled()
	if !ok {
		return
	}
	if len(c.Readings) > 0 && len(c.Readings[0].Blades) > 0 {
		if d, fits := limit.Round(c.Spec.Decimals, quantity.HalfEven); fits && d.Exact().Equal(limit) {
			r.next("try_blade", note.Qty("blade", d, c.Spec.Unit))
			return
		}
	}
	gap := math.Inf(1)
	for _, m := range []Limit{r.MarginLower, r.MarginUpper} {
		if m.Has {
			gap = math.Min(gap, math.Abs(m.At.Float64()))
		}
	}
	if gap > 0 {
		u, fits := quantity.FromFloat(gap/2).Round(min(c.Spec.Decimals+3, 9), quantity.Down)
		if fits && u.Sign() > 0 {
			r.next("use_finer_instrument", note.Qty("standard_uncertainty", u, c.Spec.Unit))
		}
	} else {
		r.next("on_the_limit")
	}
	c.moreRepeats(r, gap)
}

// straddled is the limit that lies inside the interval, the lower one first.
func (r Result) straddled() (quantity.Exact, bool) {
	for _, l := range []Limit{r.LimitLower, r.LimitUpper} {
		if l.Has && r.HasLower && r.HasUpper && r.Lower.Exact().Cmp(l.At) <= 0 && l.At.Cmp(r.Upper.Exact()) <= 0 {
			return l.At, true
		}
	}
	return quantity.Exact{}, false
}

// moreRepeats says how many repeats would narrow the scatter enough, where scatter is what is uncertain.
func (c Check) moreRepeats(r *Result, gap float64) {
	if r.Source != measure.FromRepeats || len(c.Readings) != 1 || gap <= 0 {
		return
	}
	n := len(c.Readings[0].Repeats)
	s := r.Standard * math.Sqrt(float64(n))
	need := math.Ceil(math.Pow(2*s/gap, 2))
	if need > float64(n) && need <= 100 {
		r.next("more_repeats", note.Count("repeats", int(need)))
	}
}
