package judging

import (
	"bytes"
	"encoding/csv"
	"strings"

	"endfloat/api/rim"
	"endfloat/api/wire"
	"endfloat/service/quantity"
)

// outColumns are the columns of a table of results.
var outColumns = []string{"row", "id", "spec", "verdict", "decided", "action", "cautions", "position", "basis", "value", "unit",
	"interval_lower", "interval_upper", "standard_uncertainty", "uncertainty_source", "probability_within", "lower", "upper", "limit_unit",
	"wear_lower", "wear_upper", "target", "target_deviation", "margin_to_lower", "margin_to_upper", "places", "min", "max", "spread",
	"warnings", "next", "text", "source_class", "problem_code", "problem_detail", "problem_column", "revision", "rules"}

// table writes results as rows, in the form declared. Texts that a spreadsheet would compute are made inert.
func (a *EvaluationAnswer) table(f form) []byte {
	var buf bytes.Buffer
	out := csv.NewWriter(&buf)
	out.Comma = f.delimiter
	_ = out.Write(outColumns) // a buffer takes everything
	for i := range a.Results {
		_ = out.Write(a.cells(&a.Results[i], f))
	}
	out.Flush()
	return buf.Bytes()
}

func (a *EvaluationAnswer) cells(r *Result, f form) []string {
	unit := quantity.Unit(r.Unit).ASCII()
	places := ""
	if r.Places.Count > 0 {
		places = itoa(r.Places.Count)
	}
	column := ""
	if len(r.Problem.Errors) > 0 {
		if column = r.Problem.Errors[0].Column; r.Problem.Errors[0].Pointer != nil {
			column = *r.Problem.Errors[0].Pointer
		}
	}
	decided := "false"
	if r.Decided {
		decided = "true"
	}
	band := r.Band
	if band == (wire.Band{}) {
		band = r.Limits // of a single figure under a policy
	}
	return []string{itoa(r.Index + 1), rim.Inert(r.ID), rim.Inert(r.Spec), r.Verdict, decided, r.Action, strings.Join(r.Cautions, " "), r.Position, r.Basis,
		f.show(r.Value), unit, f.show(r.Interval.Lower), f.show(r.Interval.Upper), f.show(r.StandardU), r.UncertaintySource, f.show(r.Probability),
		f.show(band.Lower), f.show(band.Upper), unit, f.show(r.WearLimit.Lower), f.show(r.WearLimit.Upper), f.show(r.Target),
		f.show(r.TargetDeviation), f.show(r.Margin.ToLower), f.show(r.Margin.ToUpper), places, f.show(r.Places.Min), f.show(r.Places.Max),
		f.show(r.Places.Spread), codesOf(r.Warnings), codesOf(r.Next), rim.Inert(r.Text), r.SourceClass, r.Problem.Code,
		rim.Inert(r.Problem.Detail), rim.Inert(column), a.Revision, a.Rules}
}

func codesOf(notes []wire.Note) string {
	codes := make([]string, len(notes))
	for i, n := range notes {
		codes[i] = n.Code
	}
	return strings.Join(codes, " ")
}

// header is the summary as a structured field (RFC 9651, a dictionary).
func (s Summary) header() rim.Header {
	return rim.Header{Name: "Evaluation-Summary", Value: "rows=" + itoa(s.Rows) + ", pass=" + itoa(s.Pass) + ", conditional_pass=" + itoa(s.ConditionalPass) +
		", conditional_fail=" + itoa(s.ConditionalFail) + ", fail=" + itoa(s.Fail) + ", not_judged=" + itoa(s.NotJudged) + ", problems=" + itoa(s.Problems)}
}
