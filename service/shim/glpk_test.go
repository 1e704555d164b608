package shim_test

import (
	"bufio"
	"encoding/json"
	"fmt"
	"os"
	"slices"
	"testing"

	"endfloat/service/judge"
	"endfloat/service/measure"
	"endfloat/service/quantity"
	"endfloat/service/shim"
	"endfloat/service/spec"
)

// solved is a problem with its first ranks as GLPK proved them; integration/oracle/shimplans.py writes them. Lengths are
// hundredths of a millimetre, values of specs ten-thousandths.
type solved struct {
	Seed      int
	Shape     string
	Objective shim.Objective
	Specs     []struct {
		Key                    spec.Key
		Lower, Upper, Aim, Now int64
		Policy                 spec.TargetPolicy
	}
	Places []struct {
		Set, ID  string
		Min, Max int
		Change   map[spec.Key]int64
		Old      []int64
	}
	Ladder map[string][]int64
	Offset []struct {
		Set                       string
		First, Second, Now, Limit int64
	}
	OnHand   [][2]int64 `json:"on_hand"`
	Ranks    [][][]int64
	U        int64   // standard uncertainty of the readings, in ten-thousandths
	Demand   float64 // that the caller asks for
	SolverMS float64 `json:"solver_ms"`
}

func hundredth(n int64) quantity.Decimal { return quantity.NewDecimal(n, 2) }

func (p *solved) request() shim.Request {
	in := shim.Request{Unit: quantity.Millimetre, Objective: p.Objective, MaxOptions: 3}
	sets := map[string]*spec.ShimSet{}
	for _, pl := range p.Places {
		s := sets[pl.Set]
		if s == nil {
			s = &spec.ShimSet{Key: spec.Key(pl.Set), Unit: quantity.Millimetre, Decimals: 2}
			for _, t := range p.Ladder[pl.Set] {
				s.Ladder = append(s.Ladder, spec.Rung{Thickness: hundredth(t)})
			}
			sets[pl.Set] = s
		}
		place := spec.Place{ID: pl.ID, MinPieces: pl.Min, MaxPieces: pl.Max}
		for key, c := range pl.Change {
			place.PerMM = append(place.PerMM, spec.Effect{Spec: key, Change: hundredth(c)})
		}
		s.Places = append(s.Places, place)
		f := shim.Fitted{Set: s.Key, Place: pl.ID, Known: true}
		for _, t := range pl.Old {
			f.Pieces = append(f.Pieces, shim.Piece{Thickness: hundredth(t), Measured: true})
		}
		in.Fitted = append(in.Fitted, f)
	}
	for key, s := range sets {
		z := shim.Set{Shims: s}
		for _, o := range p.Offset {
			if o.Set != key {
				continue
			}
			s.Offset.Between = [2]string{p.Places[o.First].ID, p.Places[o.Second].ID}
			s.Offset.Limit, s.Offset.HasLimit = hundredth(max(0, o.Limit)), o.Limit >= 0
			z.OffsetNow = hundredth(o.Now)
		}
		in.Sets = append(in.Sets, z)
	}
	for _, z := range p.Specs {
		s := &spec.Spec{Key: z.Key, Kind: spec.Dimension, Unit: quantity.Millimetre, Decimals: 2, TargetPolicy: z.Policy, HasTarget: true,
			Plausible: quantity.Between(dec("-100"), dec("100")), Target: quantity.NewDecimal(z.Aim, 4), Band: quantity.Between(quantity.NewDecimal(z.Lower, 4), quantity.NewDecimal(z.Upper, 4))}
		in.Measured = append(in.Measured, shim.Measured{Check: judge.Check{Spec: s, Unit: quantity.Millimetre,
			Readings: []measure.Reading{{Value: quantity.NewDecimal(z.Now, 4), HasValue: true}}}})
	}
	for _, h := range p.OnHand {
		in.OnHand = append(in.OnHand, shim.Stock{Piece: shim.Piece{Thickness: hundredth(h[0]), Measured: true}, Count: int(h[1])})
	}
	return in
}

func solvedProblems(tb testing.TB, name string) []*solved {
	tb.Helper()
	f, err := os.Open("testdata/" + name)
	if err != nil {
		tb.Fatal(err)
	}
	defer f.Close()
	var out []*solved
	lines := bufio.NewScanner(f)
	for lines.Scan() {
		p := &solved{}
		if err := json.Unmarshal(lines.Bytes(), p); err != nil {
			tb.Fatal(err)
		}
		out = append(out, p)
	}
	return out
}

// TestGLPK holds the first three ranks of 500 problems of every shape against an integer-programming solver.
func TestGLPK(t *testing.T) {
	t.Parallel()
	problems := solvedProblems(t, "glpk.jsonl")
	seen := map[string]int{}
	for _, p := range problems {
		got := plan(t, p.request())
		var want, have []string
		for _, r := range p.Ranks {
			want = append(want, fmt.Sprint(r))
		}
		for _, o := range got.ToOrder {
			have = append(have, filling(&o))
		}
		if !slices.Equal(want, have) {
			t.Errorf("seed %d, %s, %s:\nwant %v\n got %v", p.Seed, p.Shape, p.Objective, want, have)
		}
		if len(want) > 0 {
			seen[p.Shape]++
		}
	}
	if len(problems) < 500 || len(seen) < 6 {
		t.Errorf("%d problems, with options %v", len(problems), seen)
	}
}

// BenchmarkGLPK plans what the solver can prove; its own time is printed by integration/oracle/shimplans.py --time.
func BenchmarkGLPK(b *testing.B) {
	var in []shim.Request
	for _, p := range solvedProblems(b, "glpk.jsonl") {
		in = append(in, p.request())
	}
	b.ReportAllocs()
	for n := 0; b.Loop(); n++ {
		if _, err := shim.New(b.Context(), in[n%len(in)]); err != nil {
			b.Fatal(err)
		}
	}
}
