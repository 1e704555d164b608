package quantity_test

import (
	"bufio"
	"encoding/json"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"endfloat/service/quantity"
)

func one(from, to quantity.Unit) quantity.Exact {
	x, ok := quantity.Convert(quantity.Int(1), from, to)
	if !ok {
		panic(string(from) + " to " + string(to))
	}
	return x
}

// Factors and conversions as published: exact definitions, NIST SP 811, App. B. testdata/units.jsonl names the source
// of each; those that this package has no unit for are counted, so that none goes unread.
func TestPublishedConversions(t *testing.T) {
	t.Parallel()
	f, err := os.Open("testdata/units.jsonl")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	checked, outside := 0, []string{}
	for lines := bufio.NewScanner(f); lines.Scan(); {
		var c struct {
			ID     string
			Inputs struct {
				Factor, Conversion string
				Value              float64
			}
			Expected  struct{ Value, Result float64 }
			Tolerance struct{ Rel float64 }
			Published string `json:"published_in"`
		}
		if err := json.Unmarshal(lines.Bytes(), &c); err != nil || c.Published == "" {
			t.Fatalf("%v in %s", err, lines.Text())
		}
		got, ok := compute(c.Inputs.Factor, c.Inputs.Conversion, c.Inputs.Value)
		if !ok {
			outside = append(outside, c.ID)
			continue
		}
		checked++
		want := c.Expected.Value + c.Expected.Result
		if math.Abs(got-want) > c.Tolerance.Rel*math.Abs(want) {
			t.Errorf("%s: %v, published %v (%s)", c.ID, got, want, c.Published)
		}
	}
	// Pressure and temperature have no unit here.
	if want := []string{"units-010", "units-028", "units-029", "units-030", "units-031", "units-032", "units-033"}; !slices.Equal(outside, want) {
		t.Errorf("not compared: %v", outside)
	}
	t.Logf("%d conversions compared", checked)
	if checked != 26 {
		t.Errorf("%d conversions compared", checked)
	}
}

func compute(factor, conversion string, value float64) (float64, bool) {
	switch factor {
	case "N per lbf": // a foot is 0.3048 m
		return one(quantity.PoundForceFoot, quantity.NewtonMetre).Quo(dec("0.3048").Exact()).Float64(), true
	case "N·m per ozf·in": // sixteen ounces a pound
		return one(quantity.PoundForceInch, quantity.NewtonMetre).DivInt(16).Float64(), true
	}
	from, to, x := quantity.Unit(""), quantity.Unit(""), quantity.Int(1)
	if conversion != "" {
		pair, of, named := strings.Cut(conversion, " of ")
		a, b, ok := strings.Cut(pair, "->")
		if !ok {
			return 0, false
		}
		if !named {
			of = strconv.FormatFloat(value, 'f', -1, 64)
		}
		from, to, x = unit(a), unit(b), dec(of).Exact()
	} else if a, b, ok := strings.Cut(factor, " per "); ok {
		from, to = unit(b), unit(a)
	}
	if from == "" || to == "" {
		return 0, false
	}
	got, ok := quantity.Convert(x, from, to)
	return got.Float64(), ok
}

func unit(name string) quantity.Unit {
	name = strings.TrimSuffix(strings.Replace(name, "inch", "in", 1), "(mil)")
	u, _ := quantity.ParseUnit(name)
	return u
}

