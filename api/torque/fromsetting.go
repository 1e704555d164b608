package torque

import (
	"endfloat/api/wire"
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/torque"
)

func fromWanted(w torque.Wanted) Wanted {
	return Wanted{Value: wire.Dec(w.Aim.Print(w.Decimals, exactPlaces)), Band: wire.FromRange(w.Band, w.Decimals), Unit: string(w.Unit),
		Policy: wire.SpecPolicy{Percent: wire.DecIf(w.Policy, w.HasPolicy)}, Angle: wire.DecIf(w.Angle, w.HasAngle)}
}

func fromSet(s torque.Setting) Amount { return Amount{wire.Dec(s.Set), string(s.Unit)} }

func fromGives(s torque.Setting, w torque.Wanted, use torque.Use) Gives {
	shown := func(x quantity.Exact) wire.Decimal { return wire.Dec(x.Print(0, exactPlaces)) }
	g := Gives{Value: shown(s.Gives), Unit: string(w.Unit)}
	if use.HasRunning {
		g.Total, g.Net, g.Running = shown(s.Total), shown(s.Gives), shown(use.Running)
	}
	if s.HasError {
		g.Band = wire.Band{Lower: shown(s.Lower), Upper: shown(s.Upper)}
	}
	return g
}

// fromRatio is half the band over the tool's error, to two decimals.
func fromRatio(s torque.Setting) wire.Decimal {
	if !s.HasRatio {
		return wire.Decimal{}
	}
	return wire.Dec(s.Ratio.Print(0, 2))
}

func fromGuard(s torque.Setting, u quantity.Unit) Guard {
	if s.Guard.Empty() {
		return Guard{}
	}
	return Guard{Lower: wire.Dec(s.Guard.Lower), Upper: wire.Dec(s.Guard.Upper), Unit: string(u)}
}

func (q *asked) accuracyOf(i int) Accuracy {
	if !q.tools[i].Rated {
		return Accuracy{}
	}
	return Accuracy{Percent: wire.Dec(q.tools[i].Accuracy.Print(0, 9)), Source: q.sources[i]}
}

// method says by which rule the setting was found.
func (x *answering) method(tool torque.Wrench, use torque.Use) string {
	inMM := func(name string, l quantity.Length) note.Param {
		return note.Qty(name, l.In(quantity.Millimetre).Print(0, 6), quantity.Millimetre)
	}
	var parts []string
	if e := use.Extension; e.Length.Grid() > 0 {
		parts = append(parts, x.say("word_method_extension", inMM("lever", tool.Lever), inMM("extension", e.Length), note.Qty("angle", e.Angle, quantity.Degree)))
	} else {
		parts = append(parts, x.say("word_method_plain"))
	}
	if use.HasRunning {
		parts = append(parts, x.say("word_method_running", note.Qty("running", use.Running.Print(0, exactPlaces), x.q.wanted.Unit)))
	}
	if tool.Step.Sign() > 0 {
		parts = append(parts, x.say("word_method_steps", note.Qty("step", tool.Step, tool.Unit)))
	}
	return x.h.book.Joined(x.lang, parts...)
}
