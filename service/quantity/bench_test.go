package quantity_test

import (
	"testing"

	"endfloat/service/quantity"
)

func BenchmarkParse(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		_, _ = quantity.Parse("52.065")
	}
}

func BenchmarkCmp(b *testing.B) {
	x, y := dec("0.1667").Exact(), quantity.Frac(1, 6)
	b.ReportAllocs()
	for b.Loop() {
		_ = x.Cmp(y)
	}
}

func BenchmarkMeanAndRound(b *testing.B) {
	x := dec("0.15").Exact()
	b.ReportAllocs()
	for b.Loop() {
		_, _ = x.Add(x).Add(x).DivInt(3).Round(4, quantity.HalfEven)
	}
}

func BenchmarkConvert(b *testing.B) {
	x := dec("28").Exact()
	b.ReportAllocs()
	for b.Loop() {
		_, _ = quantity.Convert(x, quantity.NewtonMetre, quantity.PoundForceFoot)
	}
}

func BenchmarkInward(b *testing.B) {
	r := between("0.08", "0.35")
	b.ReportAllocs()
	for b.Loop() {
		_, _, _ = quantity.Inward(r, 2, quantity.Millimetre, quantity.Inch)
	}
}

func BenchmarkAppend(b *testing.B) {
	d, buf := dec("0.0032"), make([]byte, 0, 32)
	b.ReportAllocs()
	for b.Loop() {
		_ = d.Append(buf)
	}
}
