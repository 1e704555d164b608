package torque_test

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"endfloat/service/spec"
	"endfloat/service/torque"
)

func m8(t testing.TB) torque.Joint {
	t.Helper()
	th, err := torque.ThreadOf("M8")
	if err != nil {
		t.Fatal(err)
	}
	c, err := torque.ClassOf("8.8", th)
	if err != nil {
		t.Fatal(err)
	}
	f, err := torque.FaceOf(th, torque.Hexagon)
	if err != nil {
		t.Fatal(err)
	}
	return torque.Joint{Thread: th, Class: c, Face: f, Friction: torque.Friction{Thread: 0.12, Head: 0.12}, Utilisation: 0.9}
}

func near(a, b, off float64) bool { return math.Abs(a-b) <= off }

func TestWhatIsNotInTheTables(t *testing.T) {
	t.Parallel()
	for name, code := range map[string]string{
		"": "unknown_thread", "M": "unknown_thread", "M2": "unknown_thread", "M25": "unknown_thread", "8": "no_such_pitch", "M8x": "no_such_pitch",
		"M8x1.3": "no_such_pitch", "M8x-1": "no_such_pitch", "M8x1e0": "no_such_pitch", "M15": "no_such_pitch", "3/8": "no_such_pitch", "3/8-17": "no_such_pitch",
		"3/8-16 UNF": "no_such_pitch", "G1/4": "unknown_thread", "2-4.5": "unknown_thread", "m8": "unknown_thread", "M08": "unknown_thread",
	} {
		_, err := torque.ThreadOf(name)
		var u *torque.Unknown
		if !errors.As(err, &u) || u.Code != code || code == "no_such_pitch" && len(u.Known) == 0 {
			t.Errorf("%q: %v, want %s", name, err, code)
		}
	}
	for _, row := range []struct{ class, thread, code string }{
		{"8", "M8", "class_not_for_thread"}, {"", "M8", "unknown_class"}, {"9.8", "M18", "class_not_for_size"}, {"8.8", "3/8-16", "class_not_for_thread"},
		{"5", "M8", "class_not_for_thread"}, {"A9-70", "M8", "unknown_class"}, {"A2-", "M8", "unknown_class"}, {"8.9", "M8", "unknown_class"},
	} {
		_, err := torque.ClassOf(row.class, threadOf(t, row.thread))
		var u *torque.Unknown
		if !errors.As(err, &u) || u.Code != row.code {
			t.Errorf("%s on %s: %v, want %s", row.class, row.thread, err, row.code)
		}
	}
	for _, row := range []struct {
		thread string
		head   torque.Head
	}{{"M9", torque.Hexagon}, {"M7", torque.Socket}, {"#10-24", torque.Hexagon}} {
		if f, err := torque.FaceOf(threadOf(t, row.thread), row.head); err == nil {
			t.Errorf("%s %s has the face %+v", row.thread, row.head, f)
		}
	}
}

func TestSpellingsOfThreads(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]string{"M8": "M8", "M8x1.25": "M8", "M8×1.25": "M8", "M8 x 1.25": "M8", "M8x1.0": "M8x1", "M10X1": "M10x1", "M15x1.5": "M15x1.5",
		"3/8-16": "3/8-16", "3/8-16 UNC": "3/8-16", "3/8-24UNF": "3/8-24", "3/8 UNF": "3/8-24", "#10-32": "10-32", "10-24": "10-24", "1 UNC": "1-8", " M8 ": "M8"} {
		th, err := torque.ThreadOf(text)
		if err != nil || th.Name != want || th.Left {
			t.Errorf("%q is %+v %v, want %s", text, th, err, want)
		}
	}
	if th, err := torque.ThreadOf("M8x1.25-LH"); err != nil || !th.Left || th.Name != "M8" {
		t.Errorf("%+v %v", th, err)
	}
}

// ISO 3506-1, from memory.
func TestStainless(t *testing.T) {
	t.Parallel()
	for name, want := range map[string][2]float64{"A1-50": {500, 210}, "A2-50": {500, 210}, "A2-70": {700, 450}, "A4-70": {700, 450}, "A4-80": {800, 600}, "A2-80": {800, 600}, "C3-80": {800, 640}, "F1-45": {450, 250}} {
		c := classOf(t, name, threadOf(t, "M10"))
		if c.Tensile != want[0] || c.Yield != want[1] || c.Standard != torque.ISO3506 {
			t.Errorf("%s: %+v", name, c)
		}
	}
	if c := classOf(t, "A2-70", threadOf(t, "1/4-20")); c.Yield != 450 {
		t.Errorf("stainless steel on an inch thread: %+v", c)
	}
}

