package sheet_test

import (
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"endfloat/service/catalogue"
	"endfloat/service/judge"
	"endfloat/service/sheet"
)

func TestWholeSheetPasses(t *testing.T) {
	t.Parallel()
	rev := revision(t)
	p := plan(rev, "b", sheet.Full)
	j := sheet.Judge(p, rev, good(p), today)
	if j.Verdict != judge.Pass || !j.Complete || len(j.Missing) > 0 || len(j.Contradictions) > 0 || len(j.Order) > 0 {
		t.Fatalf("%+v", j)
	}
	var states []string
	for _, g := range j.Gates {
		states = append(states, string(g.Gate)+" "+string(g.State))
	}
	if want := []string{"cases_close may_close", "first_start may_close"}; !slices.Equal(states, want) {
		t.Errorf("%q", states)
	}
	if c := j.Counts; c.Lines != 5 || c.Pass != 5 {
		t.Errorf("%+v", c)
	}
	if u := j.Gates[0].Unproven; len(u) != 1 || u[0].Because.Code != "gate_not_published" {
		t.Errorf("a value that was never published is not hidden: %+v", u)
	}
}

// The gate over the stack: what is out blocks anywhere, what is critical blocks unless it is proven, and an estimate
// stands only by a waiver with a witness who is somebody else.
func TestGates(t *testing.T) {
	t.Parallel()
	waiver := func(r *sheet.Record) {
		r.By, r.Witness, r.Waiver = "bench", "foreman", sheet.Waiver{Who: "foreman", Reason: "no room"}
	}
	for _, row := range []struct {
		name    string
		line    int
		key     string
		how     string
		value   string
		u       float64
		change  func(*sheet.Record)
		state   sheet.State
		verdict judge.Verdict
		because string
	}{
		{"critical, out", 0, "f/stack/play", "", "0.60", 0.010, nil, sheet.Blocked, judge.Fail, "gate_fail"},
		{"not critical, out", 2, "f/stack/face", "", "12.10", 0.004, nil, sheet.Blocked, judge.Fail, "gate_fail"},
		{"critical, in doubt", 0, "f/stack/play", "", "0.34", 0.010, nil, sheet.Blocked, judge.ConditionalPass, "gate_undecided"},
		{"not critical, in doubt", 2, "f/stack/face", "", "11.995", 0.004, nil, sheet.MayClose, judge.ConditionalPass, "gate_undecided"},
		{"not critical, out in doubt", 2, "f/stack/face", "", "12.002", 0.004, nil, sheet.Blocked, judge.ConditionalFail, "gate_conditional_fail"},
		{"estimated, no waiver", 1, "f/stack/bolt", "estimated", "24", 0, nil, sheet.Blocked, judge.ConditionalPass, "gate_waiver_missing"},
		{"estimated, waiver and witness", 1, "f/stack/bolt", "estimated", "24", 0, waiver, sheet.WithWaiver, judge.ConditionalPass, "gate_waived"},
		{"estimated, no reason", 1, "f/stack/bolt", "estimated", "24", 0, func(r *sheet.Record) { waiver(r); r.Waiver.Reason = "" }, sheet.Blocked, judge.ConditionalPass, "gate_waiver_missing"},
		{"estimated, no witness", 1, "f/stack/bolt", "estimated", "24", 0, func(r *sheet.Record) { waiver(r); r.Witness = "" }, sheet.Blocked, judge.ConditionalPass, "gate_witness_missing"},
		{"estimated, its own witness", 1, "f/stack/bolt", "estimated", "24", 0, func(r *sheet.Record) { waiver(r); r.Witness = "bench" }, sheet.Blocked, judge.ConditionalPass, "gate_witness_is_builder"},
		{"estimated where no waiver is allowed", 0, "f/stack/play", "estimated", "0.2", 0, waiver, sheet.Blocked, judge.ConditionalPass, "gate_estimated"},
		{"estimated out, waived", 1, "f/stack/bolt", "estimated", "40", 0, waiver, sheet.Blocked, judge.ConditionalFail, "gate_conditional_fail"},
		{"cannot be accepted", 2, "f/stack/face", "", "11.97", 0.004, func(r *sheet.Record) { r.Bad = true }, sheet.Blocked, judge.NotJudged, "gate_problem"},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			rev := revision(t)
			p := plan(rev, "b", sheet.Full)
			recs := good(p)
			r := record(p, recs[row.line].Key, row.how, row.value, row.u)
			r.Renewed, r.At = recs[row.line].Renewed, recs[row.line].At
			if row.change != nil {
				row.change(&r)
			}
			recs[row.line] = r
			j := sheet.Judge(p, rev, recs, today)
			g := j.Gates[0]
			if g.State != row.state || j.Verdict != row.verdict {
				t.Fatalf("%s %s: %+v", g.State, j.Verdict, g)
			}
			var found []string
			for _, it := range slices.Concat(g.Blocked, g.Waived, g.Unproven) {
				if string(it.Key) == row.key {
					found = append(found, it.Because.Code)
				}
			}
			if !slices.Equal(found, []string{row.because}) {
				t.Errorf("%q, want %s", found, row.because)
			}
			last := j.Gates[len(j.Gates)-1]
			if (row.state == sheet.Blocked) != (last.State == sheet.Blocked) {
				t.Errorf("the first start is %s", last.State)
			}
			if row.state == sheet.WithWaiver && last.State != sheet.WithWaiver {
				t.Errorf("a waiver is forgotten: %s", last.State)
			}
		})
	}
}

