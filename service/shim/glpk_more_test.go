package shim_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"endfloat/service/measure"
	"endfloat/service/quantity"
	"endfloat/service/shim"
)

// filling is an option as the solver writes it.
func filling(o *shim.Option) string {
	var places []string
	for _, f := range o.Places {
		var list []string
		for _, c := range f.Pieces {
			list = append(list, fmt.Sprint(c.Thickness.Padded(2).Coef()))
		}
		places = append(places, "["+strings.Join(list, " ")+"]")
	}
	return "[" + strings.Join(places, " ") + "]"
}

// TestGLPKWithUncertainty holds the first three ranks among the options that meet the demand: classes of deviations and
// offsets are as wide as the uncertainty, and a spec meets the demand in a window of values.
func TestGLPKWithUncertainty(t *testing.T) {
	t.Parallel()
	problems := solvedProblems(t, "glpk_uncertain.jsonl")
	ranked := 0
	for _, p := range problems {
		in := p.request()
		in.MaxOptions = 50
		in.HasMin, in.MinProbability = true, p.Demand
		for i := range in.Measured {
			in.Measured[i].Check.Instrument = measure.Instrument{Standard: measure.Some(quantity.NewDecimal(p.U, 4).Float64())}
		}
		var want, have []string
		for _, r := range p.Ranks {
			want = append(want, fmt.Sprint(r))
		}
		got := plan(t, in)
		for i := range got.ToOrder {
			if o := &got.ToOrder[i]; o.Meets && len(have) < 3 {
				have = append(have, filling(o))
			}
		}
		if !slices.Equal(want, have) {
			t.Errorf("seed %d, %s, %s, u %d, demand %v:\nwant %v\n got %v", p.Seed, p.Shape, p.Objective, p.U, p.Demand, want, have)
		}
		ranked += len(want)
	}
	if len(problems) < 150 || ranked < 200 {
		t.Errorf("%d problems with %d ranks", len(problems), ranked)
	}
}

// BenchmarkGrowth plans problems that grow in places, sizes and pieces, and says by how much the solver that was timed on
// them is slower, where it proved them at all; its own time is that of the machine on which the data were written.
func BenchmarkGrowth(b *testing.B) {
	for _, p := range solvedProblems(b, "glpk_growth.jsonl") {
		b.Run(strings.ReplaceAll(p.Shape, " ", "_"), func(b *testing.B) {
			in := p.request()
			in.MaxOptions = 1
			nodes := 0
			start := time.Now()
			for b.Loop() {
				got, err := shim.New(b.Context(), in)
				if err != nil || !got.Proven || len(p.Ranks) > 0 && (len(got.ToOrder) == 0 || filling(&got.ToOrder[0]) != fmt.Sprint(p.Ranks[0])) {
					b.Fatal(err, got.Proven, lines(got.ToOrder), p.Ranks)
				}
				nodes = got.Used
			}
			b.ReportMetric(float64(nodes), "nodes/op")
			if own := float64(time.Since(start)) / float64(time.Millisecond) / float64(b.N); len(p.Ranks) > 0 {
				b.ReportMetric(p.SolverMS/own, "times-faster")
			}
		})
	}
}
