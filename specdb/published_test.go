package specdb_test

import (
	"encoding/csv"
	"os"
	"testing"

	"github.com/google/go-cmp/cmp"

	"endfloat/service/catalogue"
	"endfloat/service/quantity"
	"endfloat/service/spec"
	"endfloat/specdb"
	"endfloat/specdb/store"
)

func published(t *testing.T) *catalogue.Revision {
	t.Helper()
	c, err := specdb.ReadPath("testdata/published", nil)
	if err != nil {
		t.Fatal(err)
	}
	rev, err := store.Build(c)
	if err != nil {
		t.Fatal(err)
	}
	return rev
}

// The limits of a published table stay in inches as they are printed. Its own millimetre column is the nearest, ours
// never lies outside the inches; differs names the five figures where that makes a difference: there the printed
// millimetres reach out of the printed inches.
func TestPublishedLimitsAreConvertedInward(t *testing.T) {
	t.Parallel()
	rev := published(t)
	f, err := os.Open("testdata/printed_mm.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = f.Close() }()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil || len(rows) != 7 {
		t.Fatal(len(rows), err)
	}
	differs := map[string]string{}
	for _, row := range rows[1:] {
		e, ok := rev.Entry(spec.Key("published/table/" + row[0]))
		if !ok {
			t.Fatal(row[0])
		}
		s := e.Base
		mm, ok := s.In(quantity.Millimetre)
		if !ok || s.Unit != quantity.Inch {
			t.Fatal(row[0], s.Unit)
		}
		wear, ourWear := s.WearLimit.Upper, mm.WearLimit.Upper
		if s.WearLimit.HasLower {
			wear, ourWear = s.WearLimit.Lower, mm.WearLimit.Lower
		}
		for i, x := range []struct {
			name      string
			inch, our quantity.Decimal
			up        bool // the safe side lies above
		}{{"lower", s.Band.Lower, mm.Band.Lower, true}, {"upper", s.Band.Upper, mm.Band.Upper, false}, {"wear", wear, ourWear, s.WearLimit.HasLower}} {
			exact, _ := quantity.In(x.inch, quantity.Inch, quantity.Millimetre)
			printed := quantity.MustParse(row[i+1])
			nearest, _ := exact.Round(printed.Places(), quantity.HalfEven)
			if nearest.Cmp(printed) != 0 {
				t.Errorf("%s %s: the printed %v is not the nearest to %v in", row[0], x.name, printed, x.inch)
			}
			if x.up && x.our.Exact().Less(exact) || !x.up && exact.Less(x.our.Exact()) {
				t.Errorf("%s %s: %v mm lies outside %v in", row[0], x.name, x.our, x.inch)
			}
			if x.up && printed.Exact().Less(exact) || !x.up && exact.Less(printed.Exact()) {
				differs[row[0]+" "+x.name] = printed.String() + " printed, " + x.our.String() + " inward"
			}
		}
	}
	want := map[string]string{
		"bushing-id wear": "47.714 printed, 47.713 inward",
		"crosshead lower": "11.02 printed, 11.024 inward",
		"crosshead wear":  "11.18 printed, 11.176 inward",
		"pin-bore wear":   "60.935 printed, 60.934 inward",
		"shaft-od upper":  "47.600 printed, 47.5996 inward",
	}
	if d := cmp.Diff(want, differs); d != "" {
		t.Error(d)
	}
}

// The thickness series of DIN 988:1990, Table 1 (from memory) is a ladder of uneven steps; its rings have their
// neighbours and, where the table says so, their tolerance.
func TestThicknessSeriesIsALadder(t *testing.T) {
	t.Parallel()
	rev := published(t)
	e, ok := rev.Shims("published/rings/series")
	if !ok || len(e.Base.Ladder) != 16 || e.Base.Decimals != 2 {
		t.Fatalf("%+v", e)
	}
	for sku, want := range map[string][2]string{"PS-010": {"", "PS-015"}, "PS-050": {"PS-030", "PS-100"}, "PS-200": {"PS-190", ""}} {
		v, _ := rev.PartView(sku)
		var got [2]string
		if u := v.Rungs[0]; u.Thinner != nil {
			got[0] = u.Thinner.SKU
		}
		if u := v.Rungs[0]; u.Thicker != nil {
			got[1] = u.Thicker.SKU
		}
		if got != want {
			t.Errorf("%s lies between %v, want %v", sku, got, want)
		}
	}
}
