package shim_test

import (
	"fmt"
	"strings"
	"testing"

	"endfloat/service/judge"
	"endfloat/service/measure"
	"endfloat/service/quantity"
	"endfloat/service/shim"
	"endfloat/service/spec"
)

func dec(s string) quantity.Decimal { return quantity.MustParse(s) }

// play is a spec in mm; an empty word leaves a limit or the aim out.
func play(key, lower, upper, target string, policy spec.TargetPolicy) *spec.Spec {
	s := &spec.Spec{Key: spec.Key(key), Kind: spec.Dimension, Unit: quantity.Millimetre, Decimals: 2, TargetPolicy: policy}
	if lower != "" {
		s.Band.Lower, s.Band.HasLower = dec(lower), true
	}
	if upper != "" {
		s.Band.Upper, s.Band.HasUpper = dec(upper), true
	}
	if target != "" {
		s.Target, s.HasTarget = dec(target), true
	}
	return s
}

// read is what was measured: values apart by spaces, u empty for no uncertainty.
func read(s *spec.Spec, values, u string) shim.Measured {
	c := judge.Check{Spec: s, Unit: quantity.Millimetre}
	for v := range strings.FieldsSeq(values) {
		c.Readings = append(c.Readings, measure.Reading{Value: dec(v), HasValue: true})
	}
	if u != "" {
		c.Instrument.Standard = measure.Some(dec(u).Float64())
	}
	return shim.Measured{Check: c}
}

// ladder is rungs of the given sizes without tolerance.
func ladder(sizes ...string) []spec.Rung {
	var out []spec.Rung
	for _, s := range sizes {
		out = append(out, spec.Rung{Thickness: dec(s), SKU: "S-" + s})
	}
	return out
}

// steps is sizes from one to another, hundredths of a mm.
func steps(from, to, step int) []string {
	var out []string
	for v := from; v <= to; v += step {
		out = append(out, fmt.Sprintf("%d.%02d", v/100, v%100))
	}
	return out
}

// at is a place with a change per mm for each spec, as "key change".
func at(id string, most int, effects ...string) spec.Place {
	p := spec.Place{ID: id, MinPieces: 1, MaxPieces: most}
	for _, e := range effects {
		key, change, _ := strings.Cut(e, " ")
		p.PerMM = append(p.PerMM, spec.Effect{Spec: spec.Key(key), Change: dec(change)})
	}
	return p
}

func setOf(key string, rungs []spec.Rung, places ...spec.Place) *spec.ShimSet {
	return &spec.ShimSet{Key: spec.Key(key), Unit: quantity.Millimetre, Decimals: 2, Places: places, Ladder: rungs}
}

// fitted is measured pieces at a place.
func fitted(place string, pieces ...string) shim.Fitted {
	f := shim.Fitted{Place: place, Known: true}
	for _, t := range pieces {
		f.Pieces = append(f.Pieces, shim.Piece{Thickness: dec(t), Measured: true})
	}
	return f
}

func plan(t testing.TB, in shim.Request) *shim.Plan {
	t.Helper()
	if in.Unit == "" {
		in.Unit = quantity.Millimetre
	}
	out, err := shim.New(t.Context(), in)
	if err != nil {
		t.Fatal(err)
	}
	if !out.Proven {
		t.Fatal("not proven")
	}
	return out
}

// line is an option in one line: "left 1.20 | right 1.20 → 0.22".
func line(o shim.Option) string {
	var b strings.Builder
	for i, f := range o.Places {
		if i > 0 {
			b.WriteString(" | ")
		}
		b.WriteString(f.Place)
		for _, c := range f.Pieces {
			b.WriteString(" " + c.Thickness.String())
		}
	}
	b.WriteString(" →")
	for _, p := range o.Predicted {
		b.WriteString(" " + p.Value.Print(p.Spec.Decimals, 2).String())
	}
	return b.String()
}

func lines(list []shim.Option) []string {
	out := []string{}
	for _, o := range list {
		out = append(out, line(o))
	}
	return out
}
