package torque_test

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"endfloat/service/quantity"
	"endfloat/service/torque"
)

// VDI 2230 Part 1 tables, to the last printed digit or one unit of it.
func TestPublishedTighteningTables(t *testing.T) {
	t.Parallel()
	check := func(t *testing.T, p published) map[string]float64 {
		th := threadOf(t, p.text("thread"))
		c := classOf(t, p.text("class"), th)
		face, err := torque.FaceOf(th, torque.Hexagon)
		if err != nil {
			t.Fatal(err)
		}
		if th.Pitch != p.num(t, "P_mm") || c.Yield != p.num(t, "Rp02_MPa") || face != (torque.Face{Outer: p.num(t, "dw_mm"), Hole: p.num(t, "dh_mm")}) {
			t.Errorf("%s: %+v %+v %+v are not what the table was made with: %v", p.ID, th, c, face, p.Inputs)
		}
		e := torque.Joint{Thread: th, Class: c, Face: face, Utilisation: p.num(t, "utilisation"),
			Friction: torque.Friction{Thread: p.num(t, "mu_G"), Head: p.num(t, "mu_K")}}.Estimate()
		return map[string]float64{"F_M_kN": e.ClampForce / 1000, "M_A_Nm": e.Torque}
	}
	every(t, "vdi2230_table_a1", 212, check)
	every(t, "vdi2230_fine", 64, check)
}

// Older tables count the outermost fibre in torsion: model Elastic at 90 % of the yield.
func TestPublishedOlderTables(t *testing.T) {
	t.Parallel()
	every(t, "torque_table_old_edition", 12, func(t *testing.T, p published) map[string]float64 {
		th := threadOf(t, p.text("thread"))
		mu := p.num(t, "mu")
		e := torque.Joint{Thread: th, Class: classOf(t, p.text("class"), th), Utilisation: 0.9, Model: torque.Elastic,
			Face: torque.Face{Outer: p.num(t, "dw_mm"), Hole: p.num(t, "dh_mm")}, Friction: torque.Friction{Thread: mu, Head: mu}}.Estimate()
		return map[string]float64{"M_A_Nm": e.Torque}
	})
}

func TestPublishedThreads(t *testing.T) {
	t.Parallel()
	every(t, "thread_geometry", 52, func(t *testing.T, p published) map[string]float64 {
		th := threadOf(t, p.text("thread"))
		g := th.Geometry()
		if g.Diameter != p.num(t, "d_mm") || g.Pitch != p.num(t, "P_mm") {
			t.Errorf("%s: %+v", p.ID, g)
		}
		return map[string]float64{"d2_mm": g.D2, "D1_mm": g.D1, "d3_mm": g.D3, "As_mm2": g.StressArea}
	})
	every(t, "stress_area_iso898", 5, func(t *testing.T, p published) map[string]float64 {
		return map[string]float64{"As_mm2": threadOf(t, p.text("thread")).Geometry().StressArea}
	})
	every(t, "thread_geometry_inch", 20, func(t *testing.T, p published) map[string]float64 {
		th := threadOf(t, p.text("thread"))
		g := th.Geometry()
		if math.Abs(g.Diameter/25.4-p.num(t, "d_in")) > 1e-12 || math.Abs(25.4/g.Pitch-p.num(t, "tpi")) > 1e-9 {
			t.Errorf("%s: %+v", p.ID, g)
		}
		return map[string]float64{"At_in2": g.StressArea / 645.16, "Ar_in2": g.RootArea / 645.16}
	})
	every(t, "bearing_geometry", 40, func(t *testing.T, p published) map[string]float64 {
		head := torque.Hexagon
		if strings.HasPrefix(p.text("head"), "socket") {
			head = torque.Socket
		}
		f, err := torque.FaceOf(threadOf(t, p.text("thread")), head)
		if err != nil {
			t.Fatal(err)
		}
		return map[string]float64{"dw_min_mm": f.Outer, "dh_medium_mm": f.Hole, "DKm_mm": f.Mean()}
	})
}

func TestPublishedClasses(t *testing.T) {
	t.Parallel()
	every(t, "property_class", 30, func(t *testing.T, p published) map[string]float64 {
		size := map[string]string{"all": "M10", "d<=16": "M16", "d>16": "M18"}[p.text("size_range")]
		c := classOf(t, p.text("class"), threadOf(t, size))
		return map[string]float64{"Rm_min_MPa": c.Tensile, "Re_or_Rp02_or_Rpf_min_MPa": c.Yield, "proof_stress_MPa": c.Proof}
	})
	load := func(t *testing.T, p published) torque.Estimate {
		th := threadOf(t, p.text("thread"))
		return torque.Joint{Thread: th, Class: classOf(t, p.text("class")+p.text("grade"), th), Utilisation: 0.9}.Estimate()
	}
	every(t, "proof_load_iso898", 22, func(t *testing.T, p published) map[string]float64 {
		return map[string]float64{"proof_load_N": load(t, p).ProofLoad}
	})
	every(t, "ultimate_load_iso898", 4, func(t *testing.T, p published) map[string]float64 {
		return map[string]float64{"Fm_min_N": load(t, p).Ultimate}
	})
	const lbf = 4.4482216152605
	every(t, "proof_load_sae_j429", 18, func(t *testing.T, p published) map[string]float64 {
		e := load(t, p)
		return map[string]float64{"proof_load_lbf": e.ProofLoad / lbf, "tensile_load_lbf": e.Ultimate / lbf}
	})
}