// Conversions by GNU units in doubles (integration/oracle/units.sh): ours are exact, so theirs must lie within a few of
// their own last digits.
func TestConversionsAgreeWithGNUUnits(t *testing.T) {
	t.Parallel()
	f, err := os.Open("testdata/gnu_units.tsv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	compared := 0
	for lines := bufio.NewScanner(f); lines.Scan(); {
		if strings.HasPrefix(lines.Text(), "#") {
			continue
		}
		cells := strings.Split(lines.Text(), "\t")
		want, err := strconv.ParseFloat(cells[3], 64)
		if err != nil {
			t.Fatal(err)
		}
		got, ok := quantity.In(dec(cells[0]), quantity.Unit(cells[1]), quantity.Unit(cells[2]))
		if !ok || math.Abs(got.Float64()-want) > 4e-15*math.Abs(want) {
			t.Errorf("%s %s is %.17g %s, by GNU units %.17g", cells[0], cells[1], got.Float64(), cells[2], want)
		}
		compared++
	}
	if compared != 4*4*7+5*5*7 {
		t.Errorf("%d conversions compared", compared)
	}
}

func TestUnits(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]quantity.Unit{
		"mm": "mm", "um": "µm", "µm": "µm", "\u03bcm": "µm", "in": "in", "thou": "thou", "N·m": "N·m", "N.m": "N·m", "Nm": "N·m", "lbf·ft": "lbf·ft", "lbf.ft": "lbf·ft", "ft·lbf": "lbf·ft",
		"lbf·in": "lbf·in", "lbf.in": "lbf·in", "in·lbf": "lbf·in", "kgf·m": "kgf·m", "kgf·cm": "kgf·cm", "deg": "°", "°": "°", "kPa": "kPa", "cm³": "cm³", "cm3": "cm³", "turns": "turns",
	} {
		if u, ok := quantity.ParseUnit(text); !ok || u != want {
			t.Errorf("%q is %q %v", text, u, ok)
		}
	}
	for _, text := range []string{"", "MM", "mil", "ft", "nm", "ftlbs", "inch", "kg", "m", "\"", "N·m ", "lbf"} {
		if u, ok := quantity.ParseUnit(text); ok {
			t.Errorf("%q is read as %q", text, u)
		}
	}
	for _, kind := range []quantity.Kind{quantity.LengthKind, quantity.TorqueKind, quantity.AngleKind, quantity.Other} {
		for _, u := range quantity.UnitsOf(kind) {
			if again, ok := quantity.ParseUnit(string(u)); !ok || again != u || u.Kind() != kind {
				t.Errorf("%q reads as %q of kind %v", u, again, u.Kind())
			}
			for _, r := range u.ASCII() {
				if r > 126 {
					t.Errorf("%q in plain letters is %q", u, u.ASCII())
				}
			}
			if again, ok := quantity.ParseUnit(u.ASCII()); !ok || again != u {
				t.Errorf("%q reads back as %q", u.ASCII(), again)
			}
		}
	}
	for u, want := range map[quantity.Unit]int{"mm": 9, "in": 9, "µm": 6, "thou": 6, "N·m": 6, "lbf·ft": 6, "kgf·cm": 6, "°": 9, "kPa": 9} {
		if u.MaxPlaces() != want {
			t.Errorf("%s may have %d decimals", u, u.MaxPlaces())
		}
	}
}

func TestUnitsOfKindOther(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]quantity.Unit{"kPa": "kPa", "cm3": "cm³", "psi": "psi", "°C": "°C", "mm²/s": "mm²/s", "1/min": "", "%": "%", "kgf/cm²": "kgf/cm²", "r/min": "r/min",
		"mm": "", "N.m": "", "deg": "", "": "", "=cmd": "", "-1": "", "<b>": "", "a b": "", "sixteen-letters-": "sixteen-letters-", "seventeen-letters": "", "Ω": "", "a\n": ""} {
		u, ok := quantity.ParseOther(text)
		if ok != (want != "") || ok && u != want {
			t.Errorf("%q is %q %v", text, u, ok)
		}
		for _, r := range u.ASCII() {
			if r > 126 {
				t.Errorf("%q in plain letters is %q", u, u.ASCII())
			}
		}
		if ok && (u.Kind() != quantity.Other || u.MaxPlaces() != 9) {
			t.Errorf("%q is of kind %v", u, u.Kind())
		}
	}
}

func TestWhatDoesNotConvert(t *testing.T) {
	t.Parallel()
	for _, pair := range [][2]quantity.Unit{{"mm", "N·m"}, {"N·m", "°"}, {"kPa", "bar"}, {"mm", ""}, {"", "mm"}, {"mm", "furlong"}} {
		if x, ok := quantity.In(dec("1"), pair[0], pair[1]); ok {
			t.Errorf("1 %s is %v %s", pair[0], x.Float64(), pair[1])
		}
	}
	if x, ok := quantity.In(dec("1.50"), "kPa", "kPa"); !ok || !x.Equal(dec("1.5").Exact()) {
		t.Error("a unit converts to itself")
	}
}

func TestConversionIsTheIdentityThereAndBack(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		units := quantity.UnitsOf(rapid.SampledFrom([]quantity.Kind{quantity.LengthKind, quantity.TorqueKind}).Draw(t, "kind"))
		a, b := rapid.SampledFrom(units).Draw(t, "a"), rapid.SampledFrom(units).Draw(t, "b")
		x := drawDecimal(t, "x").Exact()
		there, ok1 := quantity.Convert(x, a, b)
		back, ok2 := quantity.Convert(there, b, a)
		if !ok1 || !ok2 || !back.Equal(x) {
			t.Fatalf("%v %s came back as %v", x.Rat(), a, back.Rat())
		}
	})
}
