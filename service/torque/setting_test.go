package torque_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/spec"
	"endfloat/service/torque"
)

func dec(s string) quantity.Decimal { return quantity.MustParse(s) }

func mm(s string) quantity.Length {
	l, err := quantity.LengthOf(dec(s), quantity.Millimetre)
	if err != nil {
		panic(err)
	}
	return l
}

func wanted(aim, lower, upper string) torque.Wanted {
	w := torque.Wanted{Aim: dec(aim).Exact(), Unit: quantity.NewtonMetre}
	if lower != "" {
		w.Band = quantity.Between(dec(lower), dec(upper))
		w.Decimals = max(dec(lower).Places(), dec(upper).Places())
	}
	return w
}

// click is a wrench of 300 mm, 5 to 50 N·m in steps of 0.5, ±4 %.
func click() torque.Wrench {
	return torque.Wrench{Lever: mm("300"), Unit: quantity.NewtonMetre, Range: quantity.Between(dec("5"), dec("50")),
		Step: dec("0.5"), Accuracy: quantity.Int(4), Rated: true}
}

func codes(list []note.Note) []string {
	names := []string{}
	for _, n := range list {
		names = append(names, n.Code)
	}
	return names
}

// Common practice, no source; the figures are the adapter formula by hand.
func TestSettings(t *testing.T) {
	t.Parallel()
	adapter := func(angle string) torque.Extension { return torque.Extension{Length: mm("50"), Angle: dec(angle)} }
	running := func(e torque.Extension, r string) torque.Use {
		return torque.Use{Extension: e, Running: dec(r).Exact(), HasRunning: true}
	}
	with := func(change func(*torque.Wrench)) torque.Wrench {
		w := click()
		change(&w)
		return w
	}
	left := wanted("30", "28", "32")
	left.LeftHand = true
	band := wanted("30", "28", "32")
	for _, row := range []struct {
		name         string
		w            torque.Wanted
		tool         torque.Wrench
		use          torque.Use
		exact, set   string
		gives, total string
		lower, upper string
		good         bool
		warnings     []string
	}{
		{"50 mm straight on", band, click(), torque.Use{Extension: adapter("0")}, "25.714286", "25.5", "29.75", "29.75", "28.56", "30.94", true, []string{}},
		{"with a running torque of 2.1", band, click(), running(adapter("0"), "2.1"), "27.514286", "27.5", "29.983333", "32.083333", "28.7", "31.266667", true, []string{}},
		{"square to the lever changes nothing", band, click(), torque.Use{Extension: adapter("90")}, "30", "30.0", "30", "30", "28.8", "31.2", true, []string{}},
		{"folded back is set higher", band, click(), torque.Use{Extension: adapter("180")}, "36", "36.0", "30", "30", "28.8", "31.2", true, []string{}},
		{"60° is half the extension, exactly", band, click(), torque.Use{Extension: adapter("60")}, "27.692308", "27.5", "29.791667", "29.791667", "28.6", "30.983333", true, []string{}},
		{"no extension needs no lever", wanted("12", "10.8", "13.2"), with(func(w *torque.Wrench) { w.Lever = quantity.Length{} }), torque.Use{}, "12", "12.0", "12", "12", "11.52", "12.48", true, []string{}},
		{"12 plus running 2.1", wanted("12", "10.8", "13.2"), with(func(w *torque.Wrench) { w.Step = dec("0.1") }), running(torque.Extension{}, "2.1"), "14.1", "14.1", "12", "14.1", "11.436", "12.564", true, []string{}},
		{"a tie goes to the lower", wanted("10.25", "8", "12"), click(), torque.Use{}, "10.25", "10.0", "10", "10", "9.6", "10.4", true, []string{}},
		{"the nearest step would leave the band, the next one holds it", wanted("30.2", "30", "34"), with(func(w *torque.Wrench) { w.Step = dec("1") }), torque.Use{},
			"30.2", "32", "32", "32", "30.72", "33.28", true, []string{}},
		{"the result on the limit is inside", wanted("25", "24", "26"), click(), torque.Use{}, "25", "25.0", "25", "25", "24", "26", true, []string{}},
		{"a millionth of a percent worse is not", wanted("25", "24", "26"), with(func(w *torque.Wrench) { w.Accuracy = dec("4.000001").Exact() }), torque.Use{},
			"25", "25.0", "25", "25", "24", "26", false, []string{"no_setting_in_band"}},
		{"no step holds the band: the nearest, warned", wanted("30.2", "30", "30.4"), click(), torque.Use{}, "30.2", "30.0", "30", "30", "28.8", "31.2", false, []string{"no_setting_in_band"}},
		{"a 20 to 200 wrench does not reach 12", wanted("12", "10.8", "13.2"), with(func(w *torque.Wrench) { w.Range = quantity.Between(dec("20"), dec("200")); w.Step = dec("1") }), torque.Use{},
			"12", "12", "12", "12", "11.52", "12.48", false, []string{"below_range"}},
		{"over the range", wanted("60", "50", "70"), click(), torque.Use{}, "60", "60.0", "60", "60", "57.6", "62.4", false, []string{"above_range"}},
		{"the end of the range holds the band", wanted("52", "46", "58"), click(), torque.Use{}, "52", "50.0", "50", "50", "48", "52", true, []string{}},
		{"under a fifth of the range", wanted("8", "7", "9"), click(), torque.Use{}, "8", "8.0", "8", "8", "7.68", "8.32", true, []string{"low_in_range"}},
		{"exactly a fifth of the range", wanted("10", "9", "11"), click(), torque.Use{}, "10", "10.0", "10", "10", "9.6", "10.4", true, []string{}},
		{"a one-way wrench on a left-hand thread", left, with(func(w *torque.Wrench) { w.Only = spec.Right }), torque.Use{}, "30", "30.0", "30", "30", "28.8", "31.2", false, []string{"wrong_direction"}},
		{"a one-way wrench on a right-hand thread", band, with(func(w *torque.Wrench) { w.Only = spec.Right }), torque.Use{}, "30", "30.0", "30", "30", "28.8", "31.2", true, []string{}},
		{"a wrench that turns anticlockwise only", band, with(func(w *torque.Wrench) { w.Only = spec.Left }), torque.Use{}, "30", "30.0", "30", "30", "28.8", "31.2", false, []string{"wrong_direction"}},
		{"an assumed accuracy is said to be one", band, with(func(w *torque.Wrench) { w.Assumed = true }), torque.Use{}, "30", "30.0", "30", "30", "28.8", "31.2", true, []string{"accuracy_assumed"}},
		{"a step over twice the torque: the first there is", wanted("0.2", "", ""), torque.Wrench{Step: dec("1")}, torque.Use{}, "0.2", "1", "1", "1", "1", "1", false, []string{"wanted_not_reached"}},
		{"no band: the nearest step, whose error reaches the aim", wanted("30", "", ""), click(), torque.Use{Extension: adapter("0")}, "25.714286", "25.5", "29.75", "29.75", "28.56", "30.94", true, []string{}},
		{"no band, past the range: the most there is does not reach the aim", wanted("60", "", ""), click(), torque.Use{}, "60", "50.0", "50", "50", "48", "52", false, []string{"above_range"}},
		{"no band, past the range, but the error at its end reaches the aim exactly", wanted("52", "", ""), click(), torque.Use{}, "52", "50.0", "50", "50", "48", "52", true, []string{}},
		{"and a hundredth more does not", wanted("52.01", "", ""), click(), torque.Use{}, "52.01", "50.0", "50", "50", "48", "52", false, []string{"above_range"}},
		{"no band, under the range", wanted("4", "", ""), click(), torque.Use{}, "4", "5.0", "5", "5", "4.8", "5.2", false, []string{"below_range"}},
		{"no band, steps too coarse for the aim", wanted("12", "", ""), with(func(w *torque.Wrench) { w.Step = dec("5") }), torque.Use{}, "12", "10", "10", "10", "9.6", "10.4", false, []string{"wanted_not_reached"}},
		{"no band and no error that is known: the nearest step", wanted("12", "", ""), torque.Wrench{Step: dec("5")}, torque.Use{}, "12", "10", "10", "10", "10", "10", true, []string{}},
		{"no band, an error of 0 and no steps: rounding alone", wanted("30", "", ""), torque.Wrench{Lever: mm("300"), Rated: true}, torque.Use{Extension: adapter("0")}, "25.714286", "25.714286", "30", "30", "30", "30", true, []string{}},
		{"no band: the nearest", wanted("30", "", ""), click(), torque.Use{Extension: adapter("0")}, "25.714286", "25.5", "29.75", "29.75", "28.56", "30.94", true, []string{}},
		{"no steps: the exact setting", band, torque.Wrench{Lever: mm("300")}, torque.Use{Extension: adapter("0")}, "25.714286", "25.714286", "30", "30", "30", "30", true, []string{}},
		{"an extension longer than the lever", band, with(func(w *torque.Wrench) { w.Lever = mm("40") }), torque.Use{Extension: adapter("0")}, "13.333333", "13.5", "30.375", "30.375", "29.16", "31.59", true, []string{}},
		{"a scale in pounds", band, torque.Wrench{Unit: quantity.PoundForceFoot, Step: dec("1"), Accuracy: quantity.Int(4), Rated: true}, torque.Use{},
			"22.126864", "22", "29.827995", "29.827995", "28.634875", "31.021115", true, []string{}},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			s, ok := torque.Set(row.w, row.tool, row.use)
			if !ok {
				t.Fatal("no setting")
			}
			shown := func(x quantity.Exact) string { return x.Print(0, 6).String() }
			got := []string{shown(s.Exact), s.Set.String(), shown(s.Gives), shown(s.Total), shown(s.Lower), shown(s.Upper)}
			if diff := cmp.Diff([]string{row.exact, row.set, row.gives, row.total, row.lower, row.upper}, got); diff != "" {
				t.Error(diff)
			}
			if diff := cmp.Diff(row.warnings, codes(s.Warnings)); diff != "" || s.Good != row.good {
				t.Errorf("good %v, warnings %s", s.Good, diff)
			}
		})
	}
}