// Shigley, Mechanical Engineering Design, and a table of T = K · F · d.
func TestPublishedNutFactors(t *testing.T) {
	t.Parallel()
	const lbf, lbfIn, lbfFt = 4.4482216152605, 0.1129848290276167, 1.3558179483314004
	conditions := map[string]string{"nonplated, black finish": "black", "lubricated": "lubricated", "cadmium-plated": "cadmium_plated", "zinc-plated": "zinc_plated"}
	every(t, "torque_nut_factor", 23, func(t *testing.T, p published) map[string]float64 {
		got := map[string]float64{}
		in := p.Inputs
		switch {
		case in["condition"] != nil:
			k, ok := torque.NutFactorOf(conditions[p.text("condition")])
			if !ok {
				t.Errorf("%s: no factor", p.ID)
			}
			got["K"] = k
		case in["kb"] != nil:
			force, kb, km, at := p.num(t, "Fi_lbf"), p.num(t, "kb"), p.num(t, "km"), p.num(t, "At_in2")
			share := torque.InSeries(kb, km) / km // of an outside load, that the bolt bears: C = k_b / (k_b + k_m)
			got["C"] = share
			got["sigma_i_kpsi"] = force / at / 1000
			got["sigma_b_kpsi"] = (share*p.num(t, "P_lbf") + force) / at / 1000
		case in["grade"] != nil:
			th := threadOf(t, p.text("thread"))
			e := torque.Joint{Thread: th, Class: classOf(t, p.text("grade"), th), Utilisation: p.num(t, "preload_fraction"),
				Model: torque.NutFactor, K: p.num(t, "K")}.Estimate()
			got["clamp_lbf"], got["T_lbf_ft"] = e.ClampForce/lbf, e.Torque/lbfFt
		case in["K"] != nil:
			j := torque.Joint{Thread: threadOf(t, p.text("thread")), Model: torque.NutFactor, K: p.num(t, "K")}
			got["T_lbf_in"] = p.num(t, "Fi_lbf") * lbf * j.Arm() / 1000 / lbfIn
		default:
			th := threadOf(t, p.text("thread"))
			// The book lets the face act at 1.25 d.
			j := torque.Joint{Thread: th, Friction: torque.Friction{Thread: p.num(t, "f"), Head: p.num(t, "fc")}}
			j.Face.Outer = 2 * p.num(t, "dc_over_d") * th.Diameter // with no hole: the mean is then 1.25 d
			g := th.Geometry()
			got["T_lbf_in"] = p.num(t, "Fi_lbf") * lbf * j.Arm() / 1000 / lbfIn
			got["lead_angle_deg"] = g.LeadAngle() * 180 / math.Pi
		}
		return got
	})
}

// ISO 6789-1:2017, partly from memory.
func TestPublishedToolClasses(t *testing.T) {
	t.Parallel()
	every(t, "torque_tool_mpe", 8, func(t *testing.T, p published) map[string]float64 {
		got := map[string]float64{}
		for key, maximum := range map[string]int64{"max_dev_pct_Tmax_le_10Nm": 10, "max_dev_pct_Tmax_gt_10Nm": 11} {
			for class := range strings.SplitSeq(p.text("classes"), ", ") {
				limit, ok := torque.ToolLimit(p.text("type"), class, quantity.Int(maximum))
				if before, seen := got[key]; !ok || seen && before != float64(limit) {
					t.Errorf("%s: class %s has %d", p.ID, class, limit)
				}
				got[key] = float64(limit)
			}
		}
		return got
	})
}

// NAVEDTRA 14315, TM 9-254 and its formula.
func TestPublishedAdapters(t *testing.T) {
	t.Parallel()
	every(t, "torque_adapter", 11, func(t *testing.T, p published) map[string]float64 {
		angle := quantity.Decimal{}
		if p.Inputs["angle_deg"] != nil {
			angle = number(t, p, "angle_deg")
		}
		f, ok := torque.Factor(millimetres(t, number(t, p, "L")), torque.Extension{Length: millimetres(t, number(t, p, "E")), Angle: angle})
		if !ok {
			t.Fatalf("%s: no factor", p.ID)
		}
		if p.Inputs["setting"] != nil {
			return map[string]float64{"T": number(t, p, "setting").Exact().Quo(f).Float64()}
		}
		return map[string]float64{"setting": number(t, p, "T").Exact().Mul(f).Float64()}
	})
}

func number(t *testing.T, p published, key string) quantity.Decimal {
	t.Helper()
	text, err := json.Marshal(p.num(t, key))
	if err != nil {
		t.Fatal(err)
	}
	d, err := quantity.Parse(string(text))
	if err != nil {
		t.Fatalf("%s: %v", p.ID, err)
	}
	return d
}

func millimetres(t *testing.T, d quantity.Decimal) quantity.Length {
	t.Helper()
	l, err := quantity.LengthOf(d, quantity.Millimetre)
	if err != nil {
		t.Fatal(err)
	}
	return l
}
