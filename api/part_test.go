package api_test

import (
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"testing"
)

func TestEverySKUAnswers(t *testing.T) {
	t.Parallel()
	h, rev := demo(t)
	if len(rev.SKUs()) < 5 {
		t.Fatalf("only %d SKUs", len(rev.SKUs()))
	}
	for _, sku := range rev.SKUs() {
		var a struct {
			Part struct {
				SKU, Name  string
				Fits       []struct{ Href string }
				Sizes      []struct{ Display string }
				Companions []struct{ SKU, Href string }
				Successor  struct{ SKU, Href string }
			}
			Cautions []caution
		}
		fetch(t, h, "/v1/parts/"+sku, &a)
		if a.Part.SKU != sku || a.Part.Name == "" || len(a.Part.Fits) == 0 || len(a.Cautions) == 0 {
			t.Errorf("%+v", a)
		}
		for _, f := range a.Part.Fits {
			if w := do(h, "HEAD", f.Href); w.Code != 200 {
				t.Errorf("%s fits %s, which is %d", sku, f.Href, w.Code)
			}
		}
		if s := a.Part.Successor; s.SKU != "" {
			if w := do(h, "HEAD", s.Href); w.Code != 200 || s.SKU == sku {
				t.Errorf("%s is followed by %+v: %d", sku, s, w.Code)
			}
		}
	}
	if w := do(h, "GET", "/v1/parts/PL-SH-1OO"); w.Code != 404 || !strings.Contains(w.Body.String(), "unknown_part") || !strings.Contains(w.Body.String(), "PL-SH-100") {
		t.Errorf("%d %s", w.Code, w.Body)
	}
}

// 1.10 mm are 0.04331 in: an inch is exactly 25.4 mm (NIST SP 811, appendix B.6).
func TestTheSizesOfAPartAreConvertedWithItsSpecs(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	type converted struct{ Unit, Display string }
	for query, want := range map[string][3]converted{
		"":                      {},
		"?unit=mm":              {},
		"?unit=lbf.ft":          {},
		"?unit=in":              {{"in", "0.0433 in"}, {"in", "0.0413 in"}, {"in", "0.0453 in"}},
		"?unit_system=imperial": {{"in", "0.0433 in"}, {"in", "0.0413 in"}, {"in", "0.0453 in"}},
	} {
		var a struct {
			Part struct {
				Sizes []struct {
					Display          string
					Converted        converted
					Thinner, Thicker struct{ Converted converted }
				}
			}
		}
		fetch(t, h, "/v1/parts/PL-SH-110"+query, &a)
		s := a.Part.Sizes[0]
		if got := [3]converted{s.Converted, s.Thinner.Converted, s.Thicker.Converted}; got != want || s.Display != "1.10 mm" {
			t.Errorf("%s: %+v", query, a)
		}
	}
	if w := do(h, "GET", "/v1/parts/PL-SH-110?unit=in&format=html"); !strings.Contains(w.Body.String(), "1.10 mm (0.0433 in)") {
		t.Errorf("%s", w.Body)
	}
}

type lookups struct {
	Items []struct {
		Asked, Found, Nearest string
		Spec                  shownSpec
		Part                  struct{ SKU string }
	}
	Cautions []caution
}

func checkLookups(t *testing.T, list lookups) {
	t.Helper()
	var got []string
	for _, i := range list.Items {
		got = append(got, i.Asked+" "+i.Found+" "+i.Spec.Key+i.Part.SKU+i.Nearest)
	}
	want := []string{"pl-85/counter-shaft/key-bolt spec pl-85/counter-shaft/key-bolt", "pl-85/counter-shaft/axail-play nothing pl-85/counter-shaft/axial-play",
		"PL-SH-100 part PL-SH-100", "none-such-sku nothing "}
	if !slices.Equal(got, want) {
		t.Errorf("%q", got)
	}
	if len(list.Cautions) == 0 || list.Cautions[0].Code != "left_hand_thread" {
		t.Errorf("%+v", list.Cautions)
	}
}

func TestLookupsKeepTheOrderAsked(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	var list lookups
	fetch(t, h, "/v1/lookups?key=pl-85/counter-shaft/key-bolt,%20pl-85/counter-shaft/axail-play&sku=PL-SH-100,none-such-sku", &list)
	checkLookups(t, list)
	w := post(h, "/v1/lookups", `{"keys":["pl-85/counter-shaft/key-bolt","pl-85/counter-shaft/axail-play"],"skus":["PL-SH-100","none-such-sku"]}`)
	list = lookups{}
	if err := json.Unmarshal(w.Body.Bytes(), &list); err != nil || w.Code != 200 || w.Header().Get("Cache-Control") != "no-store" {
		t.Fatalf("%d %v %s", w.Code, w.Header(), w.Body)
	}
	checkLookups(t, list)
}

