package torque

import "strings"

// Class is the strength of a bolt, in MPa.
type Class struct {
	Name     string
	Standard string  // with its edition
	Tensile  float64 // Rm, least
	Yield    float64 // Re, Rp0.2 or Rpf, least: what utilisation is a share of
	Proof    float64 // stress under proof load; for stainless steel the yield, since none is given
	Shear    float64 // shear strength of the bolt thread as a share of Tensile
}

// Standards of the classes.
const (
	ISO898  = "ISO 898-1:2013"
	ISO3506 = "ISO 3506-1"
	SAEJ429 = "SAE J429"
)

// psi is one pound-force a square inch in MPa.
const psi = 0.006894757293168362

type classRow struct {
	name                         string
	over, upTo                   float64 // diameters in mm, (over, upTo]; 0: no bound
	tensile, yield, proof, shear float64
}

// isoClasses are ISO 898-1:2013, Table 3; the shear shares are those of VDI 2230 Part 1, from memory.
var isoClasses = [...]classRow{
	{"4.6", 0, 0, 400, 240, 225, 0.70},
	{"4.8", 0, 0, 420, 340, 310, 0.70},
	{"5.6", 0, 0, 500, 300, 280, 0.70},
	{"5.8", 0, 0, 520, 420, 380, 0.70},
	{"6.8", 0, 0, 600, 480, 440, 0.70},
	{"8.8", 0, 16, 800, 640, 580, 0.65},
	{"8.8", 16, 0, 830, 660, 600, 0.65},
	{"9.8", 0, 16, 900, 720, 650, 0.65},
	{"10.9", 0, 0, 1040, 940, 830, 0.62},
	{"12.9", 0, 0, 1220, 1100, 970, 0.60},
}

// stainlessSteels are the classes of austenitic (A1 to A5), duplex, martensitic and ferritic steels by ISO 3506-1, from
// memory. The standard gives no stress under proof load for them: the 0.2 % strength stands in for it.
var stainlessSteels = [...]struct {
	grades                string
	class                 string
	tensile, yield, shear float64
}{
	{"A1 A2 A3 A4 A5", "50", 500, 210, 0.80},
	{"A1 A2 A3 A4 A5", "70", 700, 450, 0.72},
	{"A1 A2 A3 A4 A5", "80", 800, 600, 0.68},
	{"A4 A5", "100", 1000, 800, 0.68},
	{"D2 D4 D6 D8", "70", 700, 450, 0.72},
	{"D2 D4 D6 D8", "80", 800, 600, 0.68},
	{"D2 D4 D6 D8", "100", 1000, 800, 0.68},
	{"C1", "50", 500, 250, 0.70},
	{"C1", "70", 700, 410, 0.65},
	{"C1", "110", 1100, 820, 0.62},
	{"C3", "80", 800, 640, 0.65},
	{"C4", "50", 500, 250, 0.70},
	{"C4", "70", 700, 410, 0.65},
	{"F1", "45", 450, 250, 0.70},
	{"F1", "60", 600, 410, 0.65},
}

// saeGrades are SAE J429, in psi: proof, yield, tensile; from memory. Sizes in mm are those of 3/4 and 1 in.
var saeGrades = [...]classRow{
	{"1", 0, 0, 60000, 36000, 33000, 0.70},
	{"2", 0, 19.05, 74000, 57000, 55000, 0.70},
	{"2", 19.05, 0, 60000, 36000, 33000, 0.70},
	{"4", 0, 0, 115000, 100000, 65000, 0.65},
	{"5", 0, 25.4, 120000, 92000, 85000, 0.65},
	{"5.2", 0, 25.4, 120000, 92000, 85000, 0.65},
	{"7", 0, 0, 133000, 115000, 105000, 0.62},
	{"8", 0, 0, 150000, 130000, 120000, 0.62},
	{"8.2", 0, 25.4, 150000, 130000, 120000, 0.62},
}

// ClassOf is the class of a bolt with that thread: 8.8, A2-70, 5, SAE 5 or grade 5. Metric threads have ISO classes,
// unified ones SAE grades, and both may be of stainless steel. Errors: *Unknown with unknown_class,
// class_not_for_thread or class_not_for_size.
func ClassOf(name string, t Thread) (Class, error) {
	text := strings.TrimSpace(name)
	if c, ok := stainless(text); ok {
		return c, nil
	}
	grade := strings.TrimSpace(trimAny(text, "SAE J429", "SAE", "grade", "Grade"))
	iso, inISO := pick(isoClasses[:], text, t.Diameter)
	sae, inSAE := pick(saeGrades[:], strings.TrimSpace(trimAny(grade, "grade", "Grade")), t.Diameter)
	switch {
	case t.System == Metric && iso != nil:
		return Class{iso.name, ISO898, iso.tensile, iso.yield, iso.proof, iso.shear}, nil
	case t.System == Unified && sae != nil:
		return Class{"SAE " + sae.name, SAEJ429, sae.tensile * psi, sae.yield * psi, sae.proof * psi, sae.shear}, nil
	case t.System == Metric && inISO, t.System == Unified && inSAE:
		return Class{}, &Unknown{Code: "class_not_for_size"}
	case inISO || inSAE:
		return Class{}, &Unknown{Code: "class_not_for_thread", Known: Classes(t.System)}
	}
	return Class{}, &Unknown{Code: "unknown_class", Known: Classes(t.System)}
}

// pick finds the row for a size; named says that the class exists at least for other sizes.
func pick(rows []classRow, name string, diameter float64) (row *classRow, named bool) {
	for i, r := range rows {
		if r.name != name {
			continue
		}
		named = true
		if diameter > r.over && (r.upTo == 0 || diameter <= r.upTo) {
			return &rows[i], true
		}
	}
	return nil, named
}

func stainless(name string) (Class, bool) {
	grade, class, ok := strings.Cut(name, "-")
	if !ok || grade == "" {
		return Class{}, false
	}
	for _, r := range stainlessSteels {
		if r.class != class {
			continue
		}
		for g := range strings.FieldsSeq(r.grades) {
			if g == grade {
				return Class{name, ISO3506, r.tensile, r.yield, r.yield, r.shear}, true
			}
		}
	}
	return Class{}, false
}

func trimAny(s string, prefixes ...string) string {
	for _, p := range prefixes {
		if rest, ok := strings.CutPrefix(s, p); ok {
			return rest
		}
	}
	return s
}

// Classes lists the names of the classes of a system, in rising order, and the usual ones of stainless steel.
func Classes(s System) []string {
	rows := isoClasses[:]
	if s == Unified {
		rows = saeGrades[:]
	}
	var names []string
	for _, r := range rows {
		if len(names) == 0 || names[len(names)-1] != r.name {
			names = append(names, r.name)
		}
	}
	return append(names, "A2-50", "A2-70", "A4-70", "A4-80")
}
