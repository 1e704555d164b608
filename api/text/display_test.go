package text_test

import (
	"strings"
	"testing"

	"endfloat/api/text"
	"endfloat/service/quantity"
	"endfloat/service/spec"
	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
)

func dec(s string) quantity.Decimal { return quantity.MustParse(s) }

func play() *spec.Spec {
	return &spec.Spec{Kind: spec.Dimension, Unit: "mm", Decimals: 2, Band: quantity.Between(dec("0.08"), dec("0.35")),
		Target: dec("0.08"), HasTarget: true, TargetPolicy: spec.NotBelow, WearLimit: quantity.AtMost(dec("0.50")),
		State: spec.English("cold, dry"), Source: &spec.Source{Class: "demo"}}
}

func keyBolt() *spec.Spec {
	return &spec.Spec{Kind: spec.Torque, Unit: "N·m", Band: quantity.Between(dec("22"), dec("26")), Target: dec("24"), HasTarget: true,
		ValueForm: spec.Range, Source: &spec.Source{Class: "demo"},
		Fastener: &spec.Fastener{Thread: "M8x1.25", PropertyClass: "10.9", Hand: spec.Left, Condition: "thread_lock", Access: "no_wrench", Retorque: "never"}}
}

func TestDisplay(t *testing.T) {
	t.Parallel()
	torque := func(change func(*spec.Spec)) *spec.Spec {
		s := &spec.Spec{Kind: spec.Torque, Unit: "N·m", Source: &spec.Source{Class: "maker"}, Fastener: &spec.Fastener{Thread: "M6x1", Count: 4}}
		change(s)
		return s
	}
	for _, row := range []struct {
		name string
		s    *spec.Spec
		want text.Display
	}{
		{"aim on the lower limit, trailing zeros kept", play(), text.Display{
			Summary: "0.08–0.35 mm, aim 0.08 mm, not below; worn out past 0.50 mm; cold, dry; DEMO",
			Band:    "0.08–0.35 mm", Target: "0.08 mm, not below", WearLimit: "0.50 mm"}},
		{"left hand goes first", keyBolt(), text.Display{
			Summary: "LEFT-HAND THREAD (tightens anticlockwise, loosens clockwise): 22–26 N·m, aim 24 N·m; M8x1.25 10.9; thread lock; no room for a torque wrench; never re-torque; DEMO",
			Band:    "22–26 N·m", Target: "24 N·m"}},
		{"at most, shown with the digits of the spec", &spec.Spec{Kind: spec.Dimension, Unit: "mm", Decimals: 2, Band: quantity.AtMost(dec("0.1"))},
			text.Display{Summary: "at most 0.10 mm", Band: "at most 0.10 mm"}},
		{"wear alone, the lower side named", &spec.Spec{Kind: spec.Dimension, Unit: "mm", Decimals: 1, WearLimit: quantity.AtLeast(dec("2.8"))},
			text.Display{Summary: "worn out below 2.8 mm", WearLimit: "at least 2.8 mm"}},
		{"a fit below zero", &spec.Spec{Kind: spec.Dimension, Unit: "mm", Decimals: 3, Band: quantity.Between(dec("-0.021"), dec("0.002"))},
			text.Display{Summary: "-0.021 to 0.002 mm", Band: "-0.021 to 0.002 mm"}},
		{"angle", &spec.Spec{Kind: spec.Angle, Unit: "°", Decimals: 1, Band: quantity.Between(dec("17.5"), dec("18.5"))},
			text.Display{Summary: "17.5–18.5°", Band: "17.5–18.5°"}},
		{"category", &spec.Spec{Kind: spec.Category, Allowed: []string{"centred", "slight_toe"}},
			text.Display{Summary: "allowed: centred, slight toe", Band: "allowed: centred, slight toe"}},
		{"single with its policy in view", torque(func(s *spec.Spec) {
			s.ValueForm, s.Target, s.HasTarget, s.PolicyPercent, s.HasPolicy = spec.Single, dec("10"), true, dec("5"), true
		}), text.Display{Summary: "10 N·m, ±5 % by policy, no tolerance published; 4 × M6x1; maker's value",
			Band: "10 N·m, ±5 % by policy, no tolerance published", Target: "10 N·m"}},
		{"stages", torque(func(s *spec.Spec) {
			s.ValueForm, s.Band = spec.Stages, quantity.Between(dec("22"), dec("26"))
			s.Stages = []spec.Stage{{Value: dec("10"), HasValue: true, Pattern: "crosswise"}, {Value: dec("24"), HasValue: true, Pattern: "crosswise"}}
		}), text.Display{Summary: "10 N·m (crosswise) → 24 N·m; final 22–26 N·m; 4 × M6x1; maker's value",
			Band: "10 N·m (crosswise) → 24 N·m; final 22–26 N·m"}},
		{"torque and angle", torque(func(s *spec.Spec) {
			s.ValueForm, s.Target, s.HasTarget = spec.TorqueAngle, dec("15"), true
			s.TurnAngle, s.HasTurnAngle, s.AngleTolerance, s.HasAngleTolerance = dec("90"), true, dec("5"), true
			s.Fastener.Reuse = "one_time"
		}), text.Display{Summary: "15 N·m, then 90° ±5°; 4 × M6x1; one-time part: renew; maker's value", Band: "15 N·m, then 90° ±5°", Target: "15 N·m"}},
		{"prevailing castle nut", torque(func(s *spec.Spec) {
			s.Band = quantity.Between(dec("40"), dec("50"))
			s.Fastener = &spec.Fastener{Prevailing: "extra", Running: dec("2.1"), HasRunning: true, Slots: 6, Locking: "split_pin"}
		}), text.Display{Summary: "40–50 N·m; split pin; add the running torque of the nut; renew the nut under 2.1 N·m running torque; " +
			"castle nut: on to the next slot, never past the upper limit, never back; maker's value", Band: "40–50 N·m"}},
		{"not published", torque(func(s *spec.Spec) { s.ValueForm = spec.NotPublished }),
			text.Display{Summary: "not published; maker's value", Band: "not published"}},
		{"out of scope never shows a number", torque(func(s *spec.Spec) {
			s.ValueForm, s.Band, s.Target, s.HasTarget = spec.OutOfScope, quantity.Between(dec("40"), dec("50")), dec("45"), true
		}), text.Display{Summary: "out of scope: brake, steering and lifting fasteners are refused; maker's value",
			Band: "out of scope: brake, steering and lifting fasteners are refused"}},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			got := text.New().Display("en", row.s)
			if diff := cmp.Diff(row.want, got, limitsAndSummary); diff != "" {
				t.Error(diff)
			}
			for _, part := range []string{got.Hand, got.Details, got.Source} {
				if !strings.Contains(got.Summary, part) {
					t.Errorf("%q is no part of %q", part, got.Summary)
				}
			}
		})
	}
}

