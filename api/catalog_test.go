package api_test

import (
	"encoding/json"
	"net/http"
	"strings"
	"testing"

	"endfloat/api/face"
)

// Whatever the link set names is answered in the form that it names.
func TestTheLinkSetLeadsToWhatItNames(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	w := do(h, http.MethodGet, "/.well-known/api-catalog")
	var set face.Linkset
	if err := json.Unmarshal(w.Body.Bytes(), &set); err != nil || !strings.HasPrefix(w.Header().Get("Content-Type"), "application/linkset+json") {
		t.Fatalf("%v %s", err, w.Body)
	}
	for _, c := range set.Linkset {
		for _, list := range [][]face.LinkTarget{c.Item, c.ServiceDesc, c.ServiceDoc, c.ServiceMeta, c.Status} {
			for _, l := range list {
				a := do(h, http.MethodGet, l.Href, "Accept", l.Type)
				if media, _, _ := strings.Cut(a.Header().Get("Content-Type"), ";"); a.Code != http.StatusOK || media != l.Type {
					t.Errorf("%+v: %d %s", l, a.Code, media)
				}
			}
		}
	}
}
