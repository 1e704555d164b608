package catalogue_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"endfloat/service/catalogue"
)

func TestNarrowAndResolve(t *testing.T) {
	t.Parallel()
	r := revision(t)
	f, _ := r.Family("one")
	play, _ := r.Entry("one/shaft/play")
	pin, _ := r.Entry("one/shaft/pin")
	std, u1 := catalogue.Mark{Component: "shaft", Mark: "STD"}, catalogue.Mark{Component: "shaft", Mark: "U1"}
	for _, row := range []struct {
		name      string
		entry     *catalogue.Entry
		sel       catalogue.Selection
		lower     string
		undecided bool
		others    int
		note      string
	}{
		{"nothing said", play, catalogue.Selection{}, "0.10", true, 1, ""},
		{"variant with the base values", play, catalogue.Selection{Variant: "a"}, "0.10", false, 0, ""},
		{"variant of its own", play, catalogue.Selection{Variant: "b"}, "0.12", false, 0, ""},
		{"engine number", play, catalogue.Selection{EngineNumber: "ON 5000"}, "0.12", false, 0, ""},
		{"number of both runs, which differ", play, catalogue.Selection{EngineNumber: "ONX 5"}, "0.10", true, 2, "engine_number_ambiguous"},
		{"number in a gap", play, catalogue.Selection{EngineNumber: "ON 9500"}, "0.10", true, 1, "engine_number_not_covered"},
		{"unknown number", play, catalogue.Selection{EngineNumber: "ZZ 1"}, "0.10", true, 1, "engine_number_unknown"},
		{"number of the sister family", play, catalogue.Selection{EngineNumber: "TB 1"}, "0.10", true, 1, "engine_number_of_other_family"},
		{"variant against number: the named one stands", play, catalogue.Selection{Variant: "a", EngineNumber: "ON 5000"}, "0.10", false, 0, "variant_differs_from_number"},
		{"variant settles a shared number", play, catalogue.Selection{Variant: "b", EngineNumber: "ONX 5"}, "0.12", false, 0, ""},
		{"no number decides a mark", pin, catalogue.Selection{EngineNumber: "ON 5000"}, "29.98", true, 1, ""},
		{"mark", pin, catalogue.Selection{Marks: []catalogue.Mark{u1}}, "29.73", false, 0, ""},
		{"mark beats the number", pin, catalogue.Selection{EngineNumber: "ON 1000", Marks: []catalogue.Mark{u1}}, "29.73", false, 0, ""},
		{"mark without values of its own", pin, catalogue.Selection{Marks: []catalogue.Mark{std}}, "29.98", false, 0, ""},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			sel, notes := r.Narrow(f, row.sel)
			got := row.entry.Resolve(sel)
			if l := got.Spec.Band.Lower.String(); l != row.lower || got.Undecided != row.undecided || len(got.Alternatives) != row.others {
				t.Errorf("lower %s undecided %v alternatives %d", l, got.Undecided, len(got.Alternatives))
			}
			code := ""
			if len(notes) > 0 {
				code = notes[0].Code
			}
			if code != row.note || len(notes) > 1 {
				t.Errorf("notes %v", notes)
			}
		})
	}
}

func TestASharedNumberDecidesWhatItsVariantsShare(t *testing.T) {
	t.Parallel()
	r := revision(t)
	f, _ := r.Family("one")
	e := &catalogue.Entry{Base: dimension("one/shaft/x", mm("1", "2")), Overrides: []catalogue.Override{{Variant: "c", Spec: dimension("one/shaft/x", mm("3", "4"))}}}
	sel, _ := r.Narrow(f, catalogue.Selection{EngineNumber: "ONX 5"})
	if got := e.Resolve(sel); got.Undecided || got.Spec != e.Base {
		t.Errorf("%+v", got)
	}
}

func TestPartView(t *testing.T) {
	t.Parallel()
	r := revision(t)
	type view struct {
		Uses, Rungs, Specs, Torques int
		By, Successor, Thin, Thick  string
		Older                       []string
	}
	for sku, want := range map[string]view{
		"P-1":   {Uses: 1, Specs: 1, Torques: 1, By: "P-2", Successor: "P-3"},
		"P-2":   {Uses: 2, Torques: 1, By: "P-3", Successor: "P-3", Older: []string{"P-1"}},
		"P-3":   {Uses: 1, Older: []string{"P-0", "P-2"}},
		"S-100": {Rungs: 1, Specs: 1, Thick: "S-110"},
		"S-108": {Rungs: 1, Specs: 1, By: "S-110", Successor: "S-110", Thin: "S-100", Thick: "S-110"},
		"S-110": {Rungs: 1, Specs: 1, Thin: "S-100", Thick: "S-120", Older: []string{"S-108"}},
		"S-120": {Rungs: 1, Specs: 1, Thin: "S-110"},
	} {
		v, ok := r.PartView(sku)
		if !ok {
			t.Fatal(sku)
		}
		got := view{len(v.Uses), len(v.Rungs), len(v.Specs), len(v.Torques), v.SupersededBy, v.Successor, "", "", v.Supersedes}
		for _, u := range v.Rungs {
			if u.Thinner != nil {
				got.Thin = u.Thinner.SKU
			}
			if u.Thicker != nil {
				got.Thick = u.Thicker.SKU
			}
		}
		if d := cmp.Diff(want, got); d != "" {
			t.Error(sku, d)
		}
	}
	if v, ok := r.PartView("P-0"); !ok || v.Successor != "P-3" || len(v.Uses) != 0 {
		t.Errorf("a SKU that is only named as replaced: %+v", v)
	}
	if _, ok := r.PartView("P-X"); ok {
		t.Error("nothing names it")
	}
	if near, _ := r.NearestSKU("S-101"); near != "S-100" {
		t.Error(near)
	}
}

func TestSuccessionThatComesBackEnds(t *testing.T) {
	t.Parallel()
	parts := []*catalogue.Part{{SKU: "A", SupersededBy: "B"}, {SKU: "B", SupersededBy: "A"}}
	r, err := catalogue.New("r", "", []*catalogue.Family{{Key: "f", Components: []*catalogue.Component{{Key: "c", Parts: parts}}}}, catalogue.Defaults{})
	if err != nil {
		t.Fatal(err)
	}
	if v, _ := r.PartView("A"); v.Successor != "B" {
		t.Error(v.Successor)
	}
}
