package measure_test

import (
	"errors"
	"math"
	"testing"

	"endfloat/service/measure"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

func figure(s string) quantity.Decimal { return quantity.MustParse(s) }

func bladed(pairs ...string) measure.Reading {
	var r measure.Reading
	for i := 0; i < len(pairs); i += 2 {
		r.Blades = append(r.Blades, measure.Blade{Size: figure(pairs[i]), Feel: measure.Feel(pairs[i+1])})
	}
	return r
}

// What blades say, as the trade reads them: over a free one, at or over one that drags, under one that is forced or
// refused. Common practice, no source.
func TestBrackets(t *testing.T) {
	t.Parallel()
	set := measure.Instrument{BladeSet: []quantity.Decimal{figure("0.30"), figure("0.10"), figure("0.20")}}
	for _, row := range []struct {
		name             string
		r                measure.Reading
		ins              measure.Instrument
		value, low, high string // empty: none
		open             [2]bool
		assumed          bool
	}{
		{"free and refused: the middle, both ends open", bladed("0.10", "free", "0.20", "refused"), measure.Instrument{}, "0.15", "0.10", "0.20", [2]bool{true, true}, false},
		{"one that drags: its size, closed", bladed("0.10", "free", "0.15", "drag", "0.20", "forced"), measure.Instrument{}, "0.15", "0.15", "0.20", [2]bool{false, true}, false},
		{"in any order", bladed("0.20", "forced", "0.10", "free", "0.15", "drag"), measure.Instrument{}, "0.15", "0.15", "0.20", [2]bool{false, true}, false},
		{"the thickest that enters and the thinnest that does not", bladed("0.05", "free", "0.10", "free", "0.20", "forced", "0.25", "refused"), measure.Instrument{}, "0.15", "0.10", "0.20", [2]bool{true, true}, false},
		{"a lone free one: 0.05 mm more, assumed", bladed("0.10", "free"), measure.Instrument{}, "0.125", "0.10", "0.15", [2]bool{true, true}, true},
		{"a lone free one of a set in any order", bladed("0.10", "free"), set, "0.15", "0.10", "0.20", [2]bool{true, true}, false},
		{"a lone one that is no blade of the set", bladed("0.12", "drag"), set, "0.12", "0.12", "0.20", [2]bool{false, true}, false},
		{"the thickest of the set", bladed("0.30", "drag"), set, "", "0.30", "", [2]bool{}, false},
		{"two enter, none refused", bladed("0.10", "free", "0.15", "drag"), set, "", "0.15", "", [2]bool{}, false},
		{"a lone refused one", bladed("0.10", "refused"), set, "", "", "0.10", [2]bool{false, true}, false},
		{"the tolerance moves both ends outward and leaves the value", bladed("0.10", "free", "0.20", "forced"), measure.Instrument{Tolerance: figure("0.01")}, "0.15", "0.09", "0.21", [2]bool{true, true}, false},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			p, err := measure.PlaceOf(&row.r, "mm", "mm", &row.ins)
			if err != nil {
				t.Fatal(err)
			}
			show := func(x quantity.Exact, has bool) string {
				if !has {
					return ""
				}
				return x.Print(2, 4).String()
			}
			if got := show(p.Value, p.HasValue); got != row.value {
				t.Errorf("value %q, want %q", got, row.value)
			}
			if low, high := show(p.Low.At, p.Low.Has), show(p.High.At, p.High.Has); low != row.low || high != row.high {
				t.Errorf("bracket %q to %q, want %q to %q", low, high, row.low, row.high)
			}
			if p.Low.Open != row.open[0] || p.High.Open != row.open[1] || p.Assumed != row.assumed || !p.Bracket {
				t.Errorf("ends %v %v, assumed %v", p.Low.Open, p.High.Open, p.Assumed)
			}
		})
	}
}

func TestBladesThatContradict(t *testing.T) {
	t.Parallel()
	for _, r := range []measure.Reading{
		bladed("0.10", "refused", "0.20", "free"), bladed("0.20", "free", "0.10", "forced"), bladed("0.10", "drag", "0.20", "free"),
		bladed("0.20", "free", "0.10", "drag"), bladed("0.10", "drag", "0.20", "drag"), bladed("0.10", "free", "0.1", "free"), bladed("0.10", "free", "0.100", "refused"),
	} {
		if _, err := measure.PlaceOf(&r, "mm", "mm", &measure.Instrument{}); !errors.Is(err, measure.ErrContradiction) {
			t.Errorf("%+v: %v", r, err)
		}
	}
	if _, err := placeOf(bladed("0.10", "free", "0.15", "drag", "0.20", "forced", "0.25", "refused"), "mm", "mm"); err != nil {
		t.Error(err)
	}
}

