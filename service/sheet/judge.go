package sheet

import (
	"endfloat/service/catalogue"
	"endfloat/service/judge"
	"endfloat/service/note"
	"endfloat/service/spec"
)

// Judged is what a filled sheet proves. Verdict is the worst of its lines, missing ones counting as not judged: fail,
// conditional_fail, not_judged, conditional_pass, pass. Complete says that every line that has something to prove was
// read, whatever came of it.
type Judged struct {
	Verdict        judge.Verdict
	Complete       bool
	Counts         Counts
	Missing        []Missing
	Gates          []GateState
	Contradictions []Contradiction
	Order          []Order
}

// Counts are how many lines came out how. The five verdicts sum to the lines; missing lines are among the not judged.
type Counts struct {
	Lines, Pass, ConditionalPass, ConditionalFail, Fail, NotJudged int
	Missing, Estimated, Waived, Problems                           int
}

// Missing is a line that has something to prove and does not say it. Because: no_line, no_reading, as_built_missing.
type Missing struct {
	Line    *Line
	Because string
}

// Order is a part to be ordered. Because: always_renew, replace.
type Order struct {
	Part      *catalogue.Part
	SKU       string // the one that is sold now
	Quantity  int
	Because   string
	Component string
	Specs     []spec.Key
}

// Contradiction is where a sheet does not agree with itself or with the trade. Lines are the records that it rests on.
type Contradiction struct {
	Note     note.Note
	Lines    []*Record
	Keys     []spec.Key
	Suspects []note.Note
	// Blocks says that nothing is closed over it.
	Blocks bool
	gate   catalogue.Gate
}

// bench is a sheet while it is judged.
type bench struct {
	plan    *Plan
	rev     *catalogue.Revision
	records []Record
	by      map[spec.Key]*Record
	day     string
	renewed map[string]bool // by the SKU that is sold now
	out     Judged
}

// Judge says what a filled sheet proves. day is that of the sheet (2026-11-25): lines without a date are of that day, and
// none is dated later. Where it is empty it is the latest that a line names, else that of the revision: no clock is
// read, so that a sheet says the same whenever it is judged. The records stand in the order of the sheet; of several for
// one spec the first that can be accepted counts.
func Judge(plan *Plan, rev *catalogue.Revision, records []Record, day string) Judged {
	b := &bench{plan: plan, rev: rev, records: records, by: make(map[spec.Key]*Record, len(records)), day: day, renewed: map[string]bool{}}
	if day == "" {
		b.day = latestDay(records, rev.Date)
	}
	for i := range records {
		r := &records[i]
		for _, sku := range r.Renewed {
			b.renewed[rev.Latest(sku)] = true
		}
		if old := b.by[r.Key]; r.Line != nil && (old == nil || old.Bad && !r.Bad) {
			b.by[r.Key] = r
		}
	}
	b.missing()
	b.contradictions()
	b.gates()
	b.order()
	b.outcome()
	return b.out
}

// latestDay is the latest date of the lines; the other where none has one.
func latestDay(records []Record, other string) string {
	latest := ""
	for i := range records {
		if at := records[i].At; at.Known() {
			latest = max(latest, at.Date())
		}
	}
	if latest == "" {
		return other
	}
	return latest
}

func (b *bench) missing() {
	for i := range b.plan.Lines {
		l := &b.plan.Lines[i]
		if !l.Needed() {
			continue
		}
		if because := absent(b.by[l.Spec().Key]); because != "" {
			b.out.Missing = append(b.out.Missing, Missing{l, because})
		}
	}
}

// absent says what a record lacks to be whole; empty where it lacks nothing.
func absent(r *Record) string {
	switch {
	case r == nil:
		return "no_line"
	case r.Bad:
		return "" // said and not acceptable: the problem stands with the line
	}
	final, ok := r.Final()
	switch {
	case !ok && r.Found.Has:
		return "as_built_missing"
	case !ok || final.Result.Basis == judge.Missing:
		return "no_reading"
	}
	return ""
}

// outcome counts every record and every line that has none; nothing is summed up away.
func (b *bench) outcome() {
	c := &b.out.Counts
	count := func(v judge.Verdict) {
		c.Lines++
		switch v {
		case judge.Pass:
			c.Pass++
		case judge.ConditionalPass:
			c.ConditionalPass++
		case judge.ConditionalFail:
			c.ConditionalFail++
		case judge.Fail:
			c.Fail++
		default:
			c.NotJudged++
		}
	}
	for i := range b.records {
		r := &b.records[i]
		v, because := r.verdict()
		count(v)
		if because == "estimated" {
			c.Estimated++
		}
		if r.Bad {
			c.Problems++
		}
	}
	for _, m := range b.out.Missing {
		if m.Because == "no_line" {
			count(judge.NotJudged)
		}
	}
	c.Missing = len(b.out.Missing)
	b.out.Complete = c.Missing == 0 && c.Problems == 0 && c.Lines > 0
	b.out.Verdict = worst(c)
}

func worst(c *Counts) judge.Verdict {
	switch {
	case c.Fail > 0:
		return judge.Fail
	case c.ConditionalFail > 0:
		return judge.ConditionalFail
	case c.NotJudged > 0 || c.Lines == 0:
		return judge.NotJudged
	case c.ConditionalPass > 0:
		return judge.ConditionalPass
	}
	return judge.Pass
}
