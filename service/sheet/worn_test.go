package sheet_test

import (
	"slices"
	"testing"

	"endfloat/service/catalogue"
	"endfloat/service/judge"
	"endfloat/service/quantity"
	"endfloat/service/sheet"
	"endfloat/service/spec"
)

// Wear takes material away (common practice, no source): a face gets narrower, a clearance wider.
func TestAWornPartGrowsNoMore(t *testing.T) {
	t.Parallel()
	narrower, wider := quantity.Range{Lower: dec("11.80"), HasLower: true}, quantity.Range{Upper: dec("12.20"), HasUpper: true}
	for _, row := range []struct {
		name         string
		wear         quantity.Range
		remedy       spec.Remedy
		reused       bool
		found, built string
		u            float64
		want         bool
	}{
		{"wider than it was found", narrower, spec.Replace, true, "11.70", "11.97", 0.004, true},
		{"narrower still", narrower, spec.Replace, true, "11.97", "11.96", 0.004, false},
		{"intervals that touch: 11.95 + 0.008, 11.966 - 0.008", narrower, spec.Replace, true, "11.95", "11.966", 0.004, false},
		{"1 µm apart", narrower, spec.Replace, true, "11.95", "11.967", 0.004, true},
		{"without any uncertainty, by the last digit", narrower, spec.Replace, true, "11.95", "11.951", 0, true},
		{"the same", narrower, spec.Replace, true, "11.96", "11.96", 0, false},
		{"a clearance that closed", wider, spec.Replace, true, "12.10", "11.97", 0.004, true},
		{"a clearance that opened", wider, spec.Replace, true, "11.97", "12.10", 0.004, false},
		{"a new part", narrower, spec.Replace, false, "11.70", "11.97", 0.004, false},
		{"what is machined", wider, spec.Machine, true, "12.10", "11.97", 0.004, false},
		{"no wear limit", quantity.Range{}, spec.Replace, true, "11.70", "11.97", 0.004, false},
	} {
		f := family()
		face := f.Components[0].Specs[2].Base
		face.WearLimit, face.Remedy = row.wear, row.remedy
		rev, err := catalogue.New("r-test", "2026-11-01", []*catalogue.Family{f}, catalogue.Defaults{})
		if err != nil {
			t.Fatal(err)
		}
		p := plan(rev, "b", sheet.Full)
		recs := good(p)
		recs[2].Reused = row.reused
		recs[2].Found, recs[2].Built = read(face, judge.AsFound, "", row.found, row.u), read(face, judge.AsBuilt, "", row.built, row.u)
		j := sheet.Judge(p, rev, recs, today)
		if got := slices.Contains(codes(j), "worn_part_grew"); got != row.want {
			t.Errorf("%s: %q", row.name, codes(j))
		}
		if row.want && j.Gates[0].State != sheet.Blocked {
			t.Errorf("%s: %s", row.name, j.Gates[0].State)
		}
	}
}
