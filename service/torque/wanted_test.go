package torque_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"endfloat/service/quantity"
	"endfloat/service/spec"
	"endfloat/service/torque"
)

func nm(s spec.Spec) *spec.Spec {
	if s.Kind == "" {
		s.Kind = spec.Torque
	}
	s.Unit = quantity.NewtonMetre
	return &s
}

// Every form in which a torque is published; common practice, no source.
func TestPublishedForms(t *testing.T) {
	t.Parallel()
	band := quantity.Between(dec("45"), dec("60"))
	for _, row := range []struct {
		name   string
		s      *spec.Spec
		aim    string
		reason string
		advice []string
		look   func(torque.Wanted) bool
	}{
		{"a range aims at its middle", nm(spec.Spec{Band: quantity.Between(dec("28"), dec("33"))}), "30.5", "", nil, nil},
		{"a range with a target", nm(spec.Spec{Band: band, Target: dec("50"), HasTarget: true}), "50", "", nil, nil},
		{"at least", nm(spec.Spec{Band: quantity.AtLeast(dec("20"))}), "20", "", nil, nil},
		{"at most", nm(spec.Spec{Band: quantity.AtMost(dec("20"))}), "20", "", nil, nil},
		{"a single figure under a policy", nm(spec.Spec{ValueForm: spec.Single, Target: dec("28"), HasTarget: true, PolicyPercent: dec("5"), HasPolicy: true}), "28", "",
			nil, func(w torque.Wanted) bool {
				return w.HasPolicy && w.Band.Lower.Cmp(dec("26.6")) == 0 && w.Band.Upper.Cmp(dec("29.4")) == 0
			}},
		{"a single figure without one", nm(spec.Spec{ValueForm: spec.Single, Target: dec("28"), HasTarget: true}), "28", "", nil,
			func(w torque.Wanted) bool { return w.Band.Empty() && !w.HasPolicy }},
		{"a castle nut goes to the lower figure", nm(spec.Spec{Band: band, Fastener: &spec.Fastener{Slots: 6}}), "45", "", []string{"castle_lower_then_advance"},
			func(w torque.Wanted) bool { return w.Castle }},
		{"stages end at the last figure", nm(spec.Spec{ValueForm: spec.Stages, Stages: []spec.Stage{{Value: dec("8"), HasValue: true, Pattern: "crosswise"}, {Value: dec("22"), HasValue: true}},
			PolicyPercent: dec("10"), HasPolicy: true}), "22", "", []string{"in_stages"},
			func(w torque.Wanted) bool { return w.Stage == 2 && w.Band.Lower.Cmp(dec("19.8")) == 0 }},
		{"torque and angle sets the seating torque", nm(spec.Spec{ValueForm: spec.TorqueAngle, Target: dec("20"), HasTarget: true, TurnAngle: dec("90"), HasTurnAngle: true,
			Fastener: &spec.Fastener{Reuse: "one_time"}}), "20", "", []string{"turn_further", "new_fastener"}, func(w torque.Wanted) bool { return w.HasAngle }},
		{"an angle alone has no torque", nm(spec.Spec{ValueForm: spec.TorqueAngle, TurnAngle: dec("90"), HasTurnAngle: true}), "", torque.AngleAlone, []string{"turn_further"}, nil},
		{"left hand, thread lock, no room", nm(spec.Spec{Band: band, Fastener: &spec.Fastener{Hand: spec.Left, Condition: "thread_lock", Access: "no_wrench", Retorque: "never"}}), "52.5", "",
			[]string{"thread_lock_once", "no_access", "never_retorque"}, func(w torque.Wanted) bool { return w.LeftHand }},
		{"a taper nut", nm(spec.Spec{Band: band, Fastener: &spec.Fastener{Taper: true}}), "52.5", "", []string{"taper_clean_and_dry"}, nil},
		{"running torque extra", nm(spec.Spec{Band: band, Fastener: &spec.Fastener{Prevailing: "extra"}}), "52.5", "", []string{"running_extra"}, nil},
		{"running torque unstated", nm(spec.Spec{Band: band, Fastener: &spec.Fastener{Prevailing: "unstated", Into: "light_alloy"}}), "52.5", "", []string{"soft_means_stop"}, nil},
		{"not published", nm(spec.Spec{ValueForm: spec.NotPublished}), "", torque.NotPublished, nil, nil},
		{"out of scope gives no number even with a band", nm(spec.Spec{ValueForm: spec.OutOfScope, Band: band}), "", torque.OutOfScope, nil,
			func(w torque.Wanted) bool { return w.Band.Empty() }},
		{"a length is no torque", nm(spec.Spec{Kind: spec.Dimension, Band: band}), "", torque.NoTorque, nil, nil},
		{"a torque without any figure", nm(spec.Spec{}), "", torque.NotPublished, nil, nil},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			w, reason := torque.Of(row.s)
			if reason != row.reason || reason == "" && !w.Aim.Equal(dec(row.aim).Exact()) {
				t.Fatalf("%v, %q", w.Aim.Float64(), reason)
			}
			if diff := cmp.Diff(append([]string{}, row.advice...), codes(torque.Advice(row.s))); diff != "" {
				t.Error(diff)
			}
			if row.look != nil && !row.look(w) {
				t.Errorf("%+v", w)
			}
		})
	}
}

func TestStagesKeepTheirOrder(t *testing.T) {
	t.Parallel()
	s := nm(spec.Spec{ValueForm: spec.Stages, Band: quantity.Between(dec("38"), dec("42")), Fastener: &spec.Fastener{Pattern: "centre_outward"},
		Stages: []spec.Stage{{Value: dec("15"), HasValue: true}, {Value: dec("40"), HasValue: true, Pattern: "crosswise"}, {Angle: dec("90"), HasAngle: true}}})
	list := torque.Stages(s)
	if len(list) != 2 || list[0].Stage != 1 || list[0].Pattern != "centre_outward" || !list[0].Band.Empty() {
		t.Fatalf("%+v", list)
	}
	if last := list[1]; last.Stage != 2 || last.Pattern != "crosswise" || !last.HasAngle || last.Band.Lower.Cmp(dec("38")) != 0 || last.HasPolicy {
		t.Errorf("%+v", last)
	}
}

func TestDoubts(t *testing.T) {
	t.Parallel()
	band := quantity.Between(dec("1"), dec("2"))
	for _, row := range []struct {
		name    string
		w       torque.Wanted
		running bool
		want    []string
	}{
		{"a published band", torque.Wanted{Band: band}, false, []string{}},
		{"a band by policy", torque.Wanted{Band: band, HasPolicy: true}, false, []string{"tolerance_is_policy"}},
		{"no band", torque.Wanted{}, false, []string{"tolerance_unknown"}},
		{"silent about a running torque that was measured", torque.Wanted{Band: band}, true, []string{"prevailing_unstated"}},
		{"unstated", torque.Wanted{Band: band, Prevailing: torque.Unstated}, false, []string{"prevailing_unstated"}},
		{"included", torque.Wanted{Band: band, Prevailing: torque.Included}, true, []string{"running_not_added"}},
		{"extra", torque.Wanted{Band: band, Prevailing: torque.Extra}, true, []string{}},
	} {
		if diff := cmp.Diff(row.want, codes(row.w.Doubts(row.running))); diff != "" {
			t.Errorf("%s: %s", row.name, diff)
		}
	}
}
