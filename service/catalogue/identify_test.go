package catalogue_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"endfloat/service/catalogue"
)

func ids(list []catalogue.Candidate) []string {
	var out []string
	for _, c := range list {
		out = append(out, c.Family.Key+"/"+c.Variant.ID+" "+c.Why.Code)
	}
	return out
}

// The rules are common practice, no source: longest prefix first, gaps mean unknown, look-alikes are only offered.
func TestIdentify(t *testing.T) {
	t.Parallel()
	r := revision(t)
	for _, row := range []struct {
		name, number string
		outcome      catalogue.Outcome
		why          string
		candidates   []string
	}{
		{"first of a run", "ON1000", "match", "serial_in_range", []string{"one/a serial_in_range"}},
		{"last of a run", "ON4999", "match", "serial_in_range", []string{"one/a serial_in_range"}},
		{"first of the next run", "ON5000", "match", "serial_in_range", []string{"one/b serial_in_range"}},
		{"as people write it", " on-5.000 ", "match", "serial_in_range", []string{"one/b serial_in_range"}},
		{"leading zeros do not count", "TB 0000500", "match", "serial_in_range", []string{"two/x serial_in_range"}},
		{"open end", "ON 99999999", "match", "serial_in_range", []string{"one/c serial_in_range"}},
		{"a prefix that two runs share", "ONX 17", "ambiguous", "several_variants", []string{"one/a serial_in_range", "one/b serial_in_range"}},
		{"gap", "ON 9500", "not_covered", "serial_in_gap", nil},
		{"one before the first", "ON 999", "not_covered", "serial_before_first", nil},
		{"one after the last", "TB 501", "not_covered", "serial_after_last", nil},
		{"serial 0 of an open run from 1", "ONX 0", "not_covered", "serial_before_first", nil},
		{"prefix alone", "ON", "none", "serial_missing", nil},
		{"unknown prefix", "ZZ 12", "none", "prefix_unknown", nil},
		{"digits alone", "12345", "none", "prefix_unknown", nil},
		{"zero for the letter O", "0N 1000", "none", "prefix_unknown", []string{"one/a look_alike"}},
		{"letter O for zero", "ON 1O00", "none", "serial_unreadable", []string{"one/a look_alike"}},
		{"eight for B", "T8 17", "none", "prefix_unknown", []string{"two/x look_alike"}},
		{"look-alike of a shared prefix", "0NX 17", "none", "prefix_unknown", []string{"one/a look_alike", "one/b look_alike"}},
		{"nothing", "", "none", "number_empty", nil},
		{"only separators", " -. ", "none", "number_empty", nil},
		{"too long", strings.Repeat("1", 65), "none", "number_too_long", nil},
		{"more digits than a serial has", "ON" + strings.Repeat("1", 19), "none", "serial_unreadable", nil},
		{"a letter behind the serial number", "ON-1000-A", "none", "serial_unreadable", nil},
		{"no UTF-8", "ON\xff1000", "none", "serial_unreadable", nil},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			id := r.Identify(row.number)
			if id.Outcome != row.outcome || len(id.Why) != 1 || id.Why[0].Code != row.why || id.Raw != row.number {
				t.Errorf("%s because %v, want %s because %s", id.Outcome, id.Why, row.outcome, row.why)
			}
			if d := cmp.Diff(row.candidates, ids(id.Candidates)); d != "" {
				t.Error(d)
			}
		})
	}
}

func TestLongestPrefixGoesFirst(t *testing.T) {
	t.Parallel()
	f := &catalogue.Family{Key: "f", Variants: []catalogue.Variant{
		{ID: "short", Ranges: []catalogue.SerialRange{{"A", 1, 0}}}, {ID: "long", Ranges: []catalogue.SerialRange{{"A1", 1, 50}}}}}
	r, err := catalogue.New("r", "", []*catalogue.Family{f}, catalogue.Defaults{})
	if err != nil {
		t.Fatal(err)
	}
	if id := r.Identify("A117"); id.Outcome != catalogue.Match || id.Candidates[0].Variant.ID != "long" || id.Serial != 17 {
		t.Errorf("%s %v %d", id.Outcome, ids(id.Candidates), id.Serial)
	}
	if id := r.Identify("A199"); id.Outcome != catalogue.NotCovered || id.Prefix != "A1" {
		t.Errorf("a number past the longer prefix went to the shorter one: %s %s", id.Outcome, id.Prefix)
	}
	if id := r.Identify("A9"); id.Outcome != catalogue.Match || id.Candidates[0].Variant.ID != "short" {
		t.Errorf("%s %v", id.Outcome, ids(id.Candidates))
	}
}

func TestIdentifyAgreesWithTheRuns(t *testing.T) {
	t.Parallel()
	r := revision(t)
	rapid.Check(t, func(t *rapid.T) {
		serial := rapid.Uint64Range(0, 20000).Draw(t, "serial")
		separators := rapid.StringMatching(`[ .-]{0,3}`).Draw(t, "separators")
		id := r.Identify(fmt.Sprintf("on%s%0*d", separators, rapid.IntRange(1, 9).Draw(t, "width"), serial))
		want := catalogue.NotCovered
		if serial >= 1000 && serial <= 8999 || serial >= 10000 {
			want = catalogue.Match
		}
		if id.Outcome != want || id.Serial != serial {
			t.Fatalf("%s %d", id.Outcome, id.Serial)
		}
	})
}

func FuzzIdentify(f *testing.F) {
	for _, s := range []string{"ON 1000", "0N1000", "ONX1", "", "T8-1", "ＯＮ1000", "ON\xff", "ON18446744073709551616"} {
		f.Add(s)
	}
	r := revision(f)
	f.Fuzz(func(t *testing.T, s string) {
		id := r.Identify(s)
		if (id.Outcome == catalogue.Match) != (len(id.Candidates) == 1 && id.Candidates[0].Why.Code == "serial_in_range") {
			t.Errorf("%q: %s with %v", s, id.Outcome, ids(id.Candidates))
		}
		if len(id.Why) != 1 {
			t.Errorf("%q: %v", s, id.Why)
		}
	})
}

func ExampleRevision_Identify() {
	r, _ := catalogue.New("r-1", "2026-11-01", []*catalogue.Family{{Key: "pl-85", Variants: []catalogue.Variant{
		{ID: "a", Ranges: []catalogue.SerialRange{{Prefix: "PLC", From: 1, To: 7000}}}}}}, catalogue.Defaults{})
	for _, number := range []string{"plc-0042", "PLC 7001", "PIC 42"} {
		id := r.Identify(number)
		fmt.Println(id.Outcome, id.Why[0].Code, len(id.Candidates))
	}
	// Output:
	// match serial_in_range 1
	// not_covered serial_after_last 0
	// none prefix_unknown 1
}