// A page that draws its own card needs no table of words: they come with the values, in the language of the answer.
func TestLookupsNameTheFactsBesideAValue(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	type labels struct {
		Target    string
		WearLimit string `json:"wear_limit"`
		Source    string
	}
	for lang, want := range map[string]labels{"en": {"Aim", "Wear limit", "Source"}, "de": {"Ziel", "Verschleißgrenze", "Quelle"}} {
		var list struct{ Labels labels }
		fetch(t, h, "/v1/lookups?key=pl-85/counter-shaft/key-bolt&lang="+lang, &list)
		if list.Labels != want {
			t.Errorf("%s: %+v", lang, list.Labels)
		}
	}
}

// post sends a JSON body.
func post(h http.Handler, target, body string) *httptest.ResponseRecorder {
	r := httptest.NewRequest("POST", target, strings.NewReader(body))
	r.Header.Set("Content-Type", "application/json")
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w
}

func TestLookupsAreBounded(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	many := func(n int) string { return strings.Repeat(`"x",`, n-1) + `"x"` }
	for _, row := range []struct {
		name, method, target, body string
		status                     int
		code                       string
	}{
		{"exactly fifty in the address", "GET", "/v1/lookups?key=" + strings.Repeat("x,", 49) + "x", "", 200, ""},
		{"one more", "GET", "/v1/lookups?key=" + strings.Repeat("x,", 50) + "x", "", 400, "too_many"},
		{"nothing", "GET", "/v1/lookups", "", 400, "missing_parameter"},
		{"commas alone", "GET", "/v1/lookups?key=,,", "", 400, "missing_parameter"},
		{"exactly five hundred in a body", "POST", "/v1/lookups", `{"keys":[` + many(500) + `]}`, 200, ""},
		{"one more", "POST", "/v1/lookups", `{"keys":[` + many(250) + `],"skus":[` + many(251) + `]}`, 422, "too_many"},
		{"nothing", "POST", "/v1/lookups", `{}`, 422, "nothing_asked"},
		{"empty key", "POST", "/v1/lookups", `{"keys":[""]}`, 422, "bad_key"},
		{"unknown system", "POST", "/v1/lookups", `{"keys":["x"],"unit_system":"troy"}`, 422, "unknown_word"},
		{"unknown key of the body", "POST", "/v1/lookups", `{"key":["x"]}`, 400, "unknown_key"},
	} {
		t.Run(row.method+" "+row.name, func(t *testing.T) {
			t.Parallel()
			w := do(h, row.method, row.target)
			if row.method == "POST" {
				w = post(h, row.target, row.body)
			}
			if w.Code != row.status || !strings.Contains(w.Body.String(), row.code) {
				t.Errorf("%d %.300s", w.Code, w.Body)
			}
		})
	}
}

func TestIdentifications(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	for _, row := range []struct{ name, number, outcome, variant string }{
		{"first of a run", "PLC+1", "match", "a"},
		{"last of a run", "plc-7000", "match", "a"},
		{"first of the next", "PLC+7001", "match", "b"},
		{"a prefix that two runs share", "PLCX+5", "ambiguous", ""},
		{"before the first", "PLC+0", "not_covered", ""},
		{"no such prefix", "ZZZ+5", "none", ""},
		{"look-alike characters are no match", "PLC+7O01", "none", ""},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			var id struct {
				Outcome    string
				Candidates []struct{ Family, Variant string }
				Why        []struct{ Text string }
			}
			fetch(t, h, "/v1/identifications?engine_number="+row.number, &id)
			if id.Outcome != row.outcome || len(id.Why) == 0 || row.variant != "" && (len(id.Candidates) != 1 || id.Candidates[0].Variant != row.variant) {
				t.Errorf("%+v", id)
			}
		})
	}
	if w := do(h, "GET", "/v1/identifications"); w.Code != 400 {
		t.Errorf("without a number: %d", w.Code)
	}
}

func TestAnEngineNumberNarrows(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	const at = "/v1/families/pl-85/components/counter-shaft"
	for query, want := range map[string]string{"engine_number=ZZZ9": "engine_number_unknown", "engine_number=PLC0": "engine_number_not_covered",
		"engine_number=PLC9&variant=b": "variant_differs_from_number", "engine_number=PLC9": ""} {
		var a struct{ Warnings []struct{ Code, Text string } }
		fetch(t, h, at+"?"+query, &a)
		if want == "" && len(a.Warnings) > 0 || want != "" && (len(a.Warnings) != 1 || a.Warnings[0].Code != want || a.Warnings[0].Text == want) {
			t.Errorf("%s: %+v", query, a.Warnings)
		}
	}
	if w := do(h, "GET", at+"?engine_number=OVM1000"); w.Code != 400 || !strings.Contains(w.Body.String(), "ov-120") {
		t.Errorf("the number of another family: %d %s", w.Code, w.Body)
	}
}

