package torque_test

import (
	"strconv"
	"testing"

	"endfloat/service/quantity"
	"endfloat/service/spec"
	"endfloat/service/torque"
)

// VDI 2230 Part 1 (2003), Table A1, from memory: M8 8.8 takes 24.6 N·m for 18.6 kN at 0.12 and 29.8 N·m for 17.6 kN at
// 0.16, so that 30 N·m oiled clamp as hard as about 38.4 N·m
// dry, as far as the print allows.
func TestAnotherConditionIsInformationOnly(t *testing.T) {
	t.Parallel()
	of := func(change func(*spec.Spec)) *spec.Spec {
		s := nm(spec.Spec{Band: quantity.Between(dec("28"), dec("32")), Decimals: 0, Fastener: &spec.Fastener{Thread: "M8x1.25", Head: "hexagon", Condition: "oiled"}})
		change(s)
		return s
	}
	n, ok := torque.InCondition(of(func(*spec.Spec) {}), "dry")
	if f, err := strconv.ParseFloat(n.Get("torque"), 64); err != nil || !ok || !near(f, 38.4, 0.3) || n.Get("thread") != "0.16" {
		t.Errorf("%+v %v", n, ok)
	}
	for name, s := range map[string]*spec.Spec{
		"thread lock":     of(func(s *spec.Spec) { s.Fastener.Condition = "thread_lock" }),
		"left hand":       of(func(s *spec.Spec) { s.Fastener.Hand = spec.Left }),
		"taper":           of(func(s *spec.Spec) { s.Fastener.Taper = true }),
		"one time":        of(func(s *spec.Spec) { s.Fastener.Reuse = "one_time" }),
		"critical":        of(func(s *spec.Spec) { s.Critical = true }),
		"odd head":        of(func(s *spec.Spec) { s.Fastener.Head = "wing" }),
		"no thread":       of(func(s *spec.Spec) { s.Fastener.Thread = "" }),
		"no face":         of(func(s *spec.Spec) { s.Fastener.Thread = "M9" }),
		"no figure":       of(func(s *spec.Spec) { s.ValueForm = spec.NotPublished }),
		"out of scope":    of(func(s *spec.Spec) { s.ValueForm = spec.OutOfScope }),
		"nothing known":   of(func(s *spec.Spec) { s.Fastener = nil }),
		"unsaid before":   of(func(s *spec.Spec) { s.Fastener.Condition = "" }),
		"a word no table": of(func(s *spec.Spec) { s.Fastener.Condition = "greased" }),
	} {
		if n, ok := torque.InCondition(s, "dry"); ok {
			t.Errorf("%s: %+v", name, n)
		}
	}
}