func TestNoSetting(t *testing.T) {
	t.Parallel()
	tool := click()
	for _, e := range []torque.Extension{{Length: mm("300"), Angle: dec("180")}, {Length: mm("400"), Angle: dec("180")}, {Length: mm("900"), Angle: dec("120")}} {
		if s, ok := torque.Set(wanted("30", "28", "32"), tool, torque.Use{Extension: e}); ok {
			t.Errorf("%+v gives %+v", e, s)
		}
	}
	if _, ok := torque.Set(wanted("30", "28", "32"), tool, torque.Use{Extension: torque.Extension{Length: mm("299.999999999"), Angle: dec("180")}}); ok {
		t.Error("a setting that no wrench has")
	}
	tool.Lever = quantity.Length{}
	if _, ok := torque.Set(wanted("30", "28", "32"), tool, torque.Use{Extension: torque.Extension{Length: mm("50")}}); ok {
		t.Error("an extension on a lever of no length")
	}
}

func TestRatioAndGuard(t *testing.T) {
	t.Parallel()
	tool := torque.Wrench{Range: quantity.Between(dec("5"), dec("25")), Step: dec("0.1"), Accuracy: quantity.Int(4), Rated: true}
	s, _ := torque.Set(wanted("12", "10.8", "13.2"), tool, torque.Use{})
	if !s.HasRatio || !s.Ratio.Equal(dec("2.5").Exact()) || s.Guard.Lower.String() != "11.3" || s.Guard.Upper.String() != "12.6" {
		t.Errorf("ratio %v, guard %v to %v", s.Ratio, s.Guard.Lower, s.Guard.Upper)
	}
	tool.Accuracy = quantity.Int(20)
	s, _ = torque.Set(wanted("12", "10.8", "13.2"), tool, torque.Use{})
	if !s.Guard.Empty() || s.Good || !s.Ratio.Equal(quantity.Frac(1, 2)) {
		t.Errorf("a tool of ±20 %% has guard %+v", s.Guard)
	}
}

