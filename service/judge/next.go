package judge

import "endfloat/service/note"

// whatNext says what would settle an undecided check: a blade, a finer instrument, more places or repeats.
func (c *Check) whatNext(r *Result) {
	switch r.Because {
	case "missing":
		r.next("measure_it")
	case "blades_contradict":
		r.next("measure_with_blades_again")
	case "few_places":
		r.next("measure_more_places", note.Count("minimum", max(2, c.Spec.Points.Minimum)))
	case "below_gauge":
		r.next("try_thinner_blade")
	case "above_gauge":
		r.next("try_thicker_blade_or_dial")
	case "angle_missing":
		r.next("turn_and_record_angle")
	case "check_high":
		r.next("leave_as_it_is")
	case "condition":
		r.next("tighten_in_published_condition")
	case "implausible":
		r.next("check_unit_and_figure")
	case "one_place_out":
		c.placesOut(r)
	case "estimated":
		r.next("measure_with_instrument")
	case "no_uncertainty":
		r.next("name_the_instrument")
	case "not_published", "no_band", "out_of_scope":
		r.next("ask_the_maker")
	case "uncertainty":
		c.settle(r)
	}
}
