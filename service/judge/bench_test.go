package judge_test

import (
	"testing"

	"endfloat/service/judge"
	"endfloat/service/measure"
	"endfloat/service/quantity"
)

func BenchmarkThreePlaces(b *testing.B) {
	c := judge.Check{Spec: mm("0.08", "0.35"), Unit: quantity.Millimetre, Readings: values("0.15", "0.20", "0.15"), Instrument: u(0.01)}
	b.ReportAllocs()
	for b.Loop() {
		judge.Judge(c)
	}
}

func BenchmarkBlades(b *testing.B) {
	c := judge.Check{Spec: mm("0.10", "0.40"), Unit: quantity.Millimetre, Readings: []measure.Reading{blades("0.15", "drag", "0.20", "forced")}}
	b.ReportAllocs()
	for b.Loop() {
		judge.Judge(c)
	}
}
