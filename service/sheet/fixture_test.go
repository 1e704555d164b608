package sheet_test

import (
	"testing"

	"endfloat/service/catalogue"
	"endfloat/service/judge"
	"endfloat/service/measure"
	"endfloat/service/quantity"
	"endfloat/service/sheet"
	"endfloat/service/spec"
)

const today = "2026-11-25"

func dec(s string) quantity.Decimal { return quantity.MustParse(s) }

// family is an engine with a shimmed stack, a bolt that can only be estimated, a head and a valve that comes after it.
func family() *catalogue.Family {
	play := &spec.Spec{Key: "f/stack/play", Kind: spec.Dimension, Unit: quantity.Millimetre, Decimals: 2, Name: spec.English("Play"),
		Band: quantity.Between(dec("0.08"), dec("0.35")), Target: dec("0.08"), HasTarget: true, WearLimit: quantity.Range{Upper: dec("0.50"), HasUpper: true},
		AdjustedBy: "f/stack/shims", Critical: true, Points: spec.Points{Minimum: 3}}
	bolt := &spec.Spec{Key: "f/stack/bolt", Kind: spec.Torque, Unit: quantity.NewtonMetre, Band: quantity.Between(dec("22"), dec("26")), Critical: true, Waiver: true,
		Fastener: &spec.Fastener{Hand: spec.Left, Condition: "thread_lock", Count: 1, Retorque: "never"}}
	face := &spec.Spec{Key: "f/stack/face", Kind: spec.Dimension, Unit: quantity.Millimetre, Decimals: 2, Band: quantity.Between(dec("11.95"), dec("12.00"))}
	screw := &spec.Spec{Key: "f/stack/screw", Kind: spec.Torque, Unit: quantity.NewtonMetre, ValueForm: spec.NotPublished}
	nuts := &spec.Spec{Key: "f/head/nuts", Kind: spec.Torque, Unit: quantity.NewtonMetre, Band: quantity.Between(dec("20"), dec("24")), Critical: true,
		Fastener: &spec.Fastener{Count: 4}}
	valve := &spec.Spec{Key: "f/valve/inlet", Kind: spec.Dimension, Unit: quantity.Millimetre, Decimals: 2, Band: quantity.Between(dec("0.10"), dec("0.16")),
		After: []spec.Key{"f/head/nuts"}}
	set := &spec.ShimSet{Key: "f/stack/shims", Unit: quantity.Millimetre, Decimals: 2,
		Places: []spec.Place{{ID: "left", MaxPieces: 3, PerMM: []spec.Effect{{Spec: play.Key, Change: dec("-1")}}}, {ID: "right", MaxPieces: 3, PerMM: []spec.Effect{{Spec: play.Key, Change: dec("-1")}}}},
		Ladder: []spec.Rung{{Thickness: dec("1.00"), SKU: "S-100", Tolerance: quantity.Between(dec("-0.02"), dec("0"))}, {Thickness: dec("1.20"), SKU: "S-120", Tolerance: quantity.Between(dec("-0.02"), dec("0"))}}}
	entry := func(s *spec.Spec) *catalogue.Entry { return &catalogue.Entry{Base: s} }
	return &catalogue.Family{Key: "f", Variants: []catalogue.Variant{{ID: "a"}, {ID: "b"}}, Components: []*catalogue.Component{
		{Key: "stack", Gate: catalogue.CasesClose, Scopes: []string{"gearbox"}, Specs: []*catalogue.Entry{entry(play), entry(bolt), entry(face), entry(screw)},
			Shims: []*catalogue.ShimEntry{{Base: set}},
			Parts: []*catalogue.Part{{SKU: "C-1", Renew: true, Quantity: 2, Specs: []spec.Key{play.Key}, SupersededBy: "C-2"}, {SKU: "G-1", Quantity: 1, Specs: []spec.Key{face.Key}},
				{SKU: "B-1", Renew: true, Variants: []string{"b"}, Specs: []spec.Key{bolt.Key}}}},
		{Key: "head", Scopes: []string{"top_end"}, Specs: []*catalogue.Entry{entry(nuts)}},
		{Key: "valve", Scopes: []string{"top_end"}, Specs: []*catalogue.Entry{entry(valve)}},
	}}
}

func revision(t testing.TB) *catalogue.Revision {
	t.Helper()
	rev, err := catalogue.New("r-test", "2026-11-01", []*catalogue.Family{family()}, catalogue.Defaults{})
	if err != nil {
		t.Fatal(err)
	}
	return rev
}

func plan(rev *catalogue.Revision, variant, scope string) *sheet.Plan {
	f, _ := rev.Family("f")
	return sheet.Lay(f, catalogue.Selection{Variant: variant}, scope)
}

// read is a stage with one value, measured with a standard uncertainty.
func read(s *spec.Spec, stage, how, value string, u float64) sheet.Stage {
	c := judge.Check{Spec: s, Unit: s.Unit, Stage: stage, How: how, Readings: []measure.Reading{{Value: dec(value), HasValue: true}}}
	if u > 0 {
		c.Instrument.Standard = measure.Some(u)
	}
	r := judge.Judge(c)
	return sheet.Stage{Has: true, Check: &c, Result: &r}
}

// record is a line as built with one value; change may say more about it.
func record(p *sheet.Plan, key spec.Key, how, value string, u float64, change ...func(*sheet.Record)) sheet.Record {
	l, _ := p.Line(key)
	r := sheet.Record{ID: string(key), Key: key, Line: l, Built: read(l.Spec(), judge.AsBuilt, how, value, u)}
	for _, f := range change {
		f(&r)
	}
	return r
}

// good is a sheet whose every line is proven and consistent.
func good(p *sheet.Plan) []sheet.Record {
	at := func(day string) func(*sheet.Record) {
		return func(r *sheet.Record) { r.At, _ = sheet.ParseWhen(day) }
	}
	renewed := func(sku ...string) func(*sheet.Record) { return func(r *sheet.Record) { r.Renewed = sku } }
	return []sheet.Record{
		record(p, "f/stack/play", "", "0.21", 0.010, renewed("C-2"), at("2026-11-20")),
		record(p, "f/stack/bolt", "", "24", 0.1, renewed("B-1"), at("2026-11-20")),
		record(p, "f/stack/face", "", "11.97", 0.004, at("2026-11-20")),
		record(p, "f/head/nuts", "", "22", 0.1, at("2026-11-21")),
		record(p, "f/valve/inlet", "", "0.13", 0.005, at("2026-11-22")),
	}
}

func codes(j sheet.Judged) []string {
	var out []string
	for _, c := range j.Contradictions {
		out = append(out, c.Note.Code)
	}
	return out
}
