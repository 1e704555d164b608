package api_test

import (
	"encoding/csv"
	"encoding/json"
	"log/slog"
	"net/http"
	"slices"
	"strings"
	"testing"

	"endfloat/api"
	"endfloat/api/apitest"
	"endfloat/api/text"
	"endfloat/service/catalogue"
	"endfloat/service/spec"
	"endfloat/specdb"
)

// demo is the service over the embedded catalogue; every exchange is held against the OpenAPI file.
func demo(t testing.TB) (http.Handler, *catalogue.Revision) {
	t.Helper()
	h, rev := bare(t)
	return apitest.Handler(t, h), rev
}

// bare is demo without the check.
func bare(t testing.TB) (http.Handler, *catalogue.Revision) {
	t.Helper()
	source, err := specdb.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	h, err := api.New(api.Deps{Catalogue: source, Log: slog.New(slog.DiscardHandler), Version: "test"}, api.Config{})
	if err != nil {
		t.Fatal(err)
	}
	return h, source.Current()
}

// fetch is a GET that must answer 200 with JSON.
func fetch(t *testing.T, h http.Handler, target string, into any) {
	t.Helper()
	w := do(h, "GET", target)
	if w.Code != 200 {
		t.Fatalf("%s: %d %s", target, w.Code, w.Body)
	}
	if err := json.Unmarshal(w.Body.Bytes(), into); err != nil {
		t.Fatalf("%s: %v", target, err)
	}
}

type caution struct {
	Code, Text string
	Severity   int
}

type shownSpec struct {
	Key, Href, Kind, Name, Unit string
	ValueForm                   string `json:"value_form"`
	Band                        struct{ Lower, Upper json.Number }
	Cautions                    []string
	Fastener                    struct{ Hand string }
	Source                      struct{ Class string }
	Display                     struct{ Summary, Band, Target string }
	Converted                   struct {
		Unit    string
		Display struct{ Summary string }
	}
	Alternatives []struct {
		Variant, Mark string
		Display       struct{ Summary string }
	}
}

type specAnswer struct {
	Revision, Rules string
	Spec            shownSpec
	Cautions        []caution
}

func hrefOf(key spec.Key) string {
	p := strings.Split(string(key), "/")
	return "/v1/families/" + p[0] + "/components/" + p[1] + "/specs/" + p[2]
}

func TestEverySpecAnswersInEveryLanguageAndSystem(t *testing.T) {
	t.Parallel()
	checked, rev := demo(t)
	unchecked, _ := bare(t) // the shapes are the same in every language
	book := text.New()
	for _, key := range rev.SpecKeys() {
		for _, lang := range spec.Languages {
			h := unchecked
			if lang == spec.Languages[0] {
				h = checked
			}
			for _, query := range []string{"?lang=" + lang, "?unit_system=imperial&lang=" + lang} {
				var a specAnswer
				fetch(t, h, hrefOf(key)+query, &a)
				checkAnswer(t, string(key)+" "+query, a, rev)
				hand := book.Word(lang, "word_left_hand")
				for _, line := range []string{a.Spec.Display.Summary, a.Spec.Converted.Display.Summary} {
					if a.Spec.Fastener.Hand == "left" && line != "" && !strings.HasPrefix(line, hand) {
						t.Errorf("%s in %s: the left-hand thread does not come first in %q", key, lang, line)
					}
				}
			}
		}
	}
}

// checkAnswer holds one spec to what every answer has.
func checkAnswer(t *testing.T, name string, a specAnswer, rev *catalogue.Revision) {
	t.Helper()
	s := a.Spec
	if a.Revision != rev.Name || a.Rules != spec.Rules || s.Name == "" || s.Display.Summary == "" || s.Display.Band == "" && s.Kind != "dimension" {
		t.Errorf("%s: %+v", name, a)
	}
	if s.Source.Class == "demo" && (!strings.Contains(s.Display.Summary, "DEMO") || !slices.Contains(s.Cautions, "demo_values")) {
		t.Errorf("%s: not shown as DEMO: %q %v", name, s.Display.Summary, s.Cautions)
	}
	if !slices.Contains(s.Cautions, "verify_with_maker") || s.Fastener.Hand == "left" && s.Cautions[0] != "left_hand_thread" {
		t.Errorf("%s: cautions %v", name, s.Cautions)
	}
	last := 0
	for _, c := range a.Cautions {
		if c.Text == "" || c.Text == c.Code || c.Severity < last {
			t.Errorf("%s: caution %+v after severity %d", name, c, last)
		}
		last = c.Severity
	}
	for _, code := range s.Cautions {
		if !slices.ContainsFunc(a.Cautions, func(c caution) bool { return c.Code == code }) {
			t.Errorf("%s: %s is not resolved", name, code)
		}
	}
	if s.ValueForm == "out_of_scope" && strings.ContainsAny(s.Display.Summary, "0123456789") {
		t.Errorf("%s: a number in %q", name, s.Display.Summary)
	}
}