// limitsAndSummary looks at the strings that have no parts of their own test.
var limitsAndSummary = cmpopts.IgnoreFields(text.Display{}, "Hand", "Details", "Source")

func TestThePartsOfASummary(t *testing.T) {
	t.Parallel()
	book := text.New()
	c, _ := play().In("in")
	for _, row := range []struct {
		name                  string
		got                   text.Display
		hand, details, source string
	}{
		{"play", book.Display("en", play()), "", "cold, dry", "DEMO"},
		{"bolt", book.Display("en", keyBolt()), "LEFT-HAND THREAD (tightens anticlockwise, loosens clockwise)",
			"M8x1.25 10.9; thread lock; no room for a torque wrench; never re-torque", "DEMO"},
		{"converted", book.Converted("en", c, play()), "", "converted from 0.08–0.35 mm; cold, dry", "DEMO"},
		{"no value has no details", book.Display("en", &spec.Spec{ValueForm: spec.OutOfScope, State: spec.English("cold")}), "", "", ""},
	} {
		if row.got.Hand != row.hand || row.got.Details != row.details || row.got.Source != row.source {
			t.Errorf("%s: %+v", row.name, row.got)
		}
	}
}

func TestConvertedNamesThePublishedValue(t *testing.T) {
	t.Parallel()
	c, ok := play().In("in")
	if !ok {
		t.Fatal("not converted")
	}
	got := text.New().Converted("en", c, play())
	want := text.Display{Summary: "0.0032–0.0137 in, aim 0.0032 in, not below; worn out past 0.0196 in; converted from 0.08–0.35 mm; cold, dry; DEMO",
		Band: "0.0032–0.0137 in", Target: "0.0032 in, not below", WearLimit: "0.0196 in"}
	if diff := cmp.Diff(want, got, limitsAndSummary); diff != "" {
		t.Error(diff)
	}
}

func TestNoLanguageChangesTheNumbersOrTheOrder(t *testing.T) {
	t.Parallel()
	book := text.New()
	for _, lang := range spec.Languages {
		d := book.Display(lang, keyBolt())
		hand, value := strings.Index(d.Summary, book.Word(lang, "word_left_hand")), strings.Index(d.Summary, "22–26 N·m")
		if hand != 0 || value < 0 || !strings.Contains(d.Summary, "DEMO") {
			t.Errorf("%s: %s", lang, d.Summary)
		}
		if p := book.Display(lang, play()); p.Band != "0.08–0.35 mm" || p.WearLimit != "0.50 mm" || !strings.HasPrefix(p.Target, "0.08 mm, ") {
			t.Errorf("%s: %+v", lang, p)
		}
	}
}

func BenchmarkDisplay(b *testing.B) {
	book, s := text.New(), keyBolt()
	b.ReportAllocs()
	for b.Loop() {
		_ = book.Display("de", s)
	}
}
