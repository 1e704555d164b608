package api_test

import (
	"bytes"
	"encoding/json"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"testing"

	"endfloat/api"
	"endfloat/specdb"
)

// unchecked is the demo with a key that signs, without the OpenAPI file beside it.
func unchecked(tb testing.TB) http.Handler {
	tb.Helper()
	source, err := specdb.Embedded()
	if err != nil {
		tb.Fatal(err)
	}
	h, err := api.New(api.Deps{Catalogue: source, Log: slog.New(slog.DiscardHandler), Version: "test", Signing: signingKeys(tb, "private.pem")}, api.Config{})
	if err != nil {
		tb.Fatal(err)
	}
	return h
}

func send(h http.Handler, target, media string, body []byte) *httptest.ResponseRecorder {
	r := httptest.NewRequest("POST", target, bytes.NewReader(body))
	r.Header.Set("Content-Type", media)
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w
}

// holds checks what is true of every sheet that was accepted: its counts sum, and what was signed is valid.
func holds(t *testing.T, h http.Handler, body []byte) {
	t.Helper()
	var a sheetAnswer
	if err := json.Unmarshal(body, &a); err != nil {
		t.Fatal(err)
	}
	s := a.Outcome.Summary
	if s["pass"]+s["conditional_pass"]+s["conditional_fail"]+s["fail"]+s["not_judged"] != s["lines"] {
		t.Errorf("%+v", s)
	}
	if a.Outcome.Verdict == "pass" && (s["estimated"] > 0 || s["missing"] > 0 || s["problems"] > 0) {
		t.Errorf("a pass over %+v", s)
	}
	token, _ := json.Marshal(a.Signed)
	w := send(h, "/v1/sheets/verify", "application/json", []byte(`{"signed":`+string(token)+`}`))
	if w.Code != http.StatusOK || !bytes.Contains(w.Body.Bytes(), []byte(`"valid":true`)) {
		t.Errorf("%d %s", w.Code, w.Body)
	}
}

func FuzzSheet(f *testing.F) {
	h := unchecked(f)
	f.Add([]byte(example(f)))
	f.Add([]byte(`{"lines":[{"spec":"pl-85/flywheel/air-gap","unit":"mm","as_built":{"readings":[{"blades":[{"size":0.3,"feel":"drag"}]}]},"at":"2026-02-30"}]}`))
	f.Add([]byte(`{"family":"qb-270","lines":[{"spec":"qb-270/valves/inlet","unit":"mm","as_found":{"readings":[{"value":"0,13"}]},"shims_after":[]}]}`))
	f.Add([]byte(`{"family":"ov-120","lines":[{"spec":"ov-120/wheel-carrier/float","unit":"in","shims_before":[{"place":"mesh-side","thickness":1e-9}]}]}`))
	f.Add([]byte(`{"lines":null}`))
	f.Fuzz(func(t *testing.T, body []byte) {
		switch w := send(h, "/v1/sheets", "application/json", body); {
		case w.Code == http.StatusOK:
			holds(t, h, w.Body.Bytes())
			if page := send(h, "/v1/sheets?format=html", "application/json", body); page.Code != http.StatusOK || bytes.Contains(page.Body.Bytes(), []byte("<script")) {
				t.Errorf("%d %s", page.Code, page.Body)
			}
		case w.Code >= 500:
			t.Errorf("%d %s", w.Code, w.Body)
		}
	})
}

func FuzzSheetTable(f *testing.F) {
	h := unchecked(f)
	f.Add([]byte("spec,unit,as_built_1,at\npl-85/flywheel/air-gap,mm,0.30:drag 0.35:forced,2026-11-20\n"))
	f.Add([]byte("id,spec,unit,as_found_1,shims_before,renewed\n1,pl-85/counter-shaft/axial-play,mm,0.62,left:1.00 right:1,PL-CIR-20\n"))
	f.Add([]byte("spec,note\n\"=1\",'=1\n"))
	f.Add([]byte("\ufeffspec,hours\npl-85/flywheel/air-gap,1\n\n,\n"))
	f.Fuzz(func(t *testing.T, body []byte) {
		switch w := send(h, "/v1/sheets?format=json", "text/csv", body); {
		case w.Code == http.StatusOK:
			var a sheetAnswer
			if err := json.Unmarshal(w.Body.Bytes(), &a); err != nil {
				t.Fatal(err)
			}
		case w.Code >= 500:
			t.Errorf("%d %s", w.Code, w.Body)
		}
	})
}

func FuzzVerify(f *testing.F) {
	h := unchecked(f)
	f.Add("", []byte(`{"lines":[]}`))
	f.Add("a.b.c", []byte(example(f)))
	f.Add("eyJhbGciOiJub25lIn0.e30.", []byte(`{"lines":[{"spec":"x"},{"spec":"x"}]}`))
	f.Fuzz(func(t *testing.T, token string, sheet []byte) {
		text, err := json.Marshal(token)
		if err != nil {
			return
		}
		w := send(h, "/v1/sheets/verify", "application/json", []byte(`{"signed":`+string(text)+`,"sheet":`+string(sheet)+`}`))
		if w.Code >= 500 || bytes.Contains(w.Body.Bytes(), []byte(`"valid":true`)) {
			t.Errorf("%d %s", w.Code, w.Body)
		}
	})
}
