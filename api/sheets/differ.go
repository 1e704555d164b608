package sheets

import (
	"bytes"
	"maps"
	"slices"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"

	"endfloat/api/compact"
	"endfloat/api/wire"
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
	if fields := fieldsOf(&a, &b); len(fields) > 0 {
		list = append(list, AlteredLine{Change: "head", Fields: fields})
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
			list = append(list, AlteredLine{Spec: l.Spec, ID: l.ID, Index: i, Change: "added"})
			continue
		}
		at := found[0]
		places[l.Spec] = found[1:]
		switch fields := fieldsOf(&signed.Lines[at], l); {
		case len(fields) > 0:
			list = append(list, AlteredLine{l.Spec, l.ID, i, "changed", fields})
		case at < last:
			list = append(list, AlteredLine{Spec: l.Spec, ID: l.ID, Index: i, Change: "moved"})
		}
		last = max(last, at)
	}
	for i := range signed.Lines {
		l := &signed.Lines[i]
		for _, left := range places[l.Spec] {
			if left == i {
				list = append(list, AlteredLine{Spec: l.Spec, ID: l.ID, Index: i, Change: "removed"})
			}
		}
	}
	return list
}

// equal compares what two values say as JSON: numbers by their value, keys in one order.
func equal(a, b compact.Appender) bool { return bytes.Equal(said(a), said(b)) }

// said is a value as JSON with every number in its shortest form: a program that reads a sheet and writes it again has
// 0.20 as 0.2.
func said(v compact.Appender) []byte {
	b := v.AppendJSON(nil)
	out, quoted := b[:0], false
	for i := 0; i < len(b); i++ {
		switch c := b[i]; {
		case quoted && c == '\\':
			out = append(out, c)
			i++
		case c == '"':
			quoted = !quoted
		case !quoted && c == '.':
			end := i + 1
			for end < len(b) && b[end] >= '0' && b[end] <= '9' {
				end++
			}
			out = append(out, bytes.TrimRight(bytes.TrimRight(b[i:end], "0"), ".")...)
			i = end - 1
			continue
		}
		out = append(out, b[i])
	}
	return out
}

// mostFields is how many fields of a line are named.
const mostFields = 20

// fieldsOf are the places at which two values say something else, as JSON Pointers (RFC 6901).
func fieldsOf(a, b compact.Appender) (fields []string) {
	x, y := said(a), said(b)
	if bytes.Equal(x, y) {
		return nil
	}
	differ("", x, y, &fields)
	return fields[:min(len(fields), mostFields)]
}

func differ(at wire.At, a, b jsontext.Value, fields *[]string) {
	if bytes.Equal(a, b) || len(*fields) >= mostFields {
		return
	}
	var x, y map[string]jsontext.Value
	if a.Kind() == '{' && b.Kind() == '{' && json.Unmarshal(a, &x) == nil && json.Unmarshal(b, &y) == nil {
		keys := slices.AppendSeq(slices.Collect(maps.Keys(x)), maps.Keys(y))
		slices.Sort(keys)
		for _, k := range slices.Compact(keys) {
			differ(at.Key(k), x[k], y[k], fields)
		}
		return
	}
	var p, q []jsontext.Value
	if a.Kind() == '[' && b.Kind() == '[' && json.Unmarshal(a, &p) == nil && json.Unmarshal(b, &q) == nil && len(p) == len(q) {
		for i := range p {
			differ(at.Index(i), p[i], q[i], fields)
		}
		return
	}
	*fields = append(*fields, string(at))
}
