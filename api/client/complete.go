package client

import (
	"context"
	"net/http"
	"strings"

	"github.com/go-json-experiment/json"
)

// Complete is the keys that go on from what was written of one: families, then the components of a family, then the
// specs and sets of shims of a component. A key that may go on ends with a slash.
func (c *Client) Complete(ctx context.Context, begun string) ([]string, error) {
	parts := strings.Split(begun, "/")
	at, list := "/v1/families", "items"
	switch len(parts) {
	case 1:
	case 2:
		at, list = at+"/"+parts[0], "components"
	case 3:
		at, list = at+"/"+parts[0]+"/components/"+parts[1], "specs"
	default:
		return nil, nil
	}
	for _, p := range parts[:len(parts)-1] {
		if !slug.MatchString(p) {
			return nil, nil
		}
	}
	got, err := c.send(ctx, call{method: http.MethodGet, path: at, media: "application/json"})
	if err != nil {
		return nil, err
	}
	type keyed struct {
		Key string `json:"key"`
	}
	var doc struct {
		Items      []keyed `json:"items"`
		Components []keyed `json:"components"`
		Specs      []keyed `json:"specs"`
		Shims      []keyed `json:"shims"`
	}
	if err := json.Unmarshal(got.body, &doc); err != nil {
		return nil, err
	}
	var keys []string
	for _, k := range map[string][]keyed{"items": doc.Items, "components": doc.Components, "specs": append(doc.Specs, doc.Shims...)}[list] {
		key := k.Key
		if len(parts) < 3 {
			key += "/"
		}
		if strings.HasPrefix(key, begun) {
			keys = append(keys, key)
		}
	}
	return keys, nil
}