func TestPlainTextPutsCautionsBeforeTheValue(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	lines := strings.Split(strings.TrimSpace(do(h, "GET", "/v1/families/pl-85/components/counter-shaft/specs/key-bolt", "Accept", "text/plain").Body.String()), "\n")
	if len(lines) < 3 || !strings.HasPrefix(lines[0], "! Left-hand thread") || !strings.Contains(lines[len(lines)-1], "22–26 N·m") {
		t.Errorf("%q", lines)
	}
}

func TestComponentHoldsEverySpecWhole(t *testing.T) {
	t.Parallel()
	h, rev := demo(t)
	for _, f := range rev.Families {
		var family struct {
			Components []struct {
				Href  string
				Specs int
			}
		}
		fetch(t, h, "/v1/families/"+f.Key, &family)
		if len(family.Components) != len(f.Components) {
			t.Fatalf("%s: %d components", f.Key, len(family.Components))
		}
		for i, c := range family.Components {
			var component struct {
				Specs []shownSpec
				Shims []struct{ Key string }
				Parts []struct{ SKU string }
			}
			fetch(t, h, c.Href, &component)
			if len(component.Specs) != c.Specs || len(component.Specs) != len(f.Components[i].Specs) ||
				len(component.Shims) != len(f.Components[i].Shims) || len(component.Parts) != len(f.Components[i].Parts) {
				t.Errorf("%s: %d specs, %d shims, %d parts", c.Href, len(component.Specs), len(component.Shims), len(component.Parts))
			}
			for _, s := range component.Specs {
				var alone specAnswer
				fetch(t, h, s.Href, &alone)
				if alone.Spec.Display.Summary != s.Display.Summary {
					t.Errorf("%s differs in its component", s.Key)
				}
			}
		}
	}
}

func TestListPagesThroughEverySpecOnce(t *testing.T) {
	t.Parallel()
	h, rev := demo(t)
	var got []spec.Key
	target := "/v1/specs?page_size=7"
	for target != "" {
		var list struct {
			Items         []shownSpec
			NextPageToken string `json:"next_page_token"`
		}
		w := do(h, "GET", target)
		if err := json.Unmarshal(w.Body.Bytes(), &list); err != nil {
			t.Fatalf("%s: %s", target, w.Body)
		}
		for _, s := range list.Items {
			got = append(got, spec.Key(s.Key))
		}
		target = ""
		if list.NextPageToken != "" {
			target = "/v1/specs?page_size=5&page_token=" + list.NextPageToken
			if link := w.Header().Get("Link"); !strings.Contains(link, list.NextPageToken) || !strings.Contains(link, `rel="next"`) {
				t.Errorf("Link is %q", link)
			}
		}
	}
	if !slices.Equal(got, rev.SpecKeys()) {
		t.Errorf("%d of %d keys: %v", len(got), len(rev.SpecKeys()), got)
	}
}

func TestListAsCSV(t *testing.T) {
	t.Parallel()
	h, rev := demo(t)
	w := do(h, "GET", "/v1/specs?format=csv&unit_system=imperial")
	rows, err := csv.NewReader(w.Body).ReadAll()
	if err != nil || len(rows) != len(rev.SpecKeys())+1 || w.Header().Get("Content-Type") != "text/csv; charset=utf-8" {
		t.Fatalf("%d rows of %d, %v, %v", len(rows), len(rev.SpecKeys()), err, w.Header())
	}
	head := rows[0]
	at := func(row []string, column string) string { return row[slices.Index(head, column)] }
	for _, row := range rows[1:] {
		if at(row, "key") != "pl-85/counter-shaft/axial-play" {
			continue
		}
		if at(row, "lower") != "0.08" || at(row, "wear_upper") != "0.50" || at(row, "unit") != "mm" || at(row, "converted_upper") != "0.0137" ||
			at(row, "converted_unit") != "in" || at(row, "cautions") != "circlip_eye_protection demo_values verify_with_maker" {
			t.Errorf("%q", row)
		}
		return
	}
	t.Error("the play of the gear stack is missing")
}

func TestNumbersKeepTheirDigits(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	body := do(h, "GET", "/v1/families/pl-85/components/counter-shaft/specs/axial-play?unit=in").Body.String()
	for _, want := range []string{`"wear_limit":{"upper":0.50}`, `"band":{"lower":0.08,"upper":0.35}`, `"max_spread":0.10`,
		`"band":{"lower":0.0032,"upper":0.0137},"target":0.0032`, `"display":{"summary":"0.08–0.35 mm, aim 0.08 mm, not below;`} {
		if !strings.Contains(body, want) {
			t.Errorf("%s is missing in %s", want, body)
		}
	}
	body = do(h, "GET", "/v1/families/pl-85/components/counter-shaft/shims/stack-shims").Body.String()
	if !strings.Contains(body, `{"thickness":1.00,"display":"1.00 mm","tolerance":{"lower":-0.02,"upper":0}`) || !strings.Contains(body, `"limit":0.10`) {
		t.Error(body)
	}
}
