package page_test

import (
	"crypto/sha256"
	"encoding/base64"
	"strings"
	"testing"

	"endfloat/api/page"
)

const evil = `</style></p><script>alert(1)</script>"\; } body{display:none} @import url(//x)`

// Whatever stands in any field comes out as text, and the policy allows the one style sheet of the page by its hash.
func TestEverythingIsText(t *testing.T) {
	t.Parallel()
	pages := page.New()
	frame := page.Frame{Lang: "en", Title: evil, Foot: evil, Paper: page.Letter}
	field := page.Field{Label: evil, Value: evil}
	section := page.Section{Heading: evil, Items: []string{evil}, None: evil}
	blank, blankPolicy, err := pages.Blank(page.Blank{Frame: frame, Heading: evil, About: evil, Fields: []page.Field{field}, Cautions: []page.Caution{{Text: evil}}, Warnings: []string{evil},
		Renew: []page.Field{field}, Groups: []page.Group{{Name: evil, Gate: evil, Lines: []page.BlankLine{{Name: evil, Left: evil, Limits: page.LimitsOf(evil, "alert"), Unit: evil, Cautions: []string{evil}, Renew: []string{evil},
			Built: page.Boxes(3), Alternatives: []string{evil}}}}}})
	if err != nil {
		t.Fatal(err)
	}
	report, reportPolicy, err := pages.Report(page.Report{Frame: frame, Heading: evil, Verdict: evil, Outcome: evil, Fields: []page.Field{field}, Waivers: section, Missing: section,
		GateList: []page.Gate{{Name: evil, State: evil, Items: []string{evil}}}, Lines: []page.ReportLine{{Name: evil, Advice: []string{evil}, Done: []page.Field{field}, Alt: evil, Picture: []byte(evil)}}})
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range []struct{ html, policy string }{{string(blank), blankPolicy}, {string(report), reportPolicy}} {
		if strings.Contains(p.html, "<script") || strings.Count(p.html, "</style>") != 1 {
			t.Errorf("%s", p.html)
		}
		_, rest, _ := strings.Cut(p.html, "<style>")
		css, _, _ := strings.Cut(rest, "</style>")
		sum := sha256.Sum256([]byte(css))
		if !strings.Contains(p.policy, "style-src 'sha256-"+base64.StdEncoding.EncodeToString(sum[:])+"'") || strings.Contains(p.policy, "unsafe") {
			t.Errorf("the policy %q does not allow the style of the page", p.policy)
		}
		if strings.Contains(css, "@import") || strings.Contains(css, "display:none") || !strings.Contains(css, "size:letter") {
			t.Errorf("the foot got out of its string: %s", css)
		}
	}
}

func TestRoomToWrite(t *testing.T) {
	t.Parallel()
	html, _, err := page.New().Blank(page.Blank{Groups: []page.Group{{Lines: []page.BlankLine{{Found: page.Boxes(2), Built: page.Boxes(5)}, {}}}}})
	if n := strings.Count(string(html), `class="box"`); err != nil || n != 7 {
		t.Errorf("%d boxes, %v", n, err)
	}
}