// Steel bolts in light alloy of about 150 MPa shear strength want 1.5 to 2 diameters (common practice, no source).
func TestStripping(t *testing.T) {
	t.Parallel()
	j := m8(t)
	e := j.Estimate()
	s := j.Strip(torque.Engagement{Shear: 150, Length: 12}, e.ClampForce)
	if s.StripsFirst != torque.StripsInternal || s.FailsFirst != torque.BoltBreaks || s.NeededLength < 1.0*8 || s.NeededLength > 2*8 || s.ClampLength >= s.NeededLength {
		t.Errorf("%+v", s)
	}
	if s := j.Strip(torque.Engagement{Shear: 150, Length: 5}, e.ClampForce); s.FailsFirst != torque.StripsInternal {
		t.Errorf("5 mm of thread: %+v", s)
	}
	hard := j.Strip(torque.Engagement{Shear: 900, Length: 3}, e.ClampForce)
	if hard.StripsFirst != torque.StripsExternal || hard.FailsFirst != torque.StripsExternal {
		t.Errorf("a hard nut: %+v", hard)
	}
	if s := j.Strip(torque.Engagement{Shear: 150, Length: s.NeededLength}, e.ClampForce); s.FailsFirst != torque.BoltBreaks {
		t.Errorf("the needed length itself is enough: %+v", s)
	}
	if weak := j.Class.Tensile * e.Geometry.StressArea; !near(s.Bolt, 1.2*weak, 1e-6) {
		t.Errorf("the strongest bolt breaks at %v, the weakest at %v", s.Bolt, weak)
	}
	if !near(j.Thread.RunOut(), 1, 1e-12) {
		t.Error("0.8 of 1.25 is 1")
	}
}

// Shear areas of M8 by hand: 21.991 mm² a millimetre inside, 15.661 mm² outside; the strength ratio decides which thread
// is held to bend (E. M. Alexander, as in VDI 2230 Part 1, from memory).
func TestShearAreas(t *testing.T) {
	t.Parallel()
	j := m8(t)
	for _, row := range []struct{ shear, length, internal, external float64 }{
		{150, 12, 39583, 87657}, // ratio 0.405: the inner thread keeps its strength, the outer has 0.897 of it
		{400, 10, 78904, 74457},
		{700, 10, 138082, 81438},
	} {
		s := j.Strip(torque.Engagement{Shear: row.shear, Length: row.length}, 0)
		if !near(s.Internal, row.internal, 2e-4*row.internal) || !near(s.External, row.external, 2e-4*row.external) {
			t.Errorf("%v MPa: %v inside, %v outside", row.shear, s.Internal, s.External)
		}
	}
}

func TestScatterOfMethods(t *testing.T) {
	t.Parallel()
	if s, ok := torque.ScatterOf(torque.ByTested); !ok || s.Lower != 1.4 || !near(s.Least(16), 10, 1e-12) {
		t.Errorf("%+v", s)
	}
	for _, m := range torque.Methods() {
		if s, ok := torque.ScatterOf(m); !ok || s.Lower < 1 || s.Upper <= s.Lower {
			t.Errorf("%s: %+v", m, s)
		}
	}
	if _, ok := torque.ScatterOf("shouting"); ok {
		t.Error("a method that does not exist")
	}
}

func TestSlopeAndStiffness(t *testing.T) {
	t.Parallel()
	j := m8(t)
	// One pitch in a turn: 100 kN/mm over 1.25 mm and 360° are 347.2 N a degree.
	s := j.Slope(100_000)
	if !near(s.Clamp, 347.2222, 1e-3) || !near(s.Torque, s.Clamp*j.Arm()/1000, 1e-12) {
		t.Errorf("%+v", s)
	}
	if !near(torque.InSeries(200, 200), 100, 1e-12) {
		t.Error("two equal springs in series are half as stiff")
	}
}

