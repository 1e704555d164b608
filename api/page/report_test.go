package page_test

import (
	"bytes"
	"encoding/base64"
	"html/template"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"endfloat/api/page"
)

// drawn is what html/template draws of a report, which escapes by context.
type drawn struct {
	page.Report
	Lines []drawnLine
}

type drawnLine struct {
	page.ReportLine
	Picture template.URL
}

// A report is what html/template draws, byte for byte, whatever stands in it.
func TestReportIsWhatTheTemplateDraws(t *testing.T) {
	t.Parallel()
	oracle, pages := template.Must(template.ParseFiles("testdata/report.html")), page.New()
	rapid.Check(t, func(t *rapid.T) {
		r := report(t)
		got, _, err := pages.Report(r)
		if err != nil {
			t.Fatal(err)
		}
		_, css, _ := bytes.Cut(got, []byte("<style>"))
		css, _, _ = bytes.Cut(css, []byte("</style>"))
		r.Style = template.CSS(css)
		d := drawn{Report: r}
		for _, l := range r.Lines {
			w := drawnLine{ReportLine: l}
			if len(l.Picture) > 0 {
				w.Picture = template.URL("data:image/svg+xml;base64," + base64.StdEncoding.EncodeToString(l.Picture))
			}
			d.Lines = append(d.Lines, w)
		}
		var want bytes.Buffer
		if err := oracle.ExecuteTemplate(&want, "report.html", d); err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(want.String(), string(got)); diff != "" {
			t.Fatalf("(-html/template +page)\n%s", diff)
		}
	})
}

var texts = rapid.OneOf(rapid.Just(""), rapid.SampledFrom([]string{evil, `" onload="x`, "' + `=` &amp; \x00 \u2028", "0.08–0.35 mm", "]]>", "<!--"}), rapid.String())

func report(t *rapid.T) page.Report {
	s := func() string { return texts.Draw(t, "text") }
	n := func(most int) []struct{} { return make([]struct{}, rapid.IntRange(0, most).Draw(t, "entries")) }
	list := func() (out []string) {
		for range n(2) {
			out = append(out, s())
		}
		return out
	}
	fields := func() (out []page.Field) {
		for range n(2) {
			out = append(out, page.Field{Label: s(), Value: s()})
		}
		return out
	}
	section := func() page.Section { return page.Section{Heading: s(), Items: list(), None: s()} }
	r := page.Report{Frame: page.Frame{Lang: s(), Title: s(), Foot: s()}, Heading: s(), Verdict: s(), OutcomeH: s(), Outcome: s(), Counts: s(), Fields: fields(),
		Signature: s(), Notice: s(), Gates: section(), Waivers: section(), Contradictions: section(), Missing: section(), Renewed: section(), Order: section(),
		Cautions: section(), Warnings: list(), Heads: page.ReportHeads{Line: s(), Found: s(), Built: s(), Verdict: s()}, Signs: fields()}
	for range n(2) {
		r.GateList = append(r.GateList, page.Gate{Name: s(), State: s(), Blocked: rapid.Bool().Draw(t, "blocked"), Items: list(), OpenH: s(), Open: list()})
	}
	for range n(2) {
		r.Lines = append(r.Lines, page.ReportLine{Number: s(), ID: s(), Name: s(), Key: s(), Left: s(), Mark: s(), Critical: s(), Limits: page.Limits{Before: s(), Band: s(), After: s()},
			Found: page.Stage{Value: s(), Said: s(), Detail: s()}, Built: page.Stage{Value: s(), Said: s(), Detail: s()}, Verdict: s(), Advice: list(), Done: fields(), Cautions: list(),
			Picture: rapid.SliceOf(rapid.Byte()).Draw(t, "picture"), Alt: s()})
	}
	return r
}

func TestLimitsOf(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		line, band string
		want       page.Limits
	}{
		{"LEFT: 22–26 N·m, aim 24", "22–26 N·m", page.Limits{Before: "LEFT: ", Band: "22–26 N·m", After: ", aim 24"}},
		{"22–26 N·m", "22–26 N·m", page.Limits{Band: "22–26 N·m"}},
		{"not published", "", page.Limits{Before: "not published"}},
		{"a, b", "c", page.Limits{Before: "a, b"}},
	} {
		if got := page.LimitsOf(row.line, row.band); got != row.want {
			t.Errorf("%q of %q: %+v", row.band, row.line, got)
		}
	}
}
