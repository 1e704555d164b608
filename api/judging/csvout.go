package judging

import (
	"bytes"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"endfloat/api/rim"
	"endfloat/api/table"
	"endfloat/api/wire"
	"endfloat/service/quantity"
)

// outColumns are the columns of a table of results.
var outColumns = []string{"row", "id", "spec", "verdict", "decided", "action", "cautions", "position", "basis", "value", "unit",
	"interval_lower", "interval_upper", "standard_uncertainty", "uncertainty_source", "probability_within", "lower", "upper", "limit_unit",
	"wear_lower", "wear_upper", "target", "target_deviation", "margin_to_lower", "margin_to_upper", "places", "min", "max", "spread",
	"warnings", "next", "text", "source_class", "problem_code", "problem_detail", "problem_column", "revision", "rules"}

// sheet is a table of results while it is written, in the form declared. Texts that a spreadsheet would compute are made
// inert.
type sheet struct {
	form            table.Form
	buf             []byte
	revision, rules string
	begun           bool // a cell stands in the row
}

func newSheet(f table.Form, revision, rules string) *sheet {
	t := &sheet{form: f, revision: revision, rules: rules}
	for _, name := range outColumns {
		t.text(name)
	}
	t.end()
	return t
}

// table writes results as rows.
func (a *EvaluationAnswer) table(f table.Form) []byte {
	t := newSheet(f, a.Revision, a.Rules)
	for i := range a.Results {
		t.result(&a.Results[i])
	}
	return t.buf
}

func (t *sheet) result(r *Result) {
	unit := quantity.Unit(r.Unit).ASCII()
	band := r.Band
	if band == (wire.Band{}) {
		band = r.Limits // of a single figure under a policy
	}
	t.whole(r.Index + 1)
	t.inert(r.ID)
	t.inert(r.Spec)
	t.text(r.Verdict)
	t.text(map[bool]string{false: "false", true: "true"}[r.Decided])
	t.text(r.Action)
	t.words(len(r.Cautions), func(i int) string { return r.Cautions[i] })
	t.text(r.Position)
	t.text(r.Basis)
	t.numbers(r.Value)
	t.text(unit)
	t.numbers(r.Interval.Lower, r.Interval.Upper, r.StandardU)
	t.text(r.UncertaintySource)
	t.numbers(r.Probability, band.Lower, band.Upper)
	t.text(unit)
	margin := r.Margin
	if margin.Unit != "" { // no column names another unit
		margin = Margin{}
	}
	t.numbers(r.WearLimit.Lower, r.WearLimit.Upper, r.Target, r.TargetDeviation, margin.ToLower, margin.ToUpper)
	if r.Places.Count > 0 {
		t.whole(r.Places.Count)
	} else {
		t.text("")
	}
	t.numbers(r.Places.Min, r.Places.Max, r.Places.Spread)
	t.words(len(r.Warnings), func(i int) string { return r.Warnings[i].Code })
	t.words(len(r.Next), func(i int) string { return r.Next[i].Code })
	t.inert(r.Text)
	t.text(r.SourceClass)
	t.text(r.Problem.Code)
	t.inert(r.Problem.Detail)
	t.inert(r.Problem.column())
	t.text(t.revision)
	t.text(t.rules)
	t.end()
}

// column is where the first fault of a row is.
func (p *RowProblem) column() string {
	if len(p.Errors) == 0 {
		return ""
	}
	if first := &p.Errors[0]; first.Pointer != nil {
		return *first.Pointer
	}
	return p.Errors[0].Column
}

// next begins a cell.
func (t *sheet) next() {
	if t.begun {
		t.buf = append(t.buf, byte(t.form.Delimiter))
	}
	t.begun = true
}

// end ends a row.
func (t *sheet) end() { t.buf, t.begun = append(t.buf, '\n'), false }

func (t *sheet) inert(cell string) { t.text(rim.Inert(cell)) }

func (t *sheet) whole(n int) {
	t.next()
	t.buf = strconv.AppendInt(t.buf, int64(n), 10)
}

// text writes a cell, in quotes where it needs them (RFC 4180).
func (t *sheet) text(cell string) {
	t.next()
	if !quotable(cell, byte(t.form.Delimiter)) {
		t.buf = append(t.buf, cell...)
		return
	}
	t.buf = append(t.buf, '"')
	for {
		before, after, found := strings.Cut(cell, `"`)
		t.buf = append(t.buf, before...)
		if !found {
			break
		}
		t.buf = append(t.buf, `""`...)
		cell = after
	}
	t.buf = append(t.buf, '"')
}

// quotable reports whether a cell needs quotes: for what stands between cells and rows, for a quote, and for a space in
// front, which some readers take away.
func quotable(cell string, delimiter byte) bool {
	if cell == "" {
		return false
	}
	if first, _ := utf8.DecodeRuneInString(cell); unicode.IsSpace(first) {
		return true
	}
	for i := range len(cell) {
		if c := cell[i]; c == delimiter || c == '"' || c == '\n' || c == '\r' {
			return true
		}
	}
	return false
}

// words writes a cell of words, a space between each two.
func (t *sheet) words(n int, word func(int) string) {
	t.next()
	for i := range n {
		if i > 0 {
			t.buf = append(t.buf, ' ')
		}
		t.buf = append(t.buf, word(i)...)
	}
}

// numbers writes a cell each; an absent number is an empty one.
func (t *sheet) numbers(list ...wire.Decimal) {
	for _, d := range list {
		t.next()
		if d.IsZero() {
			continue
		}
		from := len(t.buf)
		t.buf = d.Quantity().Append(t.buf)
		if !t.form.DecimalComma {
			continue
		}
		if i := bytes.IndexByte(t.buf[from:], '.'); i >= 0 {
			t.buf[from+i] = ','
			if t.form.Delimiter == ',' {
				t.buf = append(slices.Insert(t.buf, from, '"'), '"')
			}
		}
	}
}

// header is the summary as a structured field (RFC 9651, a dictionary).
func (s Summary) header() rim.Header {
	b := make([]byte, 0, 128)
	for _, m := range [...]struct {
		key string
		n   int
	}{{"rows=", s.Rows}, {", pass=", s.Pass}, {", conditional_pass=", s.ConditionalPass}, {", conditional_fail=", s.ConditionalFail},
		{", fail=", s.Fail}, {", not_judged=", s.NotJudged}, {", problems=", s.Problems}} {
		b = strconv.AppendInt(append(b, m.key...), int64(m.n), 10)
	}
	return rim.Header{Name: "Evaluation-Summary", Value: string(b)}
}
