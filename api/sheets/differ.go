package sheets

import (
	"bytes"

	"endfloat/api/compact"
	"endfloat/service/judge"
)

// verdictOf is the verdict of a line as its answer shows it.
func (d *desk) verdictOf(i int) string {
	rec := &d.recs[i]
	if f, ok := rec.Final(); ok && !rec.Bad {
		return string(f.Result.Verdict)
	}
	return string(judge.NotJudged)
}

// differences lists where a sheet that was presented is not the signed one. Lines are matched by their spec, then by the
// number of the match, so that a line that stands twice is compared twice.
func differences(signed, shown *SheetRequest) []AlteredLine {
	list := []AlteredLine{}
	a, b := *signed, *shown
	a.Lines, b.Lines = nil, nil
	if !equal(&a, &b) {
		list = append(list, AlteredLine{Change: "head"})
	}
	places := map[string][]int{} // of the signed lines, by spec
	for i := range signed.Lines {
		places[signed.Lines[i].Spec] = append(places[signed.Lines[i].Spec], i)
	}
	last := -1
	for i := range shown.Lines {
		l := &shown.Lines[i]
		found := places[l.Spec]
		if len(found) == 0 {
			list = append(list, AlteredLine{l.Spec, l.ID, i, "added"})
			continue
		}
		at := found[0]
		places[l.Spec] = found[1:]
		switch {
		case !equal(&signed.Lines[at], l):
			list = append(list, AlteredLine{l.Spec, l.ID, i, "changed"})
		case at < last:
			list = append(list, AlteredLine{l.Spec, l.ID, i, "moved"})
		}
		last = max(last, at)
	}
	for i := range signed.Lines {
		l := &signed.Lines[i]
		for _, left := range places[l.Spec] {
			if left == i {
				list = append(list, AlteredLine{l.Spec, l.ID, i, "removed"})
			}
		}
	}
	return list
}

// equal compares what two values say as JSON: numbers as they were written, keys in one order.
func equal(a, b compact.Appender) bool {
	return bytes.Equal(a.AppendJSON(nil), b.AppendJSON(nil))
}
