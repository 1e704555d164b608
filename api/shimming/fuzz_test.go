package shimming

import (
	"errors"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/go-json-experiment/json"

	"endfloat/api/judging"
	"endfloat/api/rim"
	"endfloat/api/text"
	"endfloat/service/catalogue"
	"endfloat/service/fault"
)

// FuzzPlan sends any bytes as a request: the answer is a plan that can be written as JSON, or a fault of the caller.
func FuzzPlan(f *testing.F) {
	const one = `{"unit":"mm","caller_shims":[{"id":"s","specs":[{"id":"play","caller_spec":{"kind":"dimension","unit":"mm","band":{"lower":0.10,"upper":0.40},"target":0.2}}],` +
		`"places":[{"id":"l","max_pieces":2,"per_mm":[{"spec":"play","change":-1}]},{"id":"r","min_pieces":0,"per_mm":[{"spec":"play","change":-0.51}]}],` +
		`"ladder":[{"thickness":1.00,"tolerance":{"lower":-0.02}},{"thickness":1.05,"tolerance":0.01,"sku":"A"}],"offset":{"between":["l","r"],"limit":0.2}}],` +
		`"measured":[{"spec":"play","unit":"mm","readings":[{"value":0.5}],"instrument":{"standard_uncertainty":0.01},"expansion":{"length":80,"rise_k":70,"around_per_k":0.000023,"inside_per_k":0.0000115}}],` +
		`"fitted":[{"place":"l","pieces":[{"thickness":1.0,"measured":true,"stamped":1.01}],"fixed":[{"thickness":2}]},{"place":"r","pieces":[{"thickness":1.0,"worn":true}]}],` +
		`"offset_now":-0.03,"on_hand":[{"thickness":1.1,"count":3,"standard_uncertainty":0.003}],"max_options":3,"min_probability":0.9,"objective":"closest"}`
	f.Add([]byte(one))
	f.Add([]byte(strings.Replace(one, `"readings":[{"value":0.5}]`, `"readings":[{"blades":[{"size":0.5,"feel":"drag"},{"size":0.55,"feel":"refused"}]}]`, 1)))
	f.Add([]byte(strings.Replace(one, `"readings":[{"value":0.5}]`, `"sizes":[{"part":"a","sign":1,"readings":[{"value":41.32}]},{"part":"b","sign":-1,"readings":[{"value":41.00}]}]`, 1)))
	f.Add([]byte(strings.Replace(one, `"thickness":1.00`, `"thickness":1e-9`, 1)))
	f.Add([]byte(`{"unit":"in","shims":["a/b/c"],"measured":[]}`))
	book := text.New()
	h := New(book, judging.New(book))
	rev, err := catalogue.New("r", "2026-11-01", nil, catalogue.Defaults{})
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, body []byte) {
		r := &rim.Request{HTTP: httptest.NewRequest("POST", "/v1/shim-plans", nil), Lang: "en", Media: rim.MediaJSON, BodyMedia: rim.MediaJSON, Revision: rev, Body: body}
		reply, err := h.Plan(r)
		var fa *fault.Error
		if errors.As(err, &fa) && (fa.Kind == fault.Malformed || fa.Kind == fault.Invalid) {
			return
		}
		if err != nil {
			t.Fatal(err)
		}
		if _, err := json.Marshal(reply.Value); err != nil {
			t.Fatal(err)
		}
	})
}