// Common practice, no source: of several wrenches the one that reaches, turns the right way and is fine enough.
func TestChoose(t *testing.T) {
	t.Parallel()
	w := wanted("12", "10.8", "13.2")
	large := torque.Wrench{ID: "large", Range: quantity.Between(dec("20"), dec("200")), Step: dec("1"), Accuracy: quantity.Int(4), Rated: true}
	small := torque.Wrench{ID: "small", Range: quantity.Between(dec("5"), dec("25")), Step: dec("0.1"), Accuracy: quantity.Int(4), Rated: true}
	fine := small
	fine.ID, fine.Accuracy = "fine", quantity.Int(2)
	list, best := torque.Choose(w, []torque.Wrench{large, small, fine}, torque.Use{})
	if best != 2 || list[0].Good || !list[1].Good {
		t.Errorf("best %d of %+v", best, list)
	}
	if diff := cmp.Diff([]string{"not_good_enough_ratio", "below_range"}, codes(list[0].Why())); diff != "" {
		t.Error(diff)
	}
	if _, best := torque.Choose(w, []torque.Wrench{small, small}, torque.Use{}); best != 0 {
		t.Errorf("of equals the first stands, not %d", best)
	}
	// Neither reaches, but one would hold the band: it is the nearer to being good enough.
	coarse := large
	coarse.Accuracy, coarse.Step = quantity.Int(20), dec("50")
	if _, best := torque.Choose(w, []torque.Wrench{coarse, large}, torque.Use{}); best != 1 {
		t.Errorf("of two that do not reach, %d", best)
	}
	unrated := large
	unrated.Rated = false
	if _, best := torque.Choose(w, []torque.Wrench{coarse, unrated}, torque.Use{}); best != 1 {
		t.Errorf("of two that do not reach, one without a ratio, %d", best)
	}
	if _, best := torque.Choose(w, nil, torque.Use{}); best != -1 {
		t.Error("best of nothing")
	}
}

