//go:build integration

package integration_test

import (
	"encoding/json"
	"net/http"
	"slices"
	"testing"
)

func asJSON(t *testing.T, s *service, path string, into any) {
	t.Helper()
	a := send(t, s.caller(t), request(t, http.MethodGet, s.URL+path, ""))
	if a.Status != http.StatusOK {
		t.Fatalf("%s: %d %s", path, a.Status, a.Body)
	}
	if err := json.Unmarshal(a.Body, into); err != nil {
		t.Fatal(err)
	}
}

// apiText is what the service says for one card.
type apiText struct {
	Items []struct {
		Spec struct {
			Alternatives []struct {
				Name    string
				Display apiDisplay
			}
		}
	}
	Specs []struct {
		Name      string
		Display   apiDisplay
		Converted struct{ Display apiDisplay }
	}
	Cautions []struct{ Text string }
}

type apiDisplay struct {
	Band      string
	Target    string
	WearLimit string `json:"wear_limit"`
	Hand      string
}

// componentText asks for the component of the last card of part.html.
func componentText(t *testing.T, s *service, query string) (a apiText) {
	t.Helper()
	asJSON(t, s, "/v1/families/pl-85/components/selector?"+query, &a)
	return a
}

// holds fails unless a card shows what the service says, value by value.
func (c shopCard) holds(t *testing.T, what string, a apiText, converted bool) {
	t.Helper()
	var values, names []string
	for _, s := range a.Specs {
		d := s.Display
		if converted && s.Converted.Display != (apiDisplay{}) {
			d = s.Converted.Display
		}
		value := d.Band
		if value == "" {
			value = d.WearLimit
		}
		values, names = append(values, value), append(names, s.Name)
		for _, fact := range []string{d.Target, d.WearLimit} {
			if fact != "" && fact != value && !slices.Contains(c.Facts, fact) {
				t.Errorf("%s: %q is missing in %q", what, fact, c.Facts)
			}
		}
	}
	if len(values) == 0 || !slices.Equal(values, c.Values) {
		t.Errorf("%s shows %q, the service says %q", what, c.Values, values)
	}
	if !slices.Equal(c.Names, names) {
		t.Errorf("%s names %q, the service %q", what, c.Names, names)
	}
	for _, caution := range a.Cautions {
		if !slices.Contains(c.Cautions, caution.Text) {
			t.Errorf("%s does not say %q", what, caution.Text)
		}
	}
}
