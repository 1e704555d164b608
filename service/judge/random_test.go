package judge_test

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"endfloat/service/judge"
	"endfloat/service/measure"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

func table(t *testing.T, name string, least int) [][]string {
	t.Helper()
	f, err := os.Open("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil || len(rows) < least {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	return rows[1:]
}

func float(t *testing.T, s string) float64 {
	t.Helper()
	f, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// The answers come from exact fractions and scipy.stats; integration/oracle/judging.py made them.
func TestRandomChecksAgainstScipy(t *testing.T) {
	t.Parallel()
	for i, row := range table(t, "random_checks.csv", 8000) {
		s := mm(row[0], row[1])
		s.Decimals = 3
		if row[2] != "mean" {
			s.Points.Combine = spec.Combine(row[2])
		}
		s.Plausible = quantity.Between(dec("-10"), dec("10"))
		c := judge.Check{Spec: s, Unit: quantity.Millimetre, Guard: row[3], Readings: values(strings.Fields(row[6])...)}
		figure := measure.Some(float(t, row[5]))
		if row[4] == "standard" {
			c.Instrument.Standard = figure
		} else {
			c.Instrument.Accuracy = figure
		}
		r := judge.Judge(c)
		if string(r.Verdict) != row[7] || r.Lower.Cmp(dec(row[8])) != 0 || r.Upper.Cmp(dec(row[9])) != 0 ||
			math.Abs(r.Probability-float(t, row[10])) > 2e-12 {
			t.Fatalf("row %d: %v; got %s %s %s %.12f", i+2, row, r.Verdict, r.Lower, r.Upper, r.Probability)
		}
	}
}

// The answers come from the package uncertainties; parts of one instrument are fully correlated.
func TestRandomClearancesAgainstUncertainties(t *testing.T) {
	t.Parallel()
	for i, row := range table(t, "random_clearances.csv", 2000) {
		s := &spec.Spec{Kind: spec.Dimension, Unit: quantity.Millimetre, Decimals: 3, Band: quantity.Between(dec("-500"), dec("500"))}
		c := judge.Check{Spec: s, Unit: quantity.Millimetre}
		for p := range strings.FieldsSeq(row[0]) {
			f := strings.Split(p, ":")
			sign, _ := strconv.Atoi(f[0])
			ins := u(float(t, f[2]))
			ins.ID = f[3]
			c.Sizes = append(c.Sizes, judge.Size{Part: p, Sign: sign, Readings: values(f[1]), Instrument: ins})
		}
		r := judge.Judge(c)
		if !r.Value.Equal(dec(row[1]).Exact()) || math.Abs(r.Standard-float(t, row[2])) > 1e-12 {
			t.Fatalf("row %d: %v; got %s ± %.12f", i+2, row, r.Value.Print(3, 2), r.Standard)
		}
	}
}
