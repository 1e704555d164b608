package torque_test

import (
	"fmt"
	"testing"

	"endfloat/service/torque"
)

// Pitches of ISO 261 and ASME B1.1, from memory. Every size is a thread, has a positive root and keeps its name.
func TestEverySize(t *testing.T) {
	t.Parallel()
	coarse := map[string]float64{"M3": 0.5, "M3.5": 0.6, "M4": 0.7, "M4.5": 0.75, "M5": 0.8, "M6": 1, "M7": 1, "M8": 1.25, "M9": 1.25, "M10": 1.5, "M11": 1.5, "M12": 1.75, "M14": 2,
		"M16": 2, "M18": 2.5, "M20": 2.5, "M22": 2.5, "M24": 3, "M3x0.35": 0.35, "M5x0.5": 0.5, "M6x0.75": 0.75, "M8x1": 1, "M8x0.75": 0.75, "M10x1.25": 1.25, "M10x1": 1, "M12x1.5": 1.5,
		"M12x1.25": 1.25, "M12x1": 1, "M14x1.5": 1.5, "M14x1.25": 1.25, "M16x1.5": 1.5, "M18x2": 2, "M18x1.5": 1.5, "M20x2": 2, "M20x1.5": 1.5, "M22x2": 2, "M22x1.5": 1.5, "M24x2": 2, "M24x1.5": 1.5}
	for name, pitch := range coarse {
		th := threadOf(t, name)
		if g := th.Geometry(); th.Pitch != pitch || th.Name != name || !(g.D3 < g.D1 && g.D1 < g.D2 && g.D2 < g.Diameter) {
			t.Errorf("%s: %+v", name, th)
		}
	}
	for size, tpi := range map[string][2]int{"4": {40, 48}, "5": {40, 44}, "6": {32, 40}, "8": {32, 36}, "10": {24, 32}, "12": {24, 28}, "1/4": {20, 28}, "5/16": {18, 24}, "3/8": {16, 24},
		"7/16": {14, 20}, "1/2": {13, 20}, "9/16": {12, 18}, "5/8": {11, 18}, "3/4": {10, 16}, "7/8": {9, 14}, "1": {8, 12}} {
		for i, series := range []string{"UNC", "UNF"} {
			th := threadOf(t, fmt.Sprintf("%s-%d %s", size, tpi[i], series))
			if th.Coarse != (i == 0) || !near(25.4/th.Pitch, float64(tpi[i]), 1e-9) {
				t.Errorf("%s %s: %+v", size, series, th)
			}
			if _, err := torque.ThreadOf(size + " " + series); err != nil {
				t.Errorf("%s %s by its series: %v", size, series, err)
			}
		}
	}
}

// Every size that the head standards have, has its face, and every class estimates on it.
func TestEveryFaceAndClass(t *testing.T) {
	t.Parallel()
	count := 0
	for head, sizes := range map[torque.Head][]string{
		torque.Hexagon: {"M3", "M3.5", "M4", "M5", "M6", "M7", "M8", "M8x1", "M10", "M12", "M14", "M16", "M18", "M20", "M22", "M24", "1/4-20", "5/16-18", "3/8-16", "7/16-14", "1/2-13", "9/16-12", "5/8-11", "3/4-10", "7/8-9", "1-8"},
		torque.Socket:  {"M3", "M4", "M5", "M6", "M8", "M10", "M12", "M14", "M16", "M20", "M24", "#4-40", "#10-24", "1/4-28", "1-12"},
	} {
		for _, name := range sizes {
			th := threadOf(t, name)
			f, err := torque.FaceOf(th, head)
			if err != nil || f.Outer <= f.Hole || f.Hole <= th.Diameter || f.Outer > 2.1*th.Diameter {
				t.Errorf("%s %s: %+v %v", name, head, f, err)
			}
			for _, class := range torque.Classes(th.System) {
				c, err := torque.ClassOf(class, th)
				if err != nil {
					continue // not in this size
				}
				if c.Proof > c.Yield || c.Yield >= c.Tensile || c.Shear < 0.5 || c.Shear > 0.8 {
					t.Errorf("%s: %+v", class, c)
				}
				e := torque.Joint{Thread: th, Class: c, Face: f, Utilisation: 0.9, Friction: torque.Friction{Thread: 0.12, Head: 0.12}}.Estimate()
				if k := e.Torque * 1000 / (e.ClampForce * th.Diameter); k < 0.14 || k > 0.19 {
					t.Errorf("%s %s: K is %v at 0.12 all round", name, class, k)
				}
				count++
			}
		}
	}
	if count < 400 {
		t.Errorf("only %d joints", count)
	}
}
