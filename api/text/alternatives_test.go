package text_test

import (
	"strconv"
	"strings"
	"testing"

	"endfloat/api/text"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

func clearance(lower, upper string) text.Display {
	return text.New().Display("en", &spec.Spec{Kind: spec.Dimension, Unit: "mm", Decimals: 2, Band: quantity.Between(dec(lower), dec(upper)),
		WearLimit: quantity.AtMost(dec("0.60")), State: spec.English("cold"), Source: &spec.Source{Class: "demo"}})
}

func bolt(hand spec.Hand, lower, upper string) text.Display {
	return text.New().Display("en", &spec.Spec{Kind: spec.Torque, Unit: "N·m", Band: quantity.Between(dec(lower), dec(upper)), ValueForm: spec.Range,
		Fastener: &spec.Fastener{Hand: hand}, Source: &spec.Source{Class: "maker"}})
}

func TestVarying(t *testing.T) {
	t.Parallel()
	base := clearance("0.15", "0.40")
	other := clearance("0.20", "0.45")
	maker := other
	maker.Summary, maker.Source = strings.Replace(other.Summary, "DEMO", "maker's value", 1), "maker's value"
	many := make([]text.Other, 9)
	for i := range many {
		many[i] = text.Other{Variant: "v" + strconv.Itoa(i), Display: clearance("0.2"+strconv.Itoa(i), "0.45")}
	}
	for _, row := range []struct {
		name   string
		base   text.Display
		others []text.Other
		want   string
	}{
		{"nothing differs", base, nil, "0.15–0.40 mm; worn out past 0.60 mm; cold; DEMO"},
		{"what both have is said once", base, []text.Other{{Variant: "b", Display: other}},
			"0.15–0.40 mm; worn out past 0.60 mm; cold; DEMO; variant b: 0.20–0.45 mm; worn out past 0.60 mm"},
		{"another source is said", base, []text.Other{{Variant: "b", Display: maker}},
			"0.15–0.40 mm; worn out past 0.60 mm; cold; DEMO; variant b: 0.20–0.45 mm; worn out past 0.60 mm; cold; maker's value"},
		{"the same value has both names", base, []text.Other{{Variant: "b", Display: other}, {Mark: "crank:U1", Display: other}},
			"0.15–0.40 mm; worn out past 0.60 mm; cold; DEMO; variant b, marked crank:U1: 0.20–0.45 mm; worn out past 0.60 mm"},
		{"a left-hand thread goes before its value", bolt(spec.Right, "22", "26"), []text.Other{{Variant: "b", Display: bolt(spec.Left, "20", "24")}},
			"22–26 N·m; maker's value; variant b: LEFT-HAND THREAD (tightens anticlockwise, loosens clockwise): 20–24 N·m"},
		{"a right-hand one beside a left-hand one is said to be so", bolt(spec.Left, "22", "26"), []text.Other{{Variant: "b", Display: bolt(spec.Right, "20", "24")}},
			"LEFT-HAND THREAD (tightens anticlockwise, loosens clockwise): 22–26 N·m; maker's value; variant b: right-hand thread: 20–24 N·m"},
		{"six are named and the others counted", clearance("0.15", "0.40"), many, "0.15–0.40 mm; worn out past 0.60 mm; cold; DEMO; " +
			"variant v0: 0.20–0.45 mm; worn out past 0.60 mm; variant v1: 0.21–0.45 mm; worn out past 0.60 mm; variant v2: 0.22–0.45 mm; worn out past 0.60 mm; " +
			"variant v3: 0.23–0.45 mm; worn out past 0.60 mm; variant v4: 0.24–0.45 mm; worn out past 0.60 mm; variant v5: 0.25–0.45 mm; worn out past 0.60 mm; " +
			"and 3 more: name the variant or the mark"},
	} {
		if got := text.New().Varying("en", row.base, row.others); got != row.want {
			t.Errorf("%s:\n%s\nwant\n%s", row.name, got, row.want)
		}
	}
	if got := text.New().Instead("fr", base, []text.Other{{Variant: "b", Display: other}}); !strings.HasPrefix(got, "variante b\u00a0: 0.20–0.45 mm") {
		t.Errorf("%q", got)
	}
}

// French has a space before ; : ! and ? that breaks no line, in sentences and where lines are joined.
func TestFrenchMarksKeepTheirSpace(t *testing.T) {
	t.Parallel()
	book := text.New()
	texts := map[string]string{"a line": book.Display("fr", play()).Summary, "a bolt": book.Display("fr", keyBolt()).Summary}
	for _, code := range book.Codes() {
		texts[code], _ = book.Template("fr", code)
	}
	for name, s := range texts {
		for _, mark := range []string{" ;", " :", " !", " ?", "« ", " »"} {
			if strings.Contains(s, mark) {
				t.Errorf("%s may break before a mark: %q", name, s)
			}
		}
		for rest := s; ; {
			before, after, found := strings.Cut(rest, "; ")
			if !found {
				break
			}
			if !strings.HasSuffix(before, "\u202f") {
				t.Errorf("%s has no space before a semicolon: %q", name, s)
			}
			rest = after
		}
	}
	if got := book.Display("fr", play()).Summary; !strings.HasPrefix(got, "0.08–0.35 mm, viser 0.08 mm, pas en dessous\u202f; usé au-delà de 0.50 mm\u202f; ") {
		t.Errorf("%q", got)
	}
	if got := book.Display("fr", keyBolt()).Summary; !strings.Contains(got, "horaire)\u00a0: 22–26 N·m") {
		t.Errorf("%q", got)
	}
}
