package api_test

import (
	"fmt"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"os"
	"strings"
	"testing"

	"endfloat/api"
	"endfloat/api/signature"
	"endfloat/service/catalogue"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// held is a catalogue of one revision.
type heldRevision struct{ rev *catalogue.Revision }

func (h heldRevision) Current() *catalogue.Revision               { return h.rev }
func (h heldRevision) At(name string) (*catalogue.Revision, bool) { return h.rev, name == h.rev.Name }
func (h heldRevision) Held() []string                             { return []string{h.rev.Name} }

// longSheet is a service whose one family has n lines, half of them torques, and its filled sheet.
func longSheet(tb testing.TB, n int) (http.Handler, string) {
	tb.Helper()
	c := &catalogue.Component{Key: "stack", Name: spec.English("Stack"), Gate: catalogue.CasesClose}
	var lines []string
	for i := range n {
		s := &spec.Spec{Key: spec.Key(fmt.Sprintf("long/stack/line-%d", i)), Name: spec.English(fmt.Sprintf("Line %d", i)), Decimals: 2,
			Kind: spec.Dimension, Unit: quantity.Millimetre, Band: quantity.Between(quantity.MustParse("0.08"), quantity.MustParse("0.35")),
			Source: &spec.Source{Class: "demo", Title: "made for the test"}}
		if i%2 == 1 {
			s.Kind, s.Unit, s.Decimals = spec.Torque, quantity.NewtonMetre, 0
			s.Band = quantity.Between(quantity.MustParse("22"), quantity.MustParse("26"))
			s.Fastener = &spec.Fastener{Thread: "M8x1.25", Count: 3}
			lines = append(lines, fmt.Sprintf(`{"id":"%d","spec":"%s","unit":"N.m","as_built":{"readings":[{"value":24},{"value":24.2},{"value":23.8}],"instrument":{"kind":"click_wrench"}},"by":"bench 3","at":"2026-11-20"}`, i, s.Key))
		} else {
			s.WearLimit = quantity.Range{Upper: quantity.MustParse("0.50"), HasUpper: true}
			lines = append(lines, fmt.Sprintf(`{"id":"%d","spec":"%s","unit":"mm","as_found":{"readings":[{"value":0.4%d},{"value":0.41}],"instrument":{"kind":"dial"}},"as_built":{"readings":[{"value":0.1%d},{"value":0.15}],"instrument":{"kind":"dial"}},"by":"bench 3","at":"2026-11-20"}`, i, s.Key, i%10, i%10))
		}
		c.Specs = append(c.Specs, &catalogue.Entry{Base: s})
	}
	_, demoRev := bare(tb)
	rev, err := catalogue.New("r-long", "2026-11-01", []*catalogue.Family{{Key: "long", Name: spec.English("Long"), Components: []*catalogue.Component{c}}}, demoRev.Defaults)
	if err != nil {
		tb.Fatal(err)
	}
	h, err := api.New(api.Deps{Catalogue: heldRevision{rev}, Log: slog.New(slog.DiscardHandler), Version: "test", Signing: signingKeys(tb, "private.pem")}, api.Config{})
	if err != nil {
		tb.Fatal(err)
	}
	return h, `{"family":"long","lines":[` + strings.Join(lines, ",") + `]}`
}

func signingKeys(tb testing.TB, file string) signature.Keys {
	tb.Helper()
	text, err := os.ReadFile("signature/testdata/" + file)
	if err != nil {
		tb.Fatal(err)
	}
	keys, err := signature.Parse(text)
	if err != nil {
		tb.Fatal(err)
	}
	return keys
}

func BenchmarkSheet(b *testing.B) {
	for _, n := range []int{50, 200, 800} {
		h, body := longSheet(b, n)
		for _, media := range []string{"application/json", "text/html", "text/csv"} {
			b.Run(fmt.Sprintf("%d lines as %s", n, media), func(b *testing.B) {
				b.ReportAllocs()
				defer perProcessor(b, n)()
				size := 0
				for b.Loop() {
					r := httptest.NewRequest("POST", "/v1/sheets", strings.NewReader(body))
					r.Header.Set("Content-Type", "application/json")
					r.Header.Set("Accept", media)
					w := &sink{header: make(http.Header)}
					h.ServeHTTP(w, r)
					if w.status != http.StatusOK {
						b.Fatal(w.status)
					}
					size = w.bytes
				}
				b.ReportMetric(float64(size)/float64(n), "B/line")
			})
		}
	}
}
