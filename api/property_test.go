package api_test

import (
	"net/http/httptest"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"endfloat/api/apitest"
)

// Whatever is sent to an operation, the answer is one that the file has, a fault of ours never, and what was accepted
// fits the file.
func TestAnythingIsAnsweredAsTheFileSays(t *testing.T) {
	t.Parallel()
	h, _ := bare(t)
	file := apitest.Current(t)
	operations := file.Operations()
	slices.Sort(operations)
	for _, operation := range operations {
		t.Run(operation, func(t *testing.T) {
			t.Parallel()
			samples := file.Samples(operation)
			rapid.Check(t, func(t *rapid.T) {
				s := samples.Draw(t, "request")
				w := httptest.NewRecorder()
				h.ServeHTTP(w, s.Request())
				if w.Code >= 500 {
					t.Fatalf("%s %s was answered with %d: %s\n%s", s.Method, s.Target, w.Code, w.Body, s.Body)
				}
				if err := file.Check(apitest.Exchange{Request: s.Request(), Sent: s.Body, Status: w.Code, Header: w.Header(), Body: w.Body.Bytes()}); err != nil {
					t.Fatalf("%v\nsent %s\nanswered %d %s", err, s.Body, w.Code, w.Body)
				}
			})
		})
	}
}
