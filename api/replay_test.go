package api_test

import (
	"log/slog"
	"net/http/httptest"
	"strings"
	"testing"

	"endfloat/api"
	"endfloat/service/catalogue"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// A review is overdue by the date of the revision: the clock of the day on which the question is asked changes nothing.
func TestOverdueByTheDateOfTheRevision(t *testing.T) {
	t.Parallel()
	for date, overdue := range map[string]bool{"2020-05-01": false, "2020-05-02": true, "1990-01-01": false} {
		s := &spec.Spec{Key: "f/c/s", Kind: spec.Dimension, Unit: quantity.Millimetre, Decimals: 2, Name: spec.English("play"),
			Band:   quantity.Between(quantity.MustParse("0.10"), quantity.MustParse("0.40")),
			Source: &spec.Source{Class: "demo", Title: "invented", Reviewed: "2019-05-01", ReviewBy: "2020-05-01"}}
		f := &catalogue.Family{Key: "f", Name: spec.English("F"), Components: []*catalogue.Component{{Key: "c", Name: spec.English("C"), Specs: []*catalogue.Entry{{Base: s}}}}}
		rev, err := catalogue.New("r-"+date, date, []*catalogue.Family{f}, catalogue.Defaults{})
		if err != nil {
			t.Fatal(err)
		}
		h, err := api.New(api.Deps{Catalogue: one{rev}, Log: slog.New(slog.DiscardHandler), Version: "test"}, api.Config{})
		if err != nil {
			t.Fatal(err)
		}
		r := httptest.NewRequest("GET", "/v1/families/f/components/c/specs/s/verdict?value=0.2&unit=mm&standard_uncertainty=0.01", nil)
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		if w.Code != 200 || strings.Contains(w.Body.String(), "source_overdue") != overdue {
			t.Errorf("revision of %s: %d %s", date, w.Code, w.Body)
		}
	}
}

// A note may have 2,000 characters, whatever their bytes.
func TestNotesAreCountedInCharacters(t *testing.T) {
	t.Parallel()
	h := serve(t)
	for n, status := range map[int]int{2000: 200, 2001: 422} {
		body := `{"note":"` + strings.Repeat("ü", n) + `","checks":[]}`
		r := httptest.NewRequest("POST", "/v1/evaluations", strings.NewReader(body))
		r.Header.Set("Content-Type", "application/json")
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		if w.Code != status {
			t.Errorf("%d characters: %d %s", n, w.Code, w.Body)
		}
	}
}
