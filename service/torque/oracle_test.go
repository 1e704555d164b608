package torque_test

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"endfloat/service/quantity"
	"endfloat/service/torque"
)

// table reads a CSV file of integration/oracle/torque.py below its header; fewer rows than least are a failure.
func table(t *testing.T, name string, least int) [][]string {
	t.Helper()
	f, err := os.Open(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil || len(rows)-1 < least {
		t.Fatalf("%s: %d rows, %v", name, len(rows), err)
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

// Settings that a search through every multiple of the step in exact fractions found.
func TestSettingsAgreeWithASearch(t *testing.T) {
	t.Parallel()
	held := 0
	for _, r := range table(t, "settings.csv", 1500) {
		w := torque.Wanted{Unit: quantity.NewtonMetre, Decimals: 1, Band: quantity.Between(dec(r[0]), dec(r[1])), Aim: dec(r[2]).Exact()}
		tool := torque.Wrench{Lever: mm(r[4]), Step: dec(r[7]), Accuracy: dec(r[8]).Exact(), Rated: true}
		use := torque.Use{Running: dec(r[3]).Exact(), HasRunning: true, Extension: torque.Extension{Length: mm(r[5]), Angle: dec(r[6])}}
		s, ok := torque.Set(w, tool, use)
		if exact := float(t, r[9]); !ok || math.Abs(s.Exact.Float64()-exact) > 1e-9*exact {
			t.Errorf("%v: exact %v", r, s.Exact.Float64())
		}
		if s.Set.Cmp(dec(r[10])) != 0 || strconv.FormatBool(s.InBand) != r[11] {
			t.Errorf("%v: set %s, in band %v", r, s.Set, s.InBand)
		}
		if s.InBand {
			held++
		}
	}
	t.Logf("%d settings hold their band", held)
}

// Joints that were solved by the stresses of tension and torsion.
func TestJointsAgreeWithTheirStresses(t *testing.T) {
	t.Parallel()
	for _, r := range table(t, "joints.csv", 400) {
		th := threadOf(t, r[0])
		j := torque.Joint{Thread: th, Class: classOf(t, r[1], th), Friction: torque.Friction{Thread: float(t, r[2]), Head: float(t, r[3])},
			Utilisation: float(t, r[4]), Face: torque.Face{Outer: float(t, r[5]), Hole: float(t, r[6])}}
		if r[7] == "elastic_torsion" {
			j.Model = torque.Elastic
		}
		e := j.Estimate()
		if force, moment := float(t, r[8]), float(t, r[9]); math.Abs(e.ClampForce-force) > 1e-7*force || math.Abs(e.Torque-moment) > 1e-7*moment {
			t.Errorf("%v: %v N, %v N·m", r, e.ClampForce, e.Torque)
		}
	}
}
