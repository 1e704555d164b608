package catalogue_test

import (
	"testing"

	"endfloat/service/catalogue"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

func mm(lower, upper string) quantity.Range {
	return quantity.Between(quantity.MustParse(lower), quantity.MustParse(upper))
}

func dimension(key spec.Key, band quantity.Range) *spec.Spec {
	return &spec.Spec{Key: key, Kind: spec.Dimension, Name: spec.English("Play"), Unit: "mm", Decimals: 2, Band: band,
		Source: &spec.Source{Class: "demo", Title: "t", Reviewed: "2026-11-01"}}
}

// twoRuns is a family with two runs, a gap, an open end and a prefix that both runs share, and a sister family.
func twoRuns() []*catalogue.Family {
	play, narrow := dimension("one/shaft/play", mm("0.10", "0.30")), dimension("one/shaft/play", mm("0.12", "0.28"))
	pin, ground := dimension("one/shaft/pin", mm("29.98", "30.00")), dimension("one/shaft/pin", mm("29.73", "29.75"))
	torque := &spec.Spec{Key: "one/shaft/bolt", Kind: spec.Torque, Unit: "N·m", Band: mm("22", "26")}
	set := &spec.ShimSet{Key: "one/shaft/shims", Name: spec.English("Shims"), Unit: "mm",
		Places: []spec.Place{{ID: "end", PerMM: []spec.Effect{{Spec: "one/shaft/play", Change: quantity.MustParse("-1")}}}},
		Ladder: []spec.Rung{
			{Thickness: quantity.MustParse("1.00"), SKU: "S-100"},
			{Thickness: quantity.MustParse("1.08"), SKU: "S-108", SupersededBy: "S-110"},
			{Thickness: quantity.MustParse("1.10"), SKU: "S-110"},
			{Thickness: quantity.MustParse("1.20"), SKU: "S-120"}}}
	one := &catalogue.Family{Key: "one", Name: spec.English("One"),
		Variants: []catalogue.Variant{
			{ID: "a", Feature: spec.English("six studs"), Ranges: []catalogue.SerialRange{{"ON", 1000, 4999}, {"ONX", 1, 0}}},
			{ID: "b", Feature: spec.English("eight studs"), Ranges: []catalogue.SerialRange{{"ON", 5000, 8999}, {"ONX", 1, 0}}},
			{ID: "c", Ranges: []catalogue.SerialRange{{"ON", 10000, 0}}}},
		Components: []*catalogue.Component{{Key: "shaft", Marks: []string{"STD", "U1"}, Specs: []*catalogue.Entry{
			{Base: play, Overrides: []catalogue.Override{{Variant: "b", Spec: narrow}}},
			{Base: pin, Overrides: []catalogue.Override{{Mark: "shaft:U1", Spec: ground}}},
			{Base: torque}},
			Shims: []*catalogue.ShimEntry{{Base: set}},
			Parts: []*catalogue.Part{
				{SKU: "P-1", Name: spec.English("Bolt"), SupersededBy: "P-2", Specs: []spec.Key{"one/shaft/bolt", "one/shaft/play"}, Companions: []string{"P-9"}},
				{SKU: "P-2", Name: spec.English("Bolt"), Specs: []spec.Key{"one/shaft/bolt"}}}}}}
	two := &catalogue.Family{Key: "two", Name: spec.English("Two"),
		Variants:   []catalogue.Variant{{ID: "x", Ranges: []catalogue.SerialRange{{"TB", 1, 500}}}},
		Components: []*catalogue.Component{{Key: "case", Parts: []*catalogue.Part{{SKU: "P-2", Name: spec.English("Bolt"), SupersededBy: "P-3"}, {SKU: "P-3", Supersedes: []string{"P-0"}}}}}}
	return []*catalogue.Family{two, one}
}

func revision(t testing.TB) *catalogue.Revision {
	t.Helper()
	r, err := catalogue.New("r-test", "2026-11-01", twoRuns(), catalogue.Defaults{})
	if err != nil {
		t.Fatal(err)
	}
	return r
}
