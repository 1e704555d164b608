package sheets

import (
	"bytes"
	"encoding/csv"
	"slices"
	"strconv"
	"strings"

	"endfloat/api/judging"
	"endfloat/api/rim"
	"endfloat/api/table"
	"endfloat/api/wire"
	"endfloat/service/quantity"
)

// reportColumns are the columns of a judged sheet as a table.
var reportColumns = []string{"row", "id", "spec", "name", "gate", "critical", "verdict", "decided", "undecided_because", "estimated", "waived", "action", "cautions",
	"found_verdict", "found_position", "found_value", "found_interval_lower", "found_interval_upper",
	"built_verdict", "built_position", "built_basis", "built_value", "built_interval_lower", "built_interval_upper", "unit",
	"lower", "upper", "wear_lower", "wear_upper", "target", "rule_used", "shims_before", "shims_after", "renewed", "part", "by", "at", "tool", "calibration_due",
	"witness", "waiver_who", "waiver_reason", "note", "warnings", "next", "contradictions", "text", "source_class", "problem_code", "problem_detail", "problem_column",
	"outcome", "complete", "gates", "revision", "rules", "digest", "kid"}

// csvTable is a table of a sheet as CSV, in the form that the caller declared. It is not safe for concurrent use.
type csvTable struct {
	columns []string
	buf     bytes.Buffer
	out     *csv.Writer
}

func newTable(f table.Form, columns []string) *csvTable {
	t := &csvTable{columns: columns}
	t.out = csv.NewWriter(&t.buf)
	t.out.Comma = f.Delimiter
	_ = t.out.Write(columns) // a buffer takes everything
	return t
}

// row appends a row; its cells are changed. What a spreadsheet would compute is made inert.
func (t *csvTable) row(cells []string) {
	for i, c := range cells {
		if inert := rim.Inert(c); inert != c && !numeric(t.columns[i]) {
			cells[i] = inert
		}
	}
	_ = t.out.Write(cells)
}

func (t *csvTable) bytes() []byte {
	t.out.Flush()
	return t.buf.Bytes()
}

// numeric columns hold numbers of ours, which may begin with a sign and a decimal comma.
func numeric(column string) bool {
	return strings.HasSuffix(column, "_value") || strings.HasSuffix(column, "lower") || strings.HasSuffix(column, "upper") || column == "target"
}

// table is a judged sheet as CSV: a row a line, then a row for every line that is missing. What holds for the whole sheet
// stands in every row.
func (d *desk) table(a *SheetAnswer, f table.Form) []byte {
	t := newTable(f, reportColumns)
	var gates []string
	for _, g := range a.Gates {
		gates = append(gates, g.Gate+":"+g.State)
	}
	tail := []string{a.Outcome.Verdict, strconv.FormatBool(a.Outcome.Complete), strings.Join(gates, " "), a.Revision, a.Rules, a.Signature.Digest, a.Signature.KeyID}
	about := map[int]string{}
	for _, c := range a.Contradictions {
		for _, i := range c.Indexes {
			about[i] = strings.TrimSpace(about[i] + " " + c.Code)
		}
	}
	row := make([]string, 0, len(reportColumns))
	for i := range a.Lines {
		row = d.cells(row[:0], &a.Lines[i], f, about[i])
		t.row(append(row, tail...))
	}
	for n, m := range a.Missing {
		if m.Because != "no_line" {
			continue
		}
		row = append(row[:0], itoa(len(a.Lines)+n+1), "", m.Spec, m.Name, m.Gate, strconv.FormatBool(m.Critical), "not_judged", "false", "missing", "false", "false", "measure_again")
		if l, ok := d.engine.plan.Line(d.judged.Missing[n].Line.Spec().Key); ok {
			row = append(row, strings.Join(d.r.Revision.Defaults.CautionsOf(l.Spec()), " "))
		}
		for len(row) < len(reportColumns)-len(tail) {
			row = append(row, "")
		}
		row[slices.Index(reportColumns, "text")] = m.Text
		t.row(append(row, tail...))
	}
	return t.bytes()
}

// cells appends the cells of a line to a row that is empty.
func (d *desk) cells(cells []string, w *Line, f table.Form, contradictions string) []string {
	found, built := stageOf(w.AsFound), stageOf(w.AsBuilt)
	last := built
	if w.AsBuilt == nil {
		last = found
	}
	who, why := "", ""
	if w.Waiver != nil {
		who, why = w.Waiver.Who, w.Waiver.Reason
	}
	column := ""
	if len(w.Problem.Errors) > 0 {
		if column = w.Problem.Errors[0].Column; w.Problem.Errors[0].Pointer != nil {
			column = *w.Problem.Errors[0].Pointer
		}
	}
	return append(cells, itoa(w.Index+1), w.ID, w.Spec, w.Name, w.Gate, strconv.FormatBool(w.Critical), w.Verdict, strconv.FormatBool(w.Decided), w.UndecidedBecause,
		strconv.FormatBool(w.Estimated), strconv.FormatBool(w.Waived), w.Action, strings.Join(w.Cautions, " "),
		found.Verdict, found.Position, f.Show(found.Value), f.Show(found.Interval.Lower), f.Show(found.Interval.Upper),
		built.Verdict, built.Position, built.Basis, f.Show(built.Value), f.Show(built.Interval.Lower), f.Show(built.Interval.Upper), quantity.Unit(last.Unit).ASCII(),
		f.Show(last.Band.Lower), f.Show(last.Band.Upper), f.Show(last.WearLimit.Lower), f.Show(last.WearLimit.Upper), f.Show(last.Target), last.RuleUsed,
		pieces(w.ShimsBefore), pieces(w.ShimsAfter), strings.Join(w.Renewed, " "), w.Part, w.By, w.At, w.Tool.ID, w.Tool.CalibrationDue,
		w.Witness, who, why, w.Note, codesOf(w.Warnings), codesOf(w.Next), contradictions, w.Text, last.SourceClass, w.Problem.Code, w.Problem.Detail, column)
}

// stageOf is a result that is there: an empty one where nothing was said.
func stageOf(r *judging.Result) *judging.Result {
	if r == nil {
		return &judging.Result{}
	}
	return r
}

// pieces are shims as the table that is sent in writes them.
func pieces(list []ShimRequest) string {
	if list == nil {
		return ""
	}
	if len(list) == 0 {
		return "none"
	}
	var b []byte
	for i := range list {
		if i > 0 {
			b = append(b, ' ')
		}
		if p := list[i].Place; p != "" {
			b = append(append(b, p...), ':')
		}
		b = list[i].Thickness.AppendText(b, 0)
	}
	return string(b)
}

func codesOf(notes []wire.Note) string {
	codes := make([]string, len(notes))
	for i, n := range notes {
		codes[i] = n.Code
	}
	return strings.Join(codes, " ")
}