// A SKU in small letters is none, and the one that is meant is named; the remedy is an address that can be fetched.
func TestASKUInSmallLettersIsNamed(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	w := do(h, "GET", "/v1/parts/pl-sh-125")
	if s := w.Body.String(); w.Code != 404 || !strings.Contains(s, "The nearest is PL-SH-125.") || strings.ContainsAny(strings.Split(s, `"detail":`)[1], "{") {
		t.Errorf("%d %s", w.Code, s)
	}
	var list struct {
		Items []struct{ Found, Nearest string }
	}
	fetch(t, h, "/v1/lookups?sku=pl-sh-125&key=PL-85/crank/side-clearance", &list)
	if len(list.Items) != 2 || list.Items[0].Nearest != "pl-85/crank/side-clearance" || list.Items[1].Nearest != "PL-SH-125" {
		t.Errorf("%+v", list.Items)
	}
}

// Where one unit is asked for and a spec measures something else, it says that it is not converted.
func TestWhatIsNotConvertedSaysSo(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	type spec struct {
		Key          string
		NotConverted string `json:"not_converted"`
		Converted    struct{ Unit string }
	}
	for target, converted := range map[string]string{"?unit=lbf.in": "lbf·in", "?unit=in": "in", "?unit_system=imperial": "lbf·ft in", "": ""} {
		var list struct{ Items []struct{ Spec spec } }
		sep := "?"
		if target != "" {
			sep = "&"
		}
		fetch(t, h, "/v1/lookups"+target+sep+"key=pl-85/counter-shaft/key-bolt,pl-85/counter-shaft/axial-play", &list)
		for _, i := range list.Items {
			says := i.Spec.NotConverted == "other_kind"
			has := i.Spec.Converted.Unit != ""
			if has && !strings.Contains(converted, i.Spec.Converted.Unit) || strings.HasPrefix(target, "?unit=") && says == has || !strings.HasPrefix(target, "?unit=") && says {
				t.Errorf("%q: %+v", target, i.Spec)
			}
		}
		if len(list.Items) != 2 {
			t.Errorf("%q: %+v", target, list)
		}
	}
	if s := do(h, "GET", "/v1/families/pl-85/components/counter-shaft?unit=in").Body.String(); !strings.Contains(s, `"not_converted":"other_kind"`) || !strings.Contains(s, `"unit":"in"`) {
		t.Errorf("a component: %s", s)
	}
}

// What has no value is absent, among the parameters of a reason too: a run without an end has none.
func TestAReasonHasNoEmptyParameter(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	for _, number := range []string{"PLC+7001", "PLC+5", "OVM+9500", "ZZ+1", "QBF+1"} {
		if s := do(h, "GET", "/v1/identifications?engine_number="+number).Body.String(); strings.Contains(s, `"value":""`) || !strings.Contains(s, `"why":`) {
			t.Errorf("%s: %s", number, s)
		}
	}
}

// What was asked for by another name than it has says which one that is, on the item: a card beside it shows nothing of it.
func TestALookUpSaysWhatItIsKnownAs(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	type item struct {
		Asked, Found string
		Warnings     []struct {
			Code, Text string
			Params     []struct{ Name, Value string }
		}
	}
	var list struct {
		Items    []item
		Warnings []struct{}
	}
	fetch(t, h, "/v1/lookups?key=pl-85/counter-shaft,PL-SH-110,no/such/key&sku=pl-85/counter-shaft/key-bolt,no-such&component=PL-SH-110", &list)
	want := map[string]string{"pl-85/counter-shaft": "component", "PL-SH-110": "sku", "pl-85/counter-shaft/key-bolt": "key"}
	for _, i := range list.Items {
		as := want[i.Asked]
		if i.Found != "nothing" || (as == "") != (len(i.Warnings) == 0) || as != "" && (i.Warnings[0].Code != "known_as" || i.Warnings[0].Params[1].Value != as) {
			t.Errorf("%+v", i)
		}
	}
	if len(list.Items) != 6 || len(list.Warnings) > 0 {
		t.Errorf("%+v", list)
	}
	posted := send(h, "/v1/lookups", "application/json", []byte(`{"keys":["pl-85/counter-shaft","PL-SH-110"]}`)).Body.String()
	if strings.Count(posted, `"known_as"`) != 1 || !strings.Contains(posted, `"value":"sku"`) {
		t.Errorf("%s", posted)
	}
}