func TestRefusals(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		f       spec.Fastener
		purpose string
		depth   bool
		want    string
	}{
		{spec.Fastener{}, "", false, ""}, {spec.Fastener{}, "general", false, ""}, {spec.Fastener{}, "stretch_bolt", false, torque.RefusedStretch},
		{spec.Fastener{}, "rod_bolt", false, torque.RefusedRod}, {spec.Fastener{}, "brake", false, torque.OutOfScope}, {spec.Fastener{}, "lifting", true, torque.OutOfScope},
		{spec.Fastener{Taper: true}, "", false, torque.RefusedTaper}, {spec.Fastener{Hand: spec.Left}, "", false, torque.RefusedLeftHand},
		{spec.Fastener{Reuse: "one_time"}, "", false, torque.RefusedStretch}, {spec.Fastener{Into: "light_alloy"}, "", false, torque.RefusedDepth},
		{spec.Fastener{Into: "light_alloy"}, "", true, ""},
	} {
		if got := torque.Refuse(row.f, row.purpose, row.depth); got != row.want {
			t.Errorf("%+v %s: %q, want %q", row.f, row.purpose, got, row.want)
		}
	}
}

func TestEstimateProperties(t *testing.T) {
	t.Parallel()
	sizes := []string{"M3", "M5", "M8", "M8x1", "M12x1.25", "M24", "1/4-20", "3/8-24", "1-8"}
	rapid.Check(t, func(t *rapid.T) {
		th, err := torque.ThreadOf(rapid.SampledFrom(sizes).Draw(t, "thread"))
		if err != nil {
			t.Fatal(err)
		}
		class := "10.9"
		if th.System == torque.Unified {
			class = "8"
		}
		c, err := torque.ClassOf(class, th)
		if err != nil {
			t.Fatal(err)
		}
		f, err := torque.FaceOf(th, torque.Hexagon)
		if err != nil {
			t.Fatal(err)
		}
		mu := rapid.Float64Range(0.04, 0.4).Draw(t, "mu")
		j := torque.Joint{Thread: th, Class: c, Face: f, Utilisation: rapid.Float64Range(0.1, 1).Draw(t, "use"), Friction: torque.Friction{Thread: mu, Head: mu}}
		e := j.Estimate()
		if e.Combined > c.Yield+1e-9 || e.Tension >= e.Combined || !near(e.ThreadPart+e.HeadPart+e.PitchPart, 1, 1e-12) || e.PitchPart <= 0 || e.ThreadPart <= 0 {
			t.Fatalf("%+v", e)
		}
		more := j
		more.Friction.Thread += 0.05
		if m := more.Estimate(); m.ClampForce >= e.ClampForce {
			t.Fatalf("more friction in the thread clamps harder: %v over %v", m.ClampForce, e.ClampForce)
		}
		old := j
		old.Model = torque.Elastic
		if o := old.Estimate(); o.ClampForce >= e.ClampForce {
			t.Fatal("the elastic model lies higher")
		}
		if back := more.EqualClamp(j.EqualClamp(e.Torque, more.Friction), j.Friction); !near(back, e.Torque, 1e-9*e.Torque) {
			t.Fatalf("there and back is %v of %v", back, e.Torque)
		}
		if k := torque.NutFactorOfJoint(j); !near(k*th.Diameter*e.ClampForce/1000, e.Torque, 1e-9*e.Torque) {
			t.Fatalf("K = %v", k)
		}
	})
}

func FuzzThreadOf(f *testing.F) {
	for _, s := range []string{"M8", "M8x1", "3/8-16 UNC", "#10-24", "M8x1.25 LH", "M8xM8", "--", "1/4 UNF", "×", "M15", "LH"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		th, err := torque.ThreadOf(s)
		if err != nil {
			return
		}
		if g := th.Geometry(); g.D3 <= 0 || g.Pitch <= 0 || th.Name == "" {
			t.Errorf("%q is %+v", s, th)
		}
		if again, err := torque.ThreadOf(th.Name); err != nil || again.Pitch != th.Pitch || again.Diameter != th.Diameter {
			t.Errorf("%q is named %q, which is %+v %v", s, th.Name, again, err)
		}
	})
}

func BenchmarkEstimate(b *testing.B) {
	j := m8(b)
	b.ReportAllocs()
	for b.Loop() {
		_ = j.Estimate()
	}
}

func BenchmarkThreadAndClass(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		th, _ := torque.ThreadOf("M12x1.25")
		_, _ = torque.ClassOf("10.9", th)
	}
}

func BenchmarkSetting(b *testing.B) {
	w, tool := wanted("30", "28", "32"), click()
	use := torque.Use{Extension: torque.Extension{Length: mm("50"), Angle: dec("45")}}
	b.ReportAllocs()
	for b.Loop() {
		_, _ = torque.Set(w, tool, use)
	}
}
