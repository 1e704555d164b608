package catalogue_test

import (
	"fmt"
	"slices"
	"testing"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"endfloat/service/catalogue"
	"endfloat/service/spec"
)

func ExampleFold() {
	fmt.Println(catalogue.Fold("Spätzündung, Größe, ŒIL, N·m"))
	// Output: spatzundung, grosse, oeil, n·m
}

// The oracle is Unicode's own decomposition, by the general-purpose library.
func TestFoldDropsTheAccentsThatUnicodeTakesApart(t *testing.T) {
	t.Parallel()
	checked := 0
	for r := rune(0xC0); r < 0x180; r++ {
		d := []rune(norm.NFD.String(string(r)))
		if len(d) < 2 || !unicode.Is(unicode.Mn, d[1]) {
			continue
		}
		checked++
		if got, want := catalogue.Fold(string(r)), string(unicode.ToLower(d[0])); got != want {
			t.Errorf("%c became %q, want %q", r, got, want)
		}
	}
	if checked < 100 {
		t.Errorf("only %d letters", checked)
	}
}

func shelf(t *testing.T) *catalogue.Revision {
	t.Helper()
	entry := func(key spec.Key, de string) *catalogue.Entry {
		return &catalogue.Entry{Base: &spec.Spec{Key: key, Kind: spec.Dimension, Name: spec.NewText([5]string{"Name of " + string(key), de})}}
	}
	rev, err := catalogue.New("r", "2026-11-01", []*catalogue.Family{
		{Key: "b-1", Name: spec.English("B-1"), Maker: "Ostrelvik", Components: []*catalogue.Component{
			{Key: "head", Specs: []*catalogue.Entry{entry("b-1/head/nuts", "Muttern"), entry("b-1/head/flatness", "Ebenheit")}}}},
		{Key: "a-1", Name: spec.English("A-1"), Aliases: []string{"Große Eins"}, Components: []*catalogue.Component{
			{Key: "shaft", Specs: []*catalogue.Entry{entry("a-1/shaft/play", "Axialspiel")}}}},
	}, catalogue.Defaults{})
	if err != nil {
		t.Fatal(err)
	}
	return rev
}

func TestFind(t *testing.T) {
	t.Parallel()
	rev := shelf(t)
	for _, row := range []struct {
		name, q  string
		specs    []spec.Key
		families []string
	}{
		{"nothing asked finds all", " ", []spec.Key{"a-1/shaft/play", "b-1/head/flatness", "b-1/head/nuts"}, []string{"a-1", "b-1"}},
		{"another language", "axialspiel", []spec.Key{"a-1/shaft/play"}, nil},
		{"part of a word", "spiel", []spec.Key{"a-1/shaft/play"}, nil},
		{"one letter changed", "axialspeel", []spec.Key{"a-1/shaft/play"}, nil},
		{"two neighbours exchanged", "ebenhiet", []spec.Key{"b-1/head/flatness"}, nil},
		{"one letter dropped", "flatnes", []spec.Key{"b-1/head/flatness"}, nil},
		{"no slip in four letters", "plya", nil, nil},
		{"two slips", "abenheid", nil, nil},
		{"every word fits", "ostrelvik nuts", []spec.Key{"b-1/head/nuts"}, nil},
		{"one word does not", "ostrelvik play", nil, nil},
		{"alias without its accents", "GROSSE eins", []spec.Key{"a-1/shaft/play"}, []string{"a-1"}},
		{"maker", "ostrelvik", []spec.Key{"b-1/head/flatness", "b-1/head/nuts"}, []string{"b-1"}},
		{"no text at all", "\xff\xfe", []spec.Key{"a-1/shaft/play", "b-1/head/flatness", "b-1/head/nuts"}, []string{"a-1", "b-1"}},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			hits := rev.FindSpecs(row.q)
			var got []spec.Key
			for i, k := range rev.SpecKeys() {
				if hits.Has(i) {
					got = append(got, k)
				}
			}
			var families []string
			for _, f := range rev.FindFamilies(row.q) {
				families = append(families, f.Key)
			}
			if !slices.Equal(got, row.specs) || !slices.Equal(families, row.families) {
				t.Errorf("%q and %q", got, families)
			}
		})
	}
}

func FuzzFind(f *testing.F) {
	for _, s := range []string{"", "axial", "\xff", "a/b,c", "ßẞÅ", "aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, q string) {
		rev := shelf(t)
		_ = rev.FindFamilies(q)
		hits := rev.FindSpecs(q)
		for i := range rev.SpecKeys() {
			_ = hits.Has(i)
		}
		if twice := catalogue.Fold(catalogue.Fold(q)); twice != catalogue.Fold(q) {
			t.Errorf("%q folds to %q and that to %q", q, catalogue.Fold(q), twice)
		}
	})
}

func TestACooledRevisionStillFinds(t *testing.T) {
	t.Parallel()
	rev := shelf(t)
	rev.Warm()
	cooled := rev.Cooled()
	if !cooled.FindSpecs("muttern").Has(2) || cooled.FindSpecs("muttern").Has(0) || cooled.Name != rev.Name {
		t.Error(rev.SpecKeys())
	}
}
