package api_test

import (
	"encoding/json"
	"encoding/xml"
	"errors"
	"io"
	"net/http"
	"strings"
	"testing"
)

const differing = "/v1/families/pl-85/components/crank/specs/side-clearance"

// A spec that differs by variant never shows its base as if that were all: the line that has the base has the others too,
// in every form.
func TestALineSaysWhatOtherVariantsHave(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	const line = "0.15–0.40 mm; worn out past 0.60 mm; DEMO; variant b: 0.20–0.45 mm; worn out past 0.60 mm"
	for name, target := range map[string]string{
		"the spec":      differing,
		"as JSON-LD":    differing + "?format=jsonld",
		"a list":        "/v1/specs?q=side-clearance&family=pl-85",
		"as CSV":        "/v1/specs?family=pl-85&component=crank&format=csv",
		"look-ups":      "/v1/lookups?key=pl-85/crank/side-clearance",
		"its component": "/v1/families/pl-85/components/crank",
		"a part":        "/v1/parts/PL-ROD-KIT-1",
		"the plan":      differing + "/measuring-plan",
		"the sheet":     "/v1/families/pl-85/sheet",
	} {
		if w := do(h, "GET", target); w.Code != 200 || !strings.Contains(w.Body.String(), line) {
			t.Errorf("%s: %d has no %q: %s", name, w.Code, line, w.Body)
		}
	}
	const not = "not judged: the value depends on the variant; allowed: 0.15–0.40 mm; ask before going on; DEMO; variant b: 0.20–0.45 mm; worn out past 0.60 mm"
	if got := do(h, "GET", differing+"/verdict?value=0.30&unit=mm&format=text").Body.String(); !strings.HasSuffix(got, " | "+not+"\n") {
		t.Errorf("a verdict: %q", got)
	}
	if got := sendCSV(h, "/v1/evaluations", "spec,unit,reading_1\npl-85/crank/side-clearance,mm,0.30\n").Body.String(); !strings.Contains(got, not) {
		t.Errorf("a table: %q", got)
	}
	if got := lastLine(do(h, "GET", differing+"?format=text").Body.String()); got != line {
		t.Errorf("as text: %q", got)
	}
	if got := do(h, "GET", differing+"?format=html").Body.String(); !strings.Contains(got, "<dt>variant b</dt><dd>0.20–0.45 mm;") {
		t.Errorf("as HTML: %s", got)
	}
	if got := lastLine(do(h, "GET", differing+"?format=text&variant=b").Body.String()); got != "0.20–0.45 mm; worn out past 0.60 mm; DEMO" {
		t.Errorf("named: %q", got)
	}
	if got := lastLine(do(h, "GET", differing+"?format=text&unit=in").Body.String()); !strings.HasPrefix(got, "0.0060–0.0157 in;") || !strings.Contains(got, "; variant b: 0.0079–0.0177 in; worn out past 0.0236 in; converted from 0.20–0.45 mm") {
		t.Errorf("converted: %q", got)
	}
}

// What decides a value is named in the language.
func TestWhatDecidesIsNamedInEveryLanguage(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	for lang, want := range map[string][2]string{
		"en": {"; variant b: 0.20–0.45 mm", "; marked crank:U1: 29.734–29.750 mm"},
		"de": {"; Variante b: 0.20–0.45 mm", "; gekennzeichnet crank:U1: 29.734–29.750 mm"},
		"fr": {"; variante b\u00a0: 0.20–0.45 mm", "; repère crank:U1\u00a0: 29.734–29.750 mm"},
		"it": {"; variante b: 0.20–0.45 mm", "; contrassegno crank:U1: 29.734–29.750 mm"},
		"es": {"; variante b: 0.20–0.45 mm", "; marca crank:U1: 29.734–29.750 mm"},
	} {
		for i, target := range []string{differing, "/v1/families/qb-270/components/crank/specs/journal"} {
			if got := lastLine(do(h, "GET", target+"?format=text&lang="+lang).Body.String()); !strings.Contains(got, want[i]) {
				t.Errorf("%s: %q has no %q", lang, got, want[i])
			}
		}
	}
}

// A picture shows the base, and says in its words and to a screen reader that other variants differ; a named one does not.
func TestAPictureSaysThatVariantsDiffer(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	for query, differs := range map[string]bool{"": true, "?value=0.30&unit=mm": true, "?variant=b": false, "?value=0.30&unit=mm&variant=a": false} {
		drawn, described := svgWords(t, h, differing+"/band.svg"+query)
		if !strings.Contains(described, ". DEMO values: ") {
			t.Errorf("%q is read out as one sentence: %s", query, described)
		}
		for what, words := range map[string]string{"drawn": drawn, "described": described} {
			if strings.Contains(words, "variant b: 0.20–0.45 mm") != differs {
				t.Errorf("%q, %s: %s", query, what, words)
			}
		}
	}
}

// svgWords are the words that a picture shows, its lines put together, and its text alternative.
func svgWords(t *testing.T, h http.Handler, target string) (drawn, described string) {
	t.Helper()
	d := xml.NewDecoder(do(h, "GET", target).Body)
	var at string
	var lines []string
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return strings.ReplaceAll(strings.Join(lines, " "), "\u00a0", " "), described
		}
		if err != nil {
			t.Fatal(err)
		}
		switch token := token.(type) {
		case xml.StartElement:
			at = token.Name.Local
		case xml.CharData:
			switch at {
			case "desc":
				described += string(token)
			case "text":
				lines = append(lines, string(token))
			}
		}
	}
}

// The cautions of what may be meant stand on the item, since its line names the values.
func TestTheItemHasTheCautionsOfItsAlternatives(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	var list struct {
		Items []struct {
			Cautions     []string
			Alternatives []struct {
				Name     string
				Cautions []string
			}
		}
	}
	if err := json.Unmarshal(do(h, "GET", "/v1/specs?page_size=1000").Body.Bytes(), &list); err != nil {
		t.Fatal(err)
	}
	seen := 0
	for _, item := range list.Items {
		for _, a := range item.Alternatives {
			seen++
			if !strings.HasPrefix(a.Name, "variant ") && !strings.HasPrefix(a.Name, "marked ") {
				t.Errorf("an alternative is called %q", a.Name)
			}
			for _, code := range a.Cautions {
				if !strings.Contains(strings.Join(item.Cautions, " "), code) {
					t.Errorf("%v of %s are not all among %v", a.Cautions, a.Name, item.Cautions)
				}
			}
		}
	}
	if seen < 6 {
		t.Errorf("%d alternatives", seen)
	}
}

func lastLine(s string) string {
	lines := strings.Split(strings.TrimSuffix(s, "\n"), "\n")
	return lines[len(lines)-1]
}