// A blade in thou against a spec in mm: 10 thou is 0.254 mm, and the assumed step stays 0.05 mm.
func TestPlacesConvertExactly(t *testing.T) {
	t.Parallel()
	p, err := placeOf(bladed("10", "free"), "thou", "mm")
	if err != nil || p.Low.At.Print(0, 9).String() != "0.254" || p.High.At.Print(0, 9).String() != "0.304" {
		t.Errorf("%v %+v", err, p)
	}
	p, err = placeOf(measure.Reading{Repeats: []quantity.Decimal{figure("1"), figure("2")}}, "in", "mm")
	if err != nil || !p.Value.Equal(quantity.Frac(381, 10)) || !p.FewRepeats() || math.Abs(p.Dev-25.4/math.Sqrt2) > 1e-12 {
		t.Errorf("%v %+v", err, p)
	}
	for _, r := range []measure.Reading{{Value: figure("1"), HasValue: true}, {Repeats: []quantity.Decimal{figure("1")}}, bladed("0.1", "free")} {
		if _, err := measure.PlaceOf(&r, "mm", "N·m", &measure.Instrument{Tolerance: figure("0.01")}); !errors.Is(err, measure.ErrUnit) {
			t.Errorf("%+v: %v", r, err)
		}
	}
}

// cos 60° is 0.5; backlash read at 30 mm counts 24/30 at 24 mm; full indicator movement is twice the offset.
func TestCorrections(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name string
		c    measure.Correction
		want string
	}{
		{"none", measure.Correction{}, "1"},
		{"a stylus at 60 degrees", measure.Correction{TipAngle: figure("60")}, "0.5"},
		{"a stylus at 15 degrees", measure.Correction{TipAngle: figure("15")}, "0.965925826"},
		{"backlash at another radius", measure.Correction{Probe: figure("30"), Pitch: figure("24")}, "0.8"},
		{"an offset as TIR", measure.Correction{Runout: measure.OffsetToTIR}, "2"},
		{"TIR as an offset", measure.Correction{Runout: measure.TIRToOffset}, "0.5"},
		{"several at once", measure.Correction{TipAngle: figure("60"), Probe: figure("1"), Pitch: figure("3"), Runout: measure.OffsetToTIR}, "3"},
	} {
		if got := row.c.Factor().Print(0, 9).String(); got != row.want || row.c.None() != (row.want == "1") {
			t.Errorf("%s: %s", row.name, got)
		}
	}
	for _, alone := range []measure.Correction{{Probe: figure("30")}, {Pitch: figure("24")}} {
		if got := alone.Factor(); !got.Equal(quantity.Int(1)) {
			t.Errorf("one radius alone: %s", got.Print(0, 9))
		}
	}
	c := measure.Correction{TipAngle: figure("60")}
	p, _ := placeOf(measure.Reading{Repeats: []quantity.Decimal{figure("1"), figure("3")}}, "mm", "mm")
	q := p
	if q.Correct(&c); !q.Value.Equal(quantity.Int(1)) || math.Abs(q.Dev-p.Dev/2) > 1e-12 {
		t.Errorf("%+v", q)
	}
	b, _ := placeOf(bladed("0.10", "drag", "0.20", "forced"), "mm", "mm")
	q = b
	if q.Correct(&c); !q.Value.Equal(b.Value) {
		t.Errorf("a bracket was corrected: %+v", q)
	}
	e, _ := (&measure.Instrument{Standard: measure.Some(0.01), Correction: c}).Of(1, "mm", "mm", nil)
	if math.Abs(e.Std-0.005) > 1e-12 {
		t.Errorf("uncertainty %v", e.Std)
	}
}

