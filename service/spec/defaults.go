package spec

import "endfloat/service/quantity"

// Instrument is what a kind of instrument is taken to be good for when the caller says nothing. It is catalogue data.
// Exactly one of Standard and Percent is present, or neither where no default is defensible.
type Instrument struct {
	Kind          string // feeler, dial, micrometer, bore_gauge, depth_micrometer, calliper, solder, crush_strip, click_wrench, by_feel, …
	Name          Text
	Unit          quantity.Unit
	Standard      quantity.Decimal // standard uncertainty in Unit
	HasStandard   bool
	Percent       quantity.Decimal // limit of error ±%, of the judged value; u = a/√3
	HasPercent    bool
	SmallMax      quantity.Decimal // a tool whose maximum is at most this …
	SmallPercent  quantity.Decimal // … has this limit of error instead
	HasSmall      bool
	Resolution    quantity.Decimal
	HasResolution bool
	Basis         string // where the figure is from; "common practice, no source" where it is
}

// JudgePolicy is a named strictness. The default one is catalogue data; a key may pin a stricter one.
type JudgePolicy struct {
	Name               string
	Rule               string // guarded, simple
	Guard              string // U, 1.65u
	MinProbability     float64
	HasMinProbability  bool
	RequireUncertainty bool
}

// Caution is a warning about harm, with its place in the order: 1 is the most severe.
type Caution struct {
	Code     string
	Severity int
}
