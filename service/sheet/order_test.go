package sheet_test

import (
	"slices"
	"testing"

	"endfloat/service/catalogue"
	"endfloat/service/sheet"
	"endfloat/service/spec"
)

// An undersize shell stands in for the standard one, which is always renewed; what serves another spec, names no size or
// lies in another component does not. Common practice, no source.
func TestAnotherSizeStandsIn(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name    string
		other   catalogue.Part
		renewed []string
		want    bool // the standard part counts as renewed
	}{
		{"neither", catalogue.Part{SKU: "C-U1", Size: "0.25 under", Specs: []spec.Key{"f/stack/play"}}, nil, false},
		{"the standard one", catalogue.Part{SKU: "C-U1", Size: "0.25 under", Specs: []spec.Key{"f/stack/play"}}, []string{"C-2"}, true},
		{"another size", catalogue.Part{SKU: "C-U1", Size: "0.25 under", Specs: []spec.Key{"f/stack/face", "f/stack/play"}}, []string{"C-U1"}, true},
		{"another size for another spec", catalogue.Part{SKU: "C-U1", Size: "0.25 under", Specs: []spec.Key{"f/stack/face"}}, []string{"C-U1"}, false},
		{"another part without a size", catalogue.Part{SKU: "C-U1", Specs: []spec.Key{"f/stack/play"}}, []string{"C-U1"}, false},
		{"another part that is always renewed", catalogue.Part{SKU: "C-U1", Size: "20 × 30 × 7", Renew: true, Specs: []spec.Key{"f/stack/play"}}, []string{"C-U1"}, false},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			f := family()
			f.Components[0].Parts = append(f.Components[0].Parts, &row.other)
			rev, err := catalogue.New("r-test", "2026-11-01", []*catalogue.Family{f}, catalogue.Defaults{})
			if err != nil {
				t.Fatal(err)
			}
			p := plan(rev, "b", sheet.Full)
			recs := good(p)
			recs[0].Renewed = row.renewed
			j := sheet.Judge(p, rev, recs, today)
			blamed := slices.ContainsFunc(j.Contradictions, func(c sheet.Contradiction) bool {
				return c.Note.Code == "not_renewed" && c.Note.Get("sku") == "C-1"
			})
			ordered := slices.ContainsFunc(j.Order, func(o sheet.Order) bool { return o.SKU == "C-2" })
			if blamed == row.want || ordered == row.want {
				t.Errorf("contradicted %v, ordered %v", blamed, ordered)
			}
		})
	}
}
