package spec_test

import (
	"testing"

	"endfloat/service/quantity"
	"endfloat/service/spec"
	"pgregory.net/rapid"
)

func dec(s string) quantity.Decimal { return quantity.MustParse(s) }

// The rows are plain conversions by 25.4 mm and 1.3558179483314004 N·m (international inch and pound, standard
// gravity), rounded by hand.
func TestInRoundsInward(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name                 string
		s                    spec.Spec
		to                   quantity.Unit
		lower, upper, target string
		wear                 string
	}{
		{"target on the lower limit is clamped into the band",
			spec.Spec{Unit: "mm", Decimals: 2, Band: quantity.Between(dec("0.08"), dec("0.35")), Target: dec("0.08"), HasTarget: true,
				WearLimit: quantity.AtMost(dec("0.50"))}, "in", "0.0032", "0.0137", "0.0032", "0.0196"},
		{"torque range", spec.Spec{Unit: "N·m", Band: quantity.Between(dec("28"), dec("32")), Target: dec("30"), HasTarget: true},
			"lbf·ft", "20.7", "23.6", "22.1", ""},
		{"pounds back to newtons", spec.Spec{Unit: "lbf·ft", Band: quantity.Between(dec("18"), dec("22"))}, "N·m", "24.5", "29.8", "", ""},
		{"one-sided", spec.Spec{Unit: "mm", Decimals: 2, Band: quantity.AtMost(dec("0.05"))}, "in", "", "0.0019", "", ""},
		{"single by policy", spec.Spec{Unit: "N·m", Target: dec("30"), HasTarget: true, PolicyPercent: dec("10"), HasPolicy: true},
			"lbf·ft", "", "", "22.1", ""},
		{"single without policy", spec.Spec{Unit: "N·m", Target: dec("30"), HasTarget: true}, "lbf·ft", "", "", "22.1", ""},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			c, ok := row.s.In(row.to)
			if !ok {
				t.Fatal("not converted")
			}
			for _, p := range []struct {
				what, want string
				got        quantity.Decimal
				has        bool
			}{{"lower", row.lower, c.Band.Lower, c.Band.HasLower}, {"upper", row.upper, c.Band.Upper, c.Band.HasUpper},
				{"target", row.target, c.Target, c.HasTarget}, {"wear", row.wear, c.WearLimit.Upper, c.WearLimit.HasUpper}} {
				if p.has != (p.want != "") || p.has && p.got.String() != p.want {
					t.Errorf("%s is %v (present %v), want %q", p.what, p.got, p.has, p.want)
				}
			}
		})
	}
}

func TestInHasNothingToConvert(t *testing.T) {
	t.Parallel()
	for _, s := range []spec.Spec{
		{Unit: "mm", Band: quantity.AtMost(dec("1"))},
		{Unit: "kPa", Band: quantity.AtMost(dec("1"))},
		{Unit: "N·m", ValueForm: spec.NotPublished},
		{Unit: "N·m", ValueForm: spec.OutOfScope},
	} {
		if _, ok := s.In("mm"); ok {
			t.Errorf("%+v was converted", s)
		}
	}
}

func TestConvertedLimitsNeverReachOutside(t *testing.T) {
	t.Parallel()
	units := []quantity.Unit{"mm", "µm", "in", "thou"}
	rapid.Check(t, func(t *rapid.T) {
		from, to := rapid.SampledFrom(units).Draw(t, "from"), rapid.SampledFrom(units).Draw(t, "to")
		places := rapid.IntRange(0, 4).Draw(t, "places")
		a := rapid.Int64Range(-100000, 100000).Draw(t, "a")
		width := rapid.Int64Range(1, 100000).Draw(t, "width")
		s := spec.Spec{Unit: from, Decimals: places, Target: quantity.NewDecimal(a, places), HasTarget: true,
			Band: quantity.Between(quantity.NewDecimal(a, places), quantity.NewDecimal(a+width, places))}
		c, ok := s.In(to)
		if from == to {
			return
		}
		if !ok {
			x, _ := quantity.In(quantity.NewDecimal(width, places), from, to)
			if quantity.Frac(2, 1_000_000_000).Less(x.DivInt(20)) {
				t.Fatalf("%v–%v %s has no form in %s although nine digits are enough", s.Band.Lower, s.Band.Upper, from, to)
			}
			return
		}
		lower, _ := quantity.In(c.Band.Lower, to, from)
		upper, _ := quantity.In(c.Band.Upper, to, from)
		if lower.Less(s.Band.Lower.Exact()) || s.Band.Upper.Exact().Less(upper) {
			t.Fatalf("%v–%v %s became %v–%v %s", s.Band.Lower, s.Band.Upper, from, c.Band.Lower, c.Band.Upper, to)
		}
		if c.Target.Cmp(c.Band.Lower) < 0 || c.Target.Cmp(c.Band.Upper) > 0 {
			t.Fatalf("target %v outside %v–%v", c.Target, c.Band.Lower, c.Band.Upper)
		}
	})
}
