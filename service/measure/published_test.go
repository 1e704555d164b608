package measure_test

import (
	"bufio"
	"encoding/json"
	"math"
	"os"
	"strconv"
	"testing"

	"endfloat/service/measure"
	"endfloat/service/quantity"
)

// published is one case of testdata/published.jsonl, which names where each was published and how it became known.
type published struct {
	ID, Topic   string
	PublishedIn string `json:"published_in"`
	KnownFrom   string `json:"known_from"`
	Inputs      json.RawMessage
	Expected    map[string]json.RawMessage
	Tolerance   json.RawMessage
}

func cases(t *testing.T, topic string) []published {
	t.Helper()
	f, err := os.Open("testdata/published.jsonl")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var out []published
	sc := bufio.NewScanner(f)
	sc.Buffer(nil, 1<<20)
	for sc.Scan() {
		var p published
		if err := json.Unmarshal(sc.Bytes(), &p); err != nil {
			t.Fatal(err)
		}
		if p.Topic == topic {
			if p.PublishedIn == "" || p.KnownFrom == "" {
				t.Errorf("%s names no source", p.ID)
			}
			out = append(out, p)
		}
	}
	if len(out) == 0 {
		t.Fatalf("no case of %s", topic)
	}
	return out
}

func number(t *testing.T, raw json.RawMessage) float64 {
	t.Helper()
	f, err := strconv.ParseFloat(string(raw), 64)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// tolerance is the absolute tolerance of a figure, from the case's own.
func (p published) tolerance(key string, want float64) float64 {
	var flat struct{ Abs, Rel float64 }
	_ = json.Unmarshal(p.Tolerance, &flat)
	var by map[string]struct{ Abs, Rel float64 }
	_ = json.Unmarshal(p.Tolerance, &by)
	if v, ok := by[key]; ok {
		flat.Abs, flat.Rel = v.Abs, v.Rel
	}
	return math.Max(flat.Abs, flat.Rel*math.Abs(want))
}

func near(t *testing.T, p published, key string, got float64) {
	t.Helper()
	raw, ok := p.Expected[key]
	if !ok {
		return
	}
	want := number(t, raw)
	if tol := p.tolerance(key, want); math.Abs(got-want) > tol || math.IsNaN(got) {
		t.Errorf("%s (%s): %s is %v, published %v ± %v", p.ID, p.PublishedIn, key, got, want, tol)
	}
}

func TestStudentTAsPublished(t *testing.T) {
	t.Parallel()
	for _, p := range cases(t, "student_t") {
		var in struct {
			Dof json.RawMessage
			P   float64
		}
		if err := json.Unmarshal(p.Inputs, &in); err != nil {
			t.Fatal(err)
		}
		dof, err := strconv.ParseFloat(string(in.Dof), 64)
		if err != nil { // "inf"
			dof = 1e9
		}
		near(t, p, "t", measure.StudentT(dof, in.P))
	}
}

func TestRepeatsAsPublished(t *testing.T) {
	t.Parallel()
	done := 0
	for _, p := range cases(t, "type_a") {
		var in struct{ Values []json.RawMessage }
		if json.Unmarshal(p.Inputs, &in) != nil || len(in.Values) < 2 {
			continue // described in words; NumAcc3 is built below
		}
		var r measure.Reading
		for _, v := range in.Values {
			r.Repeats = append(r.Repeats, quantity.MustParse(string(v)))
		}
		checkRepeats(t, p, r)
		done++
	}
	if done < 4 {
		t.Errorf("only %d data sets were checked", done)
	}
}

func checkRepeats(t *testing.T, p published, r measure.Reading) {
	t.Helper()
	place, err := measure.PlaceOf(&r, quantity.Millimetre, quantity.Millimetre, &measure.Instrument{})
	if err != nil {
		t.Fatal(err)
	}
	near(t, p, "mean", place.Value.Float64())
	near(t, p, "s", place.Dev)
	near(t, p, "u_mean", place.Scatter())
	near(t, p, "n", float64(place.Count))
}

// NIST StRD NumAcc3 is given as a rule: 1000000.2, then 1000000.1 and 1000000.3 five hundred times.
func TestHardRepeats(t *testing.T) {
	t.Parallel()
	r := measure.Reading{Repeats: []quantity.Decimal{quantity.MustParse("1000000.2")}}
	for range 500 {
		r.Repeats = append(r.Repeats, quantity.MustParse("1000000.1"), quantity.MustParse("1000000.3"))
	}
	for _, p := range cases(t, "type_a") {
		if p.ID == "type_a-008" {
			checkRepeats(t, p, r)
			return
		}
	}
	t.Fatal("the case is gone")
}

func TestLimitsOfErrorAsPublished(t *testing.T) {
	t.Parallel()
	for _, p := range cases(t, "type_b") {
		var in struct {
			Dist    string
			A, U, K float64
		}
		if err := json.Unmarshal(p.Inputs, &in); err != nil {
			t.Fatal(err)
		}
		var ins measure.Instrument
		switch in.Dist {
		case "rectangular":
			ins.Accuracy = measure.Some(in.A)
		case "triangular":
			ins.Accuracy, ins.Shape = measure.Some(in.A), measure.Triangular
		case "arcsine (U-shaped)":
			ins.Accuracy, ins.Shape = measure.Some(in.A), measure.UShaped
		case "50:50 interval":
			ins.Accuracy, ins.Shape, ins.Level = measure.Some(in.A), measure.Normal, 0.5
		case "normal, stated 3 sigma":
			ins.Expanded, ins.K = measure.Some(in.U), in.K
		default:
			t.Errorf("%s: %s cannot be declared", p.ID, in.Dist)
		}
		e, ok := ins.Of(1, quantity.Millimetre, quantity.Millimetre, nil)
		if !ok {
			t.Fatal("nothing is known")
		}
		near(t, p, "u", e.Budget().Standard())
	}
}

// The largest permissible errors of the standards are limits of error ±a: u is a/√3 and U never exceeds a.
func TestInstrumentsOfStandards(t *testing.T) {
	t.Parallel()
	for _, p := range cases(t, "instrument_mpe") {
		raw, ok := p.Expected["mpe_um"]
		if !ok {
			continue
		}
		a := number(t, raw)
		e, _ := (&measure.Instrument{Accuracy: measure.Some(a)}).Of(1, quantity.Micrometre, quantity.Millimetre, nil)
		b := e.Budget()
		if math.Abs(b.Standard()-a/1000/math.Sqrt(3)) > 1e-12 || b.Expanded() > a/1000+1e-15 {
			t.Errorf("%s: u %v, U %v", p.ID, b.Standard(), b.Expanded())
		}
	}
}

// EA-4/02, S10: standard uncertainties of 0.46, 2.0, 15 and 29 µm, the last two from limits of error of 25 and 50 µm.
func TestBudgetOfACalliper(t *testing.T) {
	t.Parallel()
	for _, p := range cases(t, "uncertainty_budget") {
		if p.ID != "uncertainty_budget-001" {
			continue
		}
		var in struct {
			Components []float64 `json:"components_um"`
		}
		if err := json.Unmarshal(p.Inputs, &in); err != nil {
			t.Fatal(err)
		}
		b := measure.Error{Source: measure.FromCaller}.Budget()
		for _, u := range in.Components {
			b = b.Plus(measure.Error{Source: measure.FromCaller, Std: u}.Budget())
		}
		near(t, p, "u_c_um", b.Standard())
		// Two even distributions make a trapezium, whose 95 % lie within 1.83 u. U here is 2u, or less where the limits of
		// error bound it, and never follows the shape of a sum: it must not be less than what is published, nor a tenth more.
		limits := measure.Error{Source: measure.FromCaller}.Budget()
		for _, e := range []measure.Error{{Std: in.Components[0]}, {Std: in.Components[1]}, {Limit: 25}, {Limit: 50}} {
			e.Source = measure.FromCaller
			limits = limits.Plus(e.Budget())
		}
		want := number(t, p.Expected["k"]) * number(t, p.Expected["u_c_um"])
		for _, b := range []measure.Budget{b, limits} {
			if U := b.Expanded(); U < want || U > 1.1*want {
				t.Errorf("%s: U is %v µm, published %v", p.ID, U, want)
			}
		}
		return
	}
	t.Fatal("the case is gone")
}

// JCGM 100, H.1.6: effective degrees of freedom are cut to the next lower whole number.
func TestWelchSatterthwaite(t *testing.T) {
	t.Parallel()
	b := measure.Budget{}.Scattered(3, 4).Scattered(4, 9)
	expanded, dof := b.ExpandedT()
	want := math.Pow(5, 4) / (81.0/4 + 256.0/9)
	if math.Abs(dof-want) > 1e-9 || math.Abs(expanded-5*measure.StudentT(math.Floor(want), 0.9545)) > 1e-12 {
		t.Errorf("dof %v, want %v; U %v", dof, want, expanded)
	}
}
