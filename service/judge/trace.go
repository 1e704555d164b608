package judge

import (
	"endfloat/service/note"
	"endfloat/service/quantity"
)

// trace tells the way to the verdict, step by step, with numbers, rule and source.
func (c Check) trace(r *Result) {
	step := func(code string, params ...note.Param) { r.Trace = append(r.Trace, note.New(code, params...)) }
	s := c.Spec
	if r.HasPlaces {
		step("trace_places", note.Count("count", r.Places.Count), c.show("min", r.Places.Min), c.show("max", r.Places.Max), c.show("spread", r.Places.Spread))
	}
	if r.HasValue {
		step("trace_value", str("rule", string(s.CombineRule())), c.show("value", r.Value))
	}
	if r.HasStandard {
		u, _ := quantity.FromFloat(r.Standard).Round(min(s.Decimals+3, 12), quantity.HalfEven)
		step("trace_uncertainty", note.Qty("standard_uncertainty", u.Trimmed(s.Decimals), s.Unit), str("source", string(r.Source)))
	}
	if r.HasLower && r.HasUpper {
		step("trace_interval", note.Qty("lower", r.Lower.Trimmed(s.Decimals), s.Unit), note.Qty("upper", r.Upper.Trimmed(s.Decimals), s.Unit), str("guard", c.Guard))
	}
	if r.LimitLower.Has {
		step("trace_lower", c.show("limit", r.LimitLower.At), str("stage", c.Stage))
	}
	if r.LimitUpper.Has {
		step("trace_upper", c.show("limit", r.LimitUpper.At), str("stage", c.Stage))
	}
	if r.HasProb {
		step("trace_probability", note.Percent("probability", r.Probability))
	}
	step("trace_verdict", str("verdict", string(r.Verdict)), str("rule", r.RuleUsed), str("because", orDash(r.Because)))
}

func orDash(s string) string {
	if s == "" {
		return "–"
	}
	return s
}
