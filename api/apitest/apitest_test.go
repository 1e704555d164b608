package apitest_test

import (
	"errors"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"endfloat/api/apitest"
)

const file = `{"openapi":"3.0.3","info":{"title":"t","version":"1"},"servers":[{"url":"/"}],"paths":{
 "/things/{key}":{"get":{"parameters":[{"name":"key","in":"path","required":true,"schema":{"type":"string"}},
  {"name":"size","in":"query","schema":{"type":"integer"}}],
  "responses":{"200":{"description":"a thing","headers":{"ETag":{"required":true,"schema":{"type":"string"}}},
   "content":{"application/json":{"schema":{"$ref":"#/components/schemas/Thing"}},"text/csv":{"schema":{"type":"string"}}}},
   "304":{"description":"same"},
   "400":{"description":"bad","content":{"application/problem+json":{"schema":{"$ref":"#/components/schemas/Problem"}}}}}}}},
 "components":{"schemas":{
  "Thing":{"type":"object","required":["size"],"properties":{"size":{"type":"number"}}},
  "Problem":{"type":"object","required":["status"],"properties":{"status":{"type":"integer"}}}}}}`

func TestCheck(t *testing.T) {
	t.Parallel()
	f, err := apitest.Read([]byte(file))
	if err != nil {
		t.Fatal(err)
	}
	tagged := map[string]string{"Content-Type": "application/json", "ETag": `"1"`}
	problem := map[string]string{"Content-Type": "application/problem+json"}
	for _, row := range []struct {
		name, method, target string
		status               int
		header               map[string]string
		body                 string
		want                 error
	}{
		{"fits", "GET", "/things/a", 200, tagged, `{"size":1}`, nil},
		{"field without a name in the file", "GET", "/things/a", 200, tagged, `{"size":1,"colour":"red"}`, apitest.ErrAnswer},
		{"missing field", "GET", "/things/a", 200, tagged, `{}`, apitest.ErrAnswer},
		{"wrong type", "GET", "/things/a", 200, tagged, `{"size":"1"}`, apitest.ErrAnswer},
		{"missing header field", "GET", "/things/a", 200, map[string]string{"Content-Type": "application/json"}, `{"size":1}`, apitest.ErrAnswer},
		{"media type of the file", "GET", "/things/a", 200, map[string]string{"Content-Type": "text/csv; charset=utf-8", "ETag": `"1"`}, "size\n1\n", nil},
		{"media type without a place in the file", "GET", "/things/a", 200, map[string]string{"Content-Type": "text/html", "ETag": `"1"`}, "<p>", apitest.ErrAnswer},
		{"status without a place in the file", "GET", "/things/a", 418, problem, `{"status":418}`, apitest.ErrAnswer},
		{"refused request need not fit", "GET", "/things/a?size=red", 400, problem, `{"status":400}`, nil},
		{"accepted request must fit", "GET", "/things/a?size=red", 200, tagged, `{"size":1}`, apitest.ErrRequest},
		{"not modified", "GET", "/things/a", 304, nil, "", nil},
		{"not modified with a body", "GET", "/things/a", 304, nil, "x", apitest.ErrAnswer},
		{"head", "HEAD", "/things/a", 200, tagged, "", nil},
		{"address outside the file, refused", "GET", "/other", 404, problem, `{"status":404}`, nil},
		{"address outside the file, refused in another form", "GET", "/other", 404, map[string]string{"Content-Type": "text/plain"}, `no`, apitest.ErrAnswer},
		{"address outside the file, answered", "GET", "/other", 200, tagged, `{}`, apitest.ErrUndocumented},
		{"method outside the file, refused", "POST", "/things/a", 405, problem, `{"status":405}`, nil},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			h := http.Header{}
			for k, v := range row.header {
				h.Set(k, v)
			}
			err := f.Check(apitest.Exchange{Request: httptest.NewRequest(row.method, row.target, http.NoBody),
				Status: row.status, Header: h, Body: []byte(row.body)})
			if !errors.Is(err, row.want) {
				t.Errorf("got %v, want %v", err, row.want)
			}
		})
	}
}

// The wrapped handler hands on what the inner one answers.
func TestHandlerPassesThrough(t *testing.T) {
	t.Parallel()
	f, err := apitest.Read([]byte(file))
	if err != nil {
		t.Fatal(err)
	}
	inner := http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "application/json")
		w.Header().Set("ETag", `"1"`)
		_, _ = w.Write([]byte(`{"size":1}`))
	})
	srv := httptest.NewServer(f.Handler(t, inner))
	t.Cleanup(srv.Close)
	client := &http.Client{Transport: f.Transport(t, nil)}
	res, err := client.Get(srv.URL + "/things/a")
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	var b strings.Builder
	if err := res.Write(&b); err != nil {
		t.Fatal(err)
	}
	if !strings.HasSuffix(b.String(), `{"size":1}`) || res.Header.Get("ETag") != `"1"` {
		t.Errorf("got %s", b.String())
	}
	if ops := f.Operations(); len(ops) != 1 || ops[0] != "GET /things/{key}" {
		t.Errorf("operations %v", ops)
	}
}
