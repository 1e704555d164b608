package sheet

import (
	"endfloat/service/judge"
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

func noteOf(code, name, value string) note.Note { return note.New(code, note.Str(name, value)) }

// contradict adds a contradiction; one that blocks holds the gate of its first line.
func (b *bench) contradict(c Contradiction) {
	if len(c.Lines) > 0 && c.Lines[0].Line != nil {
		c.gate = c.Lines[0].Line.Gate
	}
	b.out.Contradictions = append(b.out.Contradictions, c)
}

func (b *bench) about(code string, r *Record, params ...note.Param) {
	b.contradict(Contradiction{Note: note.New(code, params...), Lines: []*Record{r}, Keys: []spec.Key{r.Key}})
}

// contradictions looks at each line by itself in the order of the sheet, then at lines together.
func (b *bench) contradictions() {
	for i := range b.records {
		r := &b.records[i]
		if r.Line == nil || r.Bad || b.by[r.Key] != r {
			continue
		}
		b.closes(r)
		b.regrown(r)
		b.retorqued(r)
		b.prerequisites(r)
		b.calibrated(r)
		b.renewable(r)
	}
	b.notRenewed()
	b.dates()
	b.sameFigure()
	b.onTheAim()
}

// retorqued finds a bolt set in thread lock, or one that is never tightened again, that was: a check turns it on, and so
// does a second reading on the same bolt.
func (b *bench) retorqued(r *Record) {
	f := r.Line.Spec().Fastener
	if f == nil || f.Condition != "thread_lock" && f.Retorque != "never" || !r.Built.Has {
		return
	}
	again := r.Retorqued || r.Built.Check.How == "check" || f.Count > 0 && len(r.Built.Check.Readings) > f.Count
	for _, x := range r.Built.Check.Readings {
		again = again || x.How == "check"
	}
	if again {
		b.about("retorqued", r)
		b.out.Contradictions[len(b.out.Contradictions)-1].Blocks = true
	}
}

// prerequisites holds a line to what must be proven before it, by the dates where both have one.
func (b *bench) prerequisites(r *Record) {
	if !r.Built.Has {
		return
	}
	for _, k := range r.Line.Spec().After {
		first := b.by[k]
		if first == nil {
			if _, ours := b.plan.Line(k); ours {
				b.contradict(Contradiction{Note: noteOf("prerequisite_missing", "spec", string(k)), Lines: []*Record{r}, Keys: []spec.Key{r.Key, k}, Blocks: true})
			}
			continue
		}
		lines, keys := []*Record{r, first}, []spec.Key{r.Key, k}
		v, _ := first.verdict()
		switch {
		case r.At.Known() && first.At.Known() && r.At.Before(first.At):
			b.contradict(Contradiction{Note: noteOf("before_prerequisite", "spec", string(k)), Lines: lines, Keys: keys, Blocks: true})
		case v == judge.NotJudged || v == judge.Fail || v == judge.ConditionalFail:
			b.contradict(Contradiction{Note: noteOf("prerequisite_open", "spec", string(k)), Lines: lines, Keys: keys, Blocks: true})
		}
	}
}

// calibrated holds tools to the day of their use, or to that of the sheet where the line has none.
func (b *bench) calibrated(r *Record) {
	day := b.day
	if r.At.Known() {
		day = r.At.Date()
	}
	for i, t := range r.Tools {
		if t.Due == "" || t.Due >= day || i > 0 && t == r.Tools[i-1] {
			continue
		}
		b.about("calibration_past", r, note.Str("tool", t.ID), note.Str("due", t.Due), note.Str("day", day))
	}
}

// renewable finds part numbers that the catalogue does not know.
func (b *bench) renewable(r *Record) {
	for _, sku := range r.Renewed {
		if !b.rev.HasSKU(sku) {
			b.about("renewed_unknown", r, note.Str("sku", sku))
		}
	}
}

// dates finds lines that are dated before what is assembled earlier, and those that are dated after the sheet.
func (b *bench) dates() {
	var latest, pending *Record // latest of all earlier components; latest of this one
	order := 0
	for i := range b.plan.Lines {
		l := &b.plan.Lines[i]
		r := b.by[l.Spec().Key]
		if l.Order != order {
			order = l.Order
			if pending != nil && (latest == nil || latest.At.Before(pending.At)) {
				latest = pending
			}
			pending = nil
		}
		if r == nil || r.Bad || !r.At.Known() {
			continue
		}
		if r.At.Date() > b.day {
			b.about("date_in_future", r, note.Str("day", r.At.Date()))
		}
		if latest != nil && r.At.Before(latest.At) {
			b.contradict(Contradiction{Note: note.New("dates_out_of_order", note.Str("day", r.At.Date()), note.Str("earlier", string(latest.Key)), note.Str("earlier_day", latest.At.Date())),
				Lines: []*Record{r, latest}, Keys: []spec.Key{r.Key, latest.Key}})
		}
		if pending == nil || pending.At.Before(r.At) {
			pending = r
		}
	}
}

// fewestAlike is how many lines have to say the same before it is remarked on; common practice, no source.
const fewestAlike = 3

// sameFigure remarks that every line of a unit, or of the sheet, has the same figure.
func (b *bench) sameFigure() {
	type group struct {
		lines   []*Record
		figure  quantity.Exact
		differs bool
	}
	whole, units, order := &group{}, map[quantity.Unit]*group{}, []*group(nil)
	add := func(g *group, r *Record, x quantity.Exact) {
		g.differs = g.differs || len(g.lines) > 0 && !g.figure.Equal(x)
		g.lines, g.figure = append(g.lines, r), x
	}
	for i := range b.records {
		r := &b.records[i]
		f, ok := r.Final()
		if !ok || r.Bad || b.by[r.Key] != r || !f.Result.HasValue {
			continue
		}
		u := r.Line.Spec().Unit
		if units[u] == nil {
			units[u] = &group{}
			order = append(order, units[u])
		}
		add(whole, r, f.Result.Value)
		add(units[u], r, f.Result.Value)
	}
	for _, g := range append([]*group{whole}, order...) {
		if len(g.lines) >= fewestAlike && !g.differs {
			b.contradict(Contradiction{Note: note.New("same_figure", note.Str("figure", g.figure.Print(0, 9).String()), note.Count("lines", len(g.lines))),
				Lines: g.lines, Keys: keysOf(g.lines)})
			return
		}
	}
}

// onTheAim remarks that every line that has an aim hits it exactly.
func (b *bench) onTheAim() {
	var lines []*Record
	for i := range b.records {
		r := &b.records[i]
		f, ok := r.Final()
		if !ok || r.Bad || b.by[r.Key] != r || !f.Result.HasValue || !f.Result.Deviation.Has {
			continue
		}
		if f.Result.Deviation.At.Sign() != 0 {
			return
		}
		lines = append(lines, r)
	}
	if len(lines) >= fewestAlike {
		b.contradict(Contradiction{Note: note.New("all_on_the_aim", note.Count("lines", len(lines))), Lines: lines, Keys: keysOf(lines)})
	}
}

func keysOf(lines []*Record) []spec.Key {
	out := make([]spec.Key, len(lines))
	for i, r := range lines {
		out[i] = r.Key
	}
	return out
}