func TestCastleNut(t *testing.T) {
	t.Parallel()
	reach := func(angle string) (string, bool) {
		x, ok := torque.Advance(quantity.Int(45), quantity.Int(60), dec(angle).Exact(), dec("0.9").Exact())
		return x.Print(0, 6).String(), ok
	}
	if x, ok := reach("14"); x != "57.6" || !ok {
		t.Errorf("14° reaches %s %v", x, ok)
	}
	if x, ok := reach("22"); x != "64.8" || ok {
		t.Errorf("22° reaches %s %v", x, ok)
	}
	most := torque.MostAngle(quantity.Int(45), quantity.Int(60), dec("0.9").Exact())
	if x, ok := torque.Advance(quantity.Int(45), quantity.Int(60), most, dec("0.9").Exact()); !ok || !x.Equal(quantity.Int(60)) {
		t.Error("the upper limit itself is allowed")
	}
	if !torque.Furthest(6).Equal(quantity.Int(60)) {
		t.Error("six slots are 60° apart")
	}
}

func TestCosineIsExactWhereItCanBe(t *testing.T) {
	t.Parallel()
	for angle, want := range map[string]string{"0": "1", "60": "0.5", "90": "0", "90.0": "0", "120": "-0.5", "180": "-1", "240": "-0.5", "270": "0", "300": "0.5",
		"360": "1", "-60": "0.5", "-180": "-1", "450": "0", "45": "0.707106781187", "30": "0.866025403784", "135": "-0.707106781187", "89.999999999": "0.000000000017"} {
		if got := torque.Cosine(dec(angle)); !got.Equal(dec(want).Exact()) {
			t.Errorf("cos %s° is %v, want %s", angle, got.Float64(), want)
		}
	}
}

func TestSettingProperties(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		places := rapid.IntRange(0, 3).Draw(t, "places")
		lower := rapid.Int64Range(1, 20000).Draw(t, "lower")
		width := rapid.Int64Range(0, 20000).Draw(t, "width")
		aim := lower + rapid.Int64Range(0, width).Draw(t, "aim")
		w := torque.Wanted{Unit: quantity.NewtonMetre, Decimals: places, Aim: quantity.NewDecimal(aim, places).Exact(),
			Band: quantity.Between(quantity.NewDecimal(lower, places), quantity.NewDecimal(lower+width, places))}
		tool := torque.Wrench{Lever: mm("300"), Rated: true, Step: quantity.NewDecimal(rapid.Int64Range(1, 50).Draw(t, "step"), 1),
			Accuracy: quantity.NewDecimal(rapid.Int64Range(0, 100).Draw(t, "accuracy"), 1).Exact()}
		e := torque.Extension{Length: mm(quantity.NewDecimal(rapid.Int64Range(0, 250).Draw(t, "mm"), 0).String()), Angle: quantity.NewDecimal(rapid.Int64Range(0, 180).Draw(t, "angle"), 0)}
		s, ok := torque.Set(w, tool, torque.Use{Extension: e})
		if !ok {
			t.Fatal("an extension shorter than the lever always has a setting")
		}
		step := tool.Step.Exact()
		if n, _ := s.Set.Exact().Quo(step).Round(0, quantity.Down); !step.MulInt(n.Coef()).Equal(s.Set.Exact()) {
			t.Fatalf("%v is no multiple of %v", s.Set, tool.Step)
		}
		// By brute force: no multiple nearer to the exact setting holds the band.
		off := s.Set.Exact().Sub(s.Exact).Abs()
		for n := int64(1); n <= 400; n++ {
			other := step.MulInt(n)
			d := other.Sub(s.Exact).Abs()
			if d.Cmp(off) > 0 || d.Equal(off) && !other.Less(s.Set.Exact()) {
				continue
			}
			if holds(w, tool, e, other) || !s.InBand && d.Less(off) {
				t.Fatalf("%v is set, %v is nearer and holds the band", s.Set, other.Float64())
			}
		}
		if s.InBand != holds(w, tool, e, s.Set.Exact()) {
			t.Fatalf("in band is %v", s.InBand)
		}
	})
}

// holds computes in big.Rat what a setting gives and whether the band holds it with the error of the tool.
func holds(w torque.Wanted, tool torque.Wrench, e torque.Extension, set quantity.Exact) bool {
	f, _ := torque.Factor(tool.Lever, e)
	gives := set.Rat()
	gives.Quo(gives, f.Rat())
	part := tool.Accuracy.DivInt(100).Rat()
	part.Mul(part, gives)
	lower, upper := w.Band.Lower.Exact().Rat(), w.Band.Upper.Exact().Rat()
	return lower.Add(lower, part).Cmp(gives) <= 0 && upper.Sub(upper, part).Cmp(gives) >= 0
}
