package api_test

import (
	"encoding/json"
	"strings"
	"testing"

	"endfloat/api/problem"
)

func TestProblemsSpeakTheLanguageOfTheRequest(t *testing.T) {
	t.Parallel()
	h := serve(t)
	for _, row := range []struct{ target, accept, lang, title, detail string }{
		{"/v1/families/none", "", "en", "There is no such thing here", `"none"`},
		{"/v1/families/none", "de-CH, en;q=0.5", "de", "So etwas gibt es hier nicht", `Keine Familie hat den Schlüssel "none". GET /v1/families nennt, was es gibt.`},
		{"/v1/families/none?lang=fr", "de", "fr", "Cela n'existe pas ici", `Aucune famille n'a la clé "none".`},
		{"/v1/families/pl-58?lang=it", "", "it", "Qui non esiste", `Nessuna famiglia ha la chiave "pl-58". Il più vicino è pl-85. GET /v1/families elenca ciò che esiste.`},
		{"/v1/families?lang=it&colour=red", "", "it", "La richiesta non è leggibile", "questo parametro è sconosciuto qui: toglierlo; questo indirizzo accetta revision"},
		{"/v1/families?lang=xx", "", "en", "The request cannot be read", "xx"},
		{"/v1/families?lang=xx", "fr", "fr", "La requête est illisible", "xx"},
		{"/nowhere", "es", "es", "Aquí no existe", "En esta dirección no hay nada; GET /v1 indica"},
	} {
		w := do(h, "GET", row.target, "Accept-Language", row.accept)
		var doc problem.Document
		if err := json.Unmarshal(w.Body.Bytes(), &doc); err != nil {
			t.Fatal(err)
		}
		if doc.Title != row.title || !strings.Contains(doc.Detail, row.detail) || w.Header().Get("Content-Language") != row.lang {
			t.Errorf("%s %s: %s %q %q", row.target, row.accept, w.Header().Get("Content-Language"), doc.Title, doc.Detail)
		}
	}
}

func TestRowsThatCannotBeJudgedSpeakIt(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	body := "id,spec,unit,reading_1\na,pl-85/counter-shaft/axial-play,kg,1\n"
	w := sendCSV(h, "/v1/evaluations?lang=de", body)
	if s := w.Body.String(); w.Code != 200 || !strings.Contains(s, "ist keine Einheit, die hier gelesen wird") || !strings.Contains(s, "unknown_unit") {
		t.Errorf("%d %s", w.Code, s)
	}
}

// What a plan says to measure besides is called by its name in the language, though the request is not about it.
func TestAPlanCallsEverySpecByItsName(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	const body = `{"unit":"mm","shims":["pl-85/counter-shaft/stack-shims"],"measured":[{"spec":"pl-85/counter-shaft/axial-play","unit":"mm","readings":[{"value":0.62}]}],
		"fitted":[{"place":"left","pieces":[{"thickness":1.00}]},{"place":"right","pieces":[{"thickness":1.00}]}]}`
	for lang, want := range map[string]string{"en": "Measure Width of the first gear over its faces too", "de": "Auch messen: Breite des ersten Rades über die Stirnflächen."} {
		w := send(h, "/v1/shim-plans?lang="+lang, "application/json", []byte(body))
		if s := w.Body.String(); w.Code != 200 || !strings.Contains(s, want) || strings.Contains(s, "gear face") {
			t.Errorf("%s: %d %s", lang, w.Code, s)
		}
	}
}

// Where the figure of an instrument comes from is said in the language too, with its figures as they are.
func TestInstrumentsSayTheirBasis(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	for lang, want := range map[string][]string{
		"en": {`"basis":"common practice, no source"`, `"max_spread":"a third of the band"`},
		"de": {`"basis":"allgemeine Praxis, keine Quelle"`, `"max_spread":"ein Drittel des Toleranzbereichs"`, "±6 %, wo das Werkzeug höchstens bis 10 N·m reicht"},
		"fr": {`"basis":"pratique courante, sans source"`, "ISO 6789-1:2017, type II\u00a0: ±4 %"},
		"it": {`"basis":"pratica comune, senza fonte"`},
		"es": {`"basis":"práctica común, sin fuente"`},
	} {
		body := do(h, "GET", "/v1/instruments?lang="+lang).Body.String()
		for _, w := range want {
			if !strings.Contains(body, w) {
				t.Errorf("%s has no %s: %s", lang, w, body)
			}
		}
		if lang != "en" && strings.Contains(body, "common practice") {
			t.Errorf("%s has English in it", lang)
		}
	}
}