func TestMissing(t *testing.T) {
	t.Parallel()
	rev := revision(t)
	p := plan(rev, "b", sheet.Full)
	recs := good(p)[:3]
	face := &recs[2]
	face.Found, face.Built = face.Built, sheet.Stage{}
	j := sheet.Judge(p, rev, recs, today)
	var got []string
	for _, m := range j.Missing {
		got = append(got, string(m.Line.Spec().Key)+" "+m.Because)
	}
	if diff := cmp.Diff([]string{"f/stack/face as_built_missing", "f/head/nuts no_line", "f/valve/inlet no_line"}, got); diff != "" {
		t.Error(diff)
	}
	if j.Complete || j.Verdict != judge.NotJudged || j.Counts.Lines != 5 || j.Counts.Missing != 3 {
		t.Errorf("%+v", j)
	}
	face.Reused = true // put back as it was found: one reading is enough
	if j := sheet.Judge(p, rev, recs, today); len(j.Missing) != 2 || j.Missing[0].Because != "no_line" {
		t.Errorf("%+v", j.Missing)
	}
	if j := sheet.Judge(p, rev, nil, today); j.Verdict != judge.NotJudged || j.Complete || len(j.Missing) != 5 {
		t.Errorf("an empty sheet: %+v", j)
	}
}

func TestOrder(t *testing.T) {
	t.Parallel()
	rev := revision(t)
	p := plan(rev, "a", sheet.Full)
	recs := good(p)
	recs[0].Renewed = nil
	bad := record(p, "f/stack/face", "", "12.10", 0.004)
	bad.Built.Result.Action = judge.Replace
	recs[2] = bad
	j := sheet.Judge(p, rev, recs, today)
	var got []string
	for _, o := range j.Order {
		got = append(got, o.SKU+" "+o.Because)
	}
	// The circlip by the number that replaced it; the bolt of the other variant not at all.
	if diff := cmp.Diff([]string{"C-2 always_renew", "G-1 replace"}, got); diff != "" {
		t.Error(diff)
	}
}

func TestScopes(t *testing.T) {
	t.Parallel()
	f := family()
	if got := sheet.Scopes(f); !slices.Equal(got, []string{"full", "gearbox", "top_end"}) {
		t.Errorf("%q", got)
	}
	for scope, lines := range map[string]int{"full": 6, "gearbox": 4, "top_end": 2, "valve": 1} {
		if p := sheet.Lay(f, catalogue.Selection{}, scope); len(p.Lines) != lines || !sheet.HasScope(f, scope) {
			t.Errorf("%s: %d lines", scope, len(p.Lines))
		}
	}
	if sheet.HasScope(f, "bottom_end") {
		t.Error("a scope that no component names")
	}
	p := sheet.Lay(f, catalogue.Selection{}, sheet.Full)
	for key, rooms := range map[string]int{"f/stack/play": 3, "f/stack/bolt": 1, "f/head/nuts": 4, "f/valve/inlet": 3} {
		for i := range p.Lines {
			if l := &p.Lines[i]; string(l.Spec().Key) == key && l.Readings() != rooms {
				t.Errorf("%s has room for %d readings", key, l.Readings())
			}
		}
	}
}

// Whatever the lines say: the verdicts sum to the lines, a pass has nothing but passes, the order of the records does not
// matter, and an estimate is never proven.
func TestNothingIsSummedUpAway(t *testing.T) {
	t.Parallel()
	rev := revision(t)
	p := plan(rev, "b", sheet.Full)
	rapid.Check(t, func(t *rapid.T) {
		var recs []sheet.Record
		for _, g := range good(p) {
			if rapid.IntRange(0, 4).Draw(t, "there") == 0 {
				continue
			}
			s := g.Line.Spec()
			how := rapid.SampledFrom([]string{"", "", "estimated"}).Draw(t, "how")
			value := rapid.SampledFrom([]string{"0.13", "0.21", "0.34", "11.97", "22", "24", "40"}).Draw(t, "value")
			g.Built = read(s, judge.AsBuilt, how, value, 0.01)
			g.Bad = rapid.IntRange(0, 9).Draw(t, "bad") == 0
			if rapid.Bool().Draw(t, "waiver") {
				g.Waiver, g.Witness = sheet.Waiver{Who: "x", Reason: "y"}, "z"
			}
			recs = append(recs, g)
		}
		j := sheet.Judge(p, rev, recs, today)
		c := j.Counts
		if c.Pass+c.ConditionalPass+c.ConditionalFail+c.Fail+c.NotJudged != c.Lines {
			t.Fatalf("%+v", c)
		}
		if j.Verdict == judge.Pass && (c.Pass != c.Lines || c.Estimated > 0 || !j.Complete) {
			t.Fatalf("a pass over %+v", c)
		}
		for _, g := range j.Gates {
			if g.State == sheet.MayClose && len(g.Waived) > 0 {
				t.Fatalf("a waiver is hidden: %+v", g)
			}
			for _, w := range g.Waived {
				if w.Record.Built.Result.Verdict == judge.Pass {
					t.Fatal("an estimate became a pass")
				}
			}
		}
		turned := slices.Clone(recs)
		slices.Reverse(turned)
		k := sheet.Judge(p, rev, turned, today)
		if k.Verdict != j.Verdict || k.Counts != j.Counts || k.Complete != j.Complete || len(k.Contradictions) != len(j.Contradictions) {
			t.Fatalf("%+v and %+v", j, k)
		}
		for i := range j.Gates {
			if j.Gates[i].State != k.Gates[i].State {
				t.Fatalf("%+v and %+v", j.Gates[i], k.Gates[i])
			}
		}
	})
}
