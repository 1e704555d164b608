package torque

import (
	"math"
	"strconv"
	"strings"
)

// System is a family of threads.
type System uint8

// The systems: ISO metric (ISO 261) and unified inch threads (ASME B1.1).
const (
	Metric System = iota
	Unified
)

// Thread is one size with its pitch, in millimetres. The zero value is no thread.
type Thread struct {
	Name     string // M8, M8x1, 3/8-16
	System   System
	Diameter float64
	Pitch    float64
	Coarse   bool
	Left     bool // written with LH
}

// Unknown is a thread, class or head that no table here has. Known lists what there is instead, where that is short.
type Unknown struct {
	Code  string // unknown_thread, no_such_pitch, unknown_class, class_not_for_thread, class_not_for_size, no_face
	Known []string
}

// Error is the code with what is known instead.
func (u *Unknown) Error() string {
	if len(u.Known) == 0 {
		return u.Code
	}
	return u.Code + ": " + strings.Join(u.Known, ", ")
}

// ThreadOf reads a designation: M8, M8x1.25, M8×1, 3/8-16, 3/8-16 UNC, 1/4 UNF, #10-32, each with LH behind it for a
// left-hand thread. Without a pitch a metric thread is coarse. Errors: *Unknown with unknown_thread or no_such_pitch.
func ThreadOf(name string) (Thread, error) {
	text := strings.TrimSpace(name)
	text, left := strings.CutSuffix(text, "LH")
	text = strings.TrimRight(text, " -")
	var t Thread
	var err error
	if size, ok := strings.CutPrefix(text, "M"); ok {
		t, err = metric(size)
	} else {
		t, err = unified(text)
	}
	t.Left = left
	return t, err
}

func metric(text string) (Thread, error) {
	size, pitch, fine := cutAny(text, "x", "×", "X")
	size, pitch = strings.TrimSpace(size), strings.TrimSpace(pitch)
	for _, row := range metricPitches {
		if row.size != size {
			continue
		}
		d, _ := strconv.ParseFloat(size, 64)
		if !fine {
			if row.coarse == "" {
				return Thread{}, &Unknown{"no_such_pitch", row.names()}
			}
			return thread("M"+size, Metric, d, row.coarse, true), nil
		}
		for _, p := range append([]string{row.coarse}, row.fine...) {
			if p != "" && sameNumber(p, pitch) {
				name := "M" + size
				if p != row.coarse {
					name += "x" + p
				}
				return thread(name, Metric, d, p, p == row.coarse), nil
			}
		}
		return Thread{}, &Unknown{"no_such_pitch", row.names()}
	}
	return Thread{}, &Unknown{Code: "unknown_thread"}
}

func (r metricRow) names() []string {
	var list []string
	if r.coarse != "" {
		list = append(list, "M"+r.size)
	}
	for _, p := range r.fine {
		list = append(list, "M"+r.size+"x"+p)
	}
	return list
}

func unified(text string) (Thread, error) {
	text, series := cutSeries(strings.TrimPrefix(text, "#"))
	size, count, named := strings.Cut(text, "-")
	for _, row := range unifiedSizes {
		if row.size != size {
			continue
		}
		coarse, fine := strconv.Itoa(row.coarse), strconv.Itoa(row.fine)
		switch {
		case !named && series == "UNC", named && count == coarse && series != "UNF":
			count = coarse
		case !named && series == "UNF", named && count == fine && series != "UNC":
			count = fine
		default:
			return Thread{}, &Unknown{"no_such_pitch", row.names()}
		}
		n, _ := strconv.ParseFloat(count, 64)
		return Thread{Name: size + "-" + count, System: Unified, Diameter: row.inches * inch, Pitch: inch / n, Coarse: count == coarse}, nil
	}
	return Thread{}, &Unknown{Code: "unknown_thread"}
}

func (r unifiedRow) names() []string {
	return []string{r.size + "-" + strconv.Itoa(r.coarse), r.size + "-" + strconv.Itoa(r.fine)}
}

// cutSeries takes UNC or UNF from the end.
func cutSeries(s string) (rest, series string) {
	for _, name := range []string{"UNC", "UNF"} {
		if r, ok := strings.CutSuffix(s, name); ok {
			return strings.TrimRight(r, " "), name
		}
	}
	return s, ""
}

func cutAny(s string, seps ...string) (before, after string, found bool) {
	for _, sep := range seps {
		if before, after, found = strings.Cut(s, sep); found {
			return before, after, true
		}
	}
	return s, "", false
}

// sameNumber compares two plain decimals: 1.50 is 1.5.
func sameNumber(a, b string) bool {
	if strings.Trim(b, "0123456789.") != "" || len(b) > 8 {
		return false
	}
	x, err1 := strconv.ParseFloat(a, 64)
	y, err2 := strconv.ParseFloat(b, 64)
	return err1 == nil && err2 == nil && x == y
}

const inch = 25.4

func thread(name string, s System, d float64, pitch string, coarse bool) Thread {
	p, _ := strconv.ParseFloat(pitch, 64)
	return Thread{Name: name, System: s, Diameter: d, Pitch: p, Coarse: coarse}
}

// Geometry is the size of a thread, in millimetres and square millimetres.
type Geometry struct {
	Diameter       float64 // d
	Pitch          float64 // P
	D2             float64 // pitch diameter
	D1             float64 // minor diameter of the nut thread
	D3             float64 // root diameter of the bolt thread
	StressDiameter float64 // d0 = (d2 + d3)/2
	StressArea     float64 // π/4 · d0²
	NominalArea    float64 // as ISO 898-1 prints it, with three digits: what its loads stand on
	RootArea       float64 // π/4 · d3²
}

// Geometry is the basic profile: d2 = d − 0.6495191 P, D1 = d − 1.0825318 P (ISO 724), d3 = d − 1.2268693 P (DIN 13-1).
// Unified threads use a root of d − 1.299038 P, on which their published stress areas stand (ASME B1.1); those are not rounded.
func (t Thread) Geometry() Geometry {
	d, p := t.Diameter, t.Pitch
	root := 1.2268693
	if t.System == Unified {
		root = 1.299038
	}
	g := Geometry{Diameter: d, Pitch: p, D2: d - 0.6495191*p, D1: d - 1.0825318*p, D3: d - root*p}
	g.StressDiameter = (g.D2 + g.D3) / 2
	g.StressArea = math.Pi / 4 * g.StressDiameter * g.StressDiameter
	g.RootArea = math.Pi / 4 * g.D3 * g.D3
	g.NominalArea = g.StressArea
	if t.System == Metric {
		g.NominalArea = threeDigits(g.StressArea)
	}
	return g
}

// threeDigits rounds a stress area of this range, from 5 to 1000 mm², to three significant digits.
func threeDigits(area float64) float64 {
	scale := 100.0
	switch {
	case area >= 100:
		scale = 1
	case area >= 10:
		scale = 10
	}
	return math.Round(area*scale) / scale
}

// LeadAngle is φ in radians: tan φ = P/(π d2).
func (g Geometry) LeadAngle() float64 { return math.Atan(g.Pitch / (math.Pi * g.D2)) }