// Defaults as trade practice has them; no source. A tool up to 10 N·m has the wider class (ISO 6789-1, general literature).
func TestInstrumentsWithoutAFigure(t *testing.T) {
	t.Parallel()
	defaults := []spec.Instrument{{Kind: "dial", Unit: "mm", Standard: figure("0.010"), HasStandard: true},
		{Kind: "click_wrench", Percent: figure("4"), HasPercent: true, SmallMax: figure("10"), SmallPercent: figure("6"), HasSmall: true}, {Kind: "feeler"}}
	for _, row := range []struct {
		name     string
		i        measure.Instrument
		from, to quantity.Unit
		value    float64
		std, lim float64
		ok       bool
	}{
		{"a dial", measure.Instrument{Kind: "dial"}, "mm", "mm", 5, 0.010, 0, true},
		{"a dial against inches", measure.Instrument{Kind: "dial"}, "mm", "in", 5, 0.010 / 25.4, 0, true},
		{"a dial measures no torque", measure.Instrument{Kind: "dial"}, "N·m", "N·m", 5, 0, 0, false},
		{"a wrench", measure.Instrument{Kind: "click_wrench"}, "N·m", "N·m", 50, 0, 2, true},
		{"a wrench of exactly 10 N·m", measure.Instrument{Kind: "click_wrench", Maximum: measure.Some(10)}, "N·m", "N·m", 5, 0, 0.3, true},
		{"a wrench of over 10 N·m", measure.Instrument{Kind: "click_wrench", Maximum: measure.Some(10.1)}, "N·m", "N·m", 5, 0, 0.2, true},
		{"a small wrench in lbf·ft", measure.Instrument{Kind: "click_wrench", Maximum: measure.Some(7)}, "lbf·ft", "lbf·ft", 5, 0, 0.3, true},
		{"8 lbf·ft are over 10 N·m", measure.Instrument{Kind: "click_wrench", Maximum: measure.Some(8)}, "lbf·ft", "lbf·ft", 5, 0, 0.2, true},
		{"a dial with a stylus at 60 degrees", measure.Instrument{Kind: "dial", Correction: measure.Correction{TipAngle: figure("60")}}, "mm", "mm", 5, 0.005, 0, true},
		{"a negative value", measure.Instrument{Percent: measure.Some(10)}, "mm", "mm", -5, 0, 0.5, true},
		{"blades bring no figure", measure.Instrument{Kind: "feeler"}, "mm", "mm", 5, 0, 0, false},
		{"no kind", measure.Instrument{}, "mm", "mm", 5, 0, 0, false},
		{"an expanded uncertainty in thou with k = 3", measure.Instrument{Expanded: measure.Some(6), K: 3}, "thou", "mm", 5, 0.0508, 0, true},
		{"a figure in thou against mm", measure.Instrument{Accuracy: measure.Some(1)}, "thou", "mm", 5, 0, 0.0254, true},
	} {
		e, ok := row.i.Of(row.value, row.from, row.to, defaults)
		if ok != row.ok || math.Abs(e.Std-row.std) > 1e-12 || math.Abs(e.Limit-row.lim) > 1e-12 {
			t.Errorf("%s: %+v %v", row.name, e, ok)
		}
	}
}

// U = min(2u, Σ limits + 2·rest), worked by hand: limits 0.03 and 0.04, rest 0.01.
func TestExpandedUncertainty(t *testing.T) {
	t.Parallel()
	b := measure.Error{Source: measure.FromCaller, Limit: 0.03}.Budget().Plus(measure.Error{Source: measure.Assumed, Limit: 0.04}.Budget()).
		Plus(measure.Error{Source: measure.FromCaller, Std: 0.01}.Budget())
	u := math.Sqrt((0.03*0.03+0.04*0.04)/3 + 0.01*0.01)
	if math.Abs(b.Standard()-u) > 1e-12 || math.Abs(b.Expanded()-2*u) > 1e-12 || b.Source != measure.Assumed {
		t.Errorf("%v %v %s", b.Standard(), b.Expanded(), b.Source)
	}
	one := measure.Error{Source: measure.FromCaller, Limit: 0.03}.Budget()
	if one.Expanded() != 0.03 {
		t.Errorf("a limit of error is exceeded: %v", one.Expanded())
	}
	if got, dof := one.ExpandedT(); got != 0.03 || !math.IsInf(dof, 1) {
		t.Errorf("%v %v", got, dof)
	}
	none := measure.Budget{}.Plus(one)
	if none.Known() || (measure.Error{}).Budget().Known() || !(measure.Error{Source: measure.FromCaller}).Budget().Known() {
		t.Error("what is not known became known, or a declared 0 did not")
	}
}

