package catalogue

import (
	"slices"
	"strings"

	"endfloat/service/spec"
)

// Codes of the cautions that follow from what a spec is, whether or not its data name them.
const (
	LeftHandThread = "left_hand_thread"
	DemoValues     = "demo_values"
	NotForBrakes   = "not_for_brake_steering_lifting"
	VerifyMaker    = "verify_with_maker"
	OneTimePart    = "one_time_part"
)

// CautionsOf lists the cautions that travel with a value: those of its data and those that follow from what it is,
// the most severe first, each once. Every value carries VerifyMaker.
func (d Defaults) CautionsOf(s *spec.Spec) []string {
	codes := make([]string, 0, len(s.Cautions)+4)
	codes = append(codes, s.Cautions...)
	if s.LeftHand() {
		codes = append(codes, LeftHandThread)
	}
	if f := s.Fastener; f != nil && f.Reuse == "one_time" {
		codes = append(codes, OneTimePart)
	}
	if s.ValueForm == spec.OutOfScope {
		codes = append(codes, NotForBrakes)
	}
	if s.Source != nil {
		switch s.Source.Class {
		case "demo":
			codes = append(codes, DemoValues)
		case "caller", "generic":
			codes = append(codes, NotForBrakes)
		}
	}
	return d.Ordered(append(codes, VerifyMaker))
}

// Ordered sorts codes by severity, then by code, and drops repeats. It may reuse the slice.
func (d Defaults) Ordered(codes []string) []string {
	slices.SortFunc(codes, func(a, b string) int {
		if c := d.Severity(a) - d.Severity(b); c != 0 {
			return c
		}
		return strings.Compare(a, b)
	})
	return slices.Compact(codes)
}

// leastSevere is the severity of a code that the data do not know.
const leastSevere = 9

// Severity is the place of a caution in the order: 1 is the most severe.
func (d Defaults) Severity(code string) int {
	for _, c := range d.Cautions {
		if c.Code == code {
			return c.Severity
		}
	}
	return leastSevere
}
