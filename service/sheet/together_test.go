package sheet_test

import (
	"slices"
	"testing"

	"endfloat/service/catalogue"
	"endfloat/service/judge"
	"endfloat/service/sheet"
)

// A valve that was set has the head before it: where no line says so, the first start waits.
func TestNoLineOfThePrerequisite(t *testing.T) {
	t.Parallel()
	rev := revision(t)
	p := plan(rev, "b", sheet.Full)
	recs := slices.DeleteFunc(good(p), func(r sheet.Record) bool { return r.Key == "f/head/nuts" })
	j := sheet.Judge(p, rev, recs, today)
	if got := codes(j); !slices.Equal(got, []string{"prerequisite_missing"}) || !j.Contradictions[0].Blocks {
		t.Errorf("%q %+v", got, j.Contradictions)
	}
	// A sheet of the gearbox has neither line.
	p = plan(rev, "b", "gearbox")
	if got := codes(sheet.Judge(p, rev, slices.Clone(recs[:3]), today)); len(got) > 0 {
		t.Errorf("%q", got)
	}
}

// Every line exactly on its aim is remarked on from three lines on, and one that is off it ends that.
func TestAllOnTheAim(t *testing.T) {
	t.Parallel()
	aims := []string{"0.21", "24", "11.97", "22", "0.13"}
	for _, row := range []struct {
		name string
		aims int // how many lines have one
		off  string
		want bool
	}{
		{"two lines with an aim", 2, "", false},
		{"three", 3, "", true},
		{"all", 5, "", true},
		{"all but one, which is off by the last digit", 5, "11.96", false},
	} {
		f := family()
		n := 0
		for _, c := range f.Components {
			for _, e := range c.Specs {
				e.Base.HasTarget = e.Base.ValueForm == "" && n < row.aims
				if e.Base.ValueForm == "" {
					e.Base.Target = dec(aims[n])
					n++
				}
			}
		}
		rev, err := catalogue.New("r-test", "2026-11-01", []*catalogue.Family{f}, catalogue.Defaults{})
		if err != nil {
			t.Fatal(err)
		}
		p := plan(rev, "b", sheet.Full)
		recs := good(p)
		if row.off != "" {
			recs[2].Built = read(recs[2].Line.Spec(), judge.AsBuilt, "", row.off, 0.004)
		}
		j := sheet.Judge(p, rev, recs, today)
		if got := slices.Contains(codes(j), "all_on_the_aim"); got != row.want {
			t.Errorf("%s: %q", row.name, codes(j))
		}
	}
}

// The day of a sheet that names none is the latest of its lines, else that of the revision.
func TestDayWithoutOne(t *testing.T) {
	t.Parallel()
	rev := revision(t) // of 2026-11-01
	p := plan(rev, "b", sheet.Full)
	for _, row := range []struct {
		name, due string
		dated     bool
		want      bool
	}{
		{"due on the day of the latest line", "2026-11-22", true, false},
		{"due the day before it", "2026-11-21", true, true},
		{"no line has a day, due on that of the revision", "2026-11-01", false, false},
		{"no line has a day, due before the revision", "2026-10-31", false, true},
	} {
		recs := good(p)
		recs[2].Tools, recs[2].At = []sheet.Tool{{ID: "m", Due: row.due}}, sheet.When{}
		if !row.dated {
			for i := range recs {
				recs[i].At = sheet.When{}
			}
		}
		if got := codes(sheet.Judge(p, rev, recs, "")); slices.Contains(got, "calibration_past") != row.want || slices.Contains(got, "date_in_future") {
			t.Errorf("%s: %q", row.name, got)
		}
	}
}
