package catalogue_test

import (
	"fmt"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"endfloat/service/catalogue"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// changed is the fixture with one thing done to it.
func changed(t *testing.T, do func(one, two *catalogue.Family)) *catalogue.Revision {
	t.Helper()
	families := twoRuns()
	do(families[1], families[0])
	r, err := catalogue.New("r-new", "2026-12-01", families, catalogue.Defaults{Cautions: []spec.Caution{{Code: "pressure", Severity: 2}}})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestDiff(t *testing.T) {
	t.Parallel()
	type c = catalogue.Change
	type fs = []catalogue.Field
	caution := c{What: "caution", How: "added", Key: "pressure"}
	for _, row := range []struct {
		name string
		do   func(one, two *catalogue.Family)
		want []c
	}{
		{"nothing", func(_, _ *catalogue.Family) {}, nil},
		{"a band and its reason", func(one, _ *catalogue.Family) {
			s := one.Components[0].Specs[0].Base
			s.Band.Upper, s.Reason, s.RevisionDate = quantity.MustParse("0.28"), spec.English("tightened"), "2026-12-01"
		}, []c{{What: "spec", How: "changed", Family: "one", Key: "one/shaft/play", Fields: fs{{"band.upper", "0.30", "0.28"},
			{"variant b: band.upper", "0.28", ""}}, Date: "2026-12-01"}}},
		{"a trailing zero more", func(one, _ *catalogue.Family) {
			one.Components[0].Specs[0].Base.Band.Lower = quantity.MustParse("0.100")
		}, []c{{What: "spec", How: "changed", Family: "one", Key: "one/shaft/play", Fields: fs{{"band.lower", "0.10", "0.100"}}}}},
		{"a target taken away", func(one, _ *catalogue.Family) { one.Components[0].Specs[1].Overrides = nil },
			[]c{{What: "spec", How: "changed", Family: "one", Key: "one/shaft/pin", Fields: fs{
				{"mark shaft:U1: band.lower", "29.73", ""}, {"mark shaft:U1: band.upper", "29.75", ""}}}}},
		{"a spec gone and one come", func(one, _ *catalogue.Family) { one.Components[0].Specs[2].Base.Key = "one/shaft/nut" },
			[]c{{What: "spec", How: "added", Family: "one", Key: "one/shaft/nut"}, {What: "spec", How: "removed", Family: "one", Key: "one/shaft/bolt"}}},
		{"a size superseded", func(one, _ *catalogue.Family) { one.Components[0].Shims[0].Base.Ladder[3].SupersededBy = "S-121" },
			[]c{{What: "shims", How: "changed", Family: "one", Key: "one/shaft/shims", Fields: fs{{"size S-120 superseded_by", "", "S-121"}}}}},
		{"a run that ends", func(one, _ *catalogue.Family) { one.Variants[2].Ranges[0].To = 12000 },
			[]c{{What: "variant", How: "changed", Family: "one", Key: "one:c", Fields: fs{{"range 1", "ON 10000 to open", "ON 10000 to 12000"}}}}},
		{"a part of the other family", func(_, two *catalogue.Family) { two.Components[0].Parts[0].Quantity = 3 },
			[]c{{What: "part", How: "changed", Family: "two", Key: "P-2 @ two/case", Fields: fs{{"quantity", "", "3"}}}}},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			got := catalogue.Diff(revision(t), changed(t, row.do), "")
			if d := cmp.Diff(append([]c{caution}, row.want...), got,
				cmpopts.IgnoreFields(c{}, "Name", "Reason")); d != "" {
				t.Error(d)
			}
		})
	}
}

func TestDiffOfFamilies(t *testing.T) {
	t.Parallel()
	whole := revision(t)
	half, err := catalogue.New("r-half", "2026-10-01", twoRuns()[1:], catalogue.Defaults{})
	if err != nil {
		t.Fatal(err)
	}
	if got := catalogue.Diff(half, whole, ""); len(got) != 1 || got[0].What != "family" || got[0].How != "added" || got[0].Key != "two" {
		t.Errorf("%+v", got)
	}
	if got := catalogue.Diff(whole, half, ""); len(got) != 1 || got[0].How != "removed" {
		t.Errorf("%+v", got)
	}
	if got := catalogue.Diff(half, whole, "one"); len(got) != 0 {
		t.Errorf("narrowed to one: %+v", got)
	}
}

func ExampleDiff() {
	band := func(upper string) *catalogue.Family {
		s := &spec.Spec{Key: "f/c/play", Kind: spec.Dimension, Unit: "mm", Decimals: 2, Band: quantity.AtMost(quantity.MustParse(upper))}
		return &catalogue.Family{Key: "f", Components: []*catalogue.Component{{Key: "c", Specs: []*catalogue.Entry{{Base: s}}}}}
	}
	older, _ := catalogue.New("r-1", "2026-05-01", []*catalogue.Family{band("0.25")}, catalogue.Defaults{})
	newer, _ := catalogue.New("r-2", "2026-11-01", []*catalogue.Family{band("0.23")}, catalogue.Defaults{})
	for _, c := range catalogue.Diff(older, newer, "f") {
		fmt.Println(c.Key, c.How, c.Fields)
	}
	// Output: f/c/play changed [{band.upper 0.25 0.23}]
}
