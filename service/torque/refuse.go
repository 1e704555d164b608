package torque

import "endfloat/service/spec"

// Reasons why no generic figure is given.
const (
	RefusedStretch  = "refused_stretch_bolt"
	RefusedRod      = "refused_rod_bolt"
	RefusedTaper    = "refused_taper"
	RefusedLeftHand = "refused_left_hand"
	RefusedDepth    = "refused_unknown_depth"
)

// Purposes lists the words for what a fastener is for, the ordinary one first.
func Purposes() []string {
	return []string{"general", "stretch_bolt", "rod_bolt", "taper", "brake", "steering", "lifting", "restraint", "pressure_vessel"}
}

// Refuse says why a generic figure is not given for a fastener, or is empty. purpose is a word of Purposes or empty;
// depth says that the engaged length is known. A generic figure never stands in for a published one of a joint on which
// lives depend, of a bolt that is tightened past its yield, of a taper or of a left-hand special nut, and not for a
// thread in light alloy of unknown depth.
func Refuse(f spec.Fastener, purpose string, depth bool) string {
	switch purpose {
	case "", "general":
	case "stretch_bolt":
		return RefusedStretch
	case "rod_bolt":
		return RefusedRod
	case "taper":
		return RefusedTaper
	default:
		return OutOfScope
	}
	switch {
	case f.Taper:
		return RefusedTaper
	case f.Hand == spec.Left:
		return RefusedLeftHand
	case f.Reuse == "one_time":
		return RefusedStretch
	case f.Into == "light_alloy" && !depth:
		return RefusedDepth
	}
	return ""
}