// √12 of an even width, 20 % of what was felt, √2 times a resolution, and s/√n from four repeats on; worked by hand.
func TestPartsOfABudget(t *testing.T) {
	t.Parallel()
	place := func(vs ...string) *measure.Place {
		var r measure.Reading
		for _, v := range vs {
			r.Repeats = append(r.Repeats, figure(v))
		}
		p, err := measure.PlaceOf(&r, "mm", "mm", &measure.Instrument{})
		if err != nil {
			t.Fatal(err)
		}
		return &p
	}
	four := place("1", "2", "3", "4") // s² = 5/3
	for _, row := range []struct {
		name   string
		b      measure.Budget
		u      float64
		source measure.Source
	}{
		{"a bracket", measure.OfBracket(0.12, false), 0.12 / math.Sqrt(12), measure.FromBracket},
		{"a bracket that was closed by an assumption", measure.OfBracket(0.12, true), 0.12 / math.Sqrt(12), measure.Assumed},
		{"by feel", measure.OfFeel(-30), 6, measure.ByFeel},
		{"a resolution", measure.OfResolution(0.01), 0.01 * math.Sqrt2, measure.FromCaller},
		{"four repeats", measure.Budget{}.Repeats(four, 1), math.Sqrt(5.0 / 12), measure.FromRepeats},
		{"four repeats at one of two places", measure.Budget{}.Repeats(four, 0.5), math.Sqrt(5.0/12) / 2, measure.FromRepeats},
		{"four equal repeats are known to be 0", measure.Budget{}.Repeats(place("1", "1", "1", "1"), 1), 0, measure.FromRepeats},
		{"three repeats add nothing", measure.OfResolution(0.01).Repeats(place("1", "2", "3"), 1), 0.01 * math.Sqrt2, measure.FromCaller},
		{"repeats beside an instrument", measure.Error{Source: measure.FromCaller, Std: 0.5}.Budget().Repeats(four, 1), math.Sqrt(0.25 + 5.0/12), measure.FromCaller},
		{"assumed goes before declared", measure.Error{Source: measure.FromCaller, Std: 3}.Budget().Plus(measure.Error{Source: measure.Assumed, Std: 4}.Budget()), 5, measure.Assumed},
		{"declared goes before repeats", measure.Budget{}.Scattered(3, 3).Plus(measure.Error{Source: measure.FromCaller, Std: 4}.Budget()), 5, measure.FromCaller},
		{"two of repeats", measure.Budget{}.Scattered(3, 3).Plus(measure.Budget{}.Scattered(4, 3)), 5, measure.FromRepeats},
	} {
		if math.Abs(row.b.Standard()-row.u) > 1e-12 || row.b.Source != row.source || !row.b.Known() {
			t.Errorf("%s: %v %s", row.name, row.b.Standard(), row.b.Source)
		}
	}
	if place("1", "2", "3").Scatter() != 0 || place("1").Dev != 0 || !place("1").FewRepeats() || four.FewRepeats() {
		t.Error("repeats")
	}
	// Welch and Satterthwaite of one part alone: its own degrees; two equal parts: twice; a part with none counts as sure.
	for _, row := range []struct {
		b   measure.Budget
		dof float64
	}{{measure.Budget{}.Scattered(3, 5), 5}, {measure.Budget{}.Scattered(3, 5).Scattered(3, 5), 10}, {measure.Budget{}.Scattered(3, 5).Scattered(0, 3), 5}, {measure.Budget{}.Repeats(four, 1), 3}} {
		if _, dof := row.b.ExpandedT(); math.Abs(dof-row.dof) > 1e-9 {
			t.Errorf("degrees %v, want %v", dof, row.dof)
		}
	}
	joint := measure.Budget{}.Scattered(3, 5).Plus(measure.Budget{}.Scattered(4, 9))
	if _, dof := joint.ExpandedT(); math.Abs(dof-625/(81.0/5+256.0/9)) > 1e-9 {
		t.Errorf("degrees of a sum: %v", dof)
	}
	if b := measure.OfBracket(0.1, false).Plus(measure.Budget{}.Scattered(1, 3)); b.Source != measure.FromBracket {
		t.Errorf("named by %s", b.Source)
	}
	if b := measure.OfFeel(1).Plus(measure.Error{Source: measure.FromCaller, Std: 1}.Budget()); b.Source != measure.ByFeel {
		t.Errorf("named by %s", b.Source)
	}
	if got, dof := (measure.Budget{}.Scattered(3, 0)).ExpandedT(); got != 6 || !math.IsInf(dof, 1) {
		t.Errorf("%v %v", got, dof)
	}
}

func TestABlankReadingSaysNothing(t *testing.T) {
	t.Parallel()
	for _, r := range []measure.Reading{{HasValue: true}, {Repeats: []quantity.Decimal{figure("1")}}, bladed("0.1", "free"), {Category: "toe"}} {
		if r.Blank() {
			t.Errorf("%+v is blank", r)
		}
	}
	if !(&measure.Reading{Position: "1", HasAngle: true}).Blank() {
		t.Error("a position is no reading")
	}
	if (&measure.Instrument{Kind: "dial"}).Declared() || !(&measure.Instrument{Standard: measure.Some(0)}).Declared() || !(&measure.Instrument{Percent: measure.Some(1)}).Declared() ||
		!(&measure.Instrument{Expanded: measure.Some(1)}).Declared() || !(&measure.Instrument{Accuracy: measure.Some(1)}).Declared() {
		t.Error("declared")
	}
}

// placeOf is what one place says to an instrument of which nothing is known.
func placeOf(r measure.Reading, from, to quantity.Unit) (measure.Place, error) {
	return measure.PlaceOf(&r, from, to, &measure.Instrument{})
}

func TestAPlaceIsShifted(t *testing.T) {
	t.Parallel()
	p, _ := placeOf(bladed("0.10", "drag", "0.20", "forced"), "mm", "mm")
	q := p
	q.Shift(quantity.Frac(1, 2))
	if q.Value.Print(2, 0).String() != "0.60" || q.Low.At.Print(2, 0).String() != "0.60" || q.High.At.Print(2, 0).String() != "0.70" {
		t.Errorf("%+v", q)
	}
}
