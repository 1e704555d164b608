//go:build integration

package integration_test

import (
	"encoding/json"
	"fmt"
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"
)

// form is one form of one look-up, with the examples of the OpenAPI file as its parameters.
type form struct {
	target, media string
}

// openAPI is what is read of the OpenAPI file here.
type openAPI struct {
	Paths map[string]map[string]struct {
		Parameters []struct {
			Name, In string
			Example  any
		}
		Responses map[string]struct {
			Content map[string]json.RawMessage
		}
	}
}

// lookUps are all forms of all look-ups, and the methods of every path.
func (d openAPI) lookUps() (forms []form, methods map[string][]string) {
	methods = map[string][]string{}
	for path, item := range d.Paths {
		target, query := path, url.Values{}
		for _, p := range item["get"].Parameters {
			list, many := p.Example.([]any)
			switch {
			case p.In == "path":
				target = strings.ReplaceAll(target, "{"+p.Name+"}", fmt.Sprint(p.Example))
			case many:
				for _, v := range list {
					query.Add(p.Name, fmt.Sprint(v))
				}
			case p.Example != nil:
				query.Set(p.Name, fmt.Sprint(p.Example))
			}
		}
		for method := range item {
			methods[target] = append(methods[target], strings.ToUpper(method))
		}
		if len(query) > 0 {
			target += "?" + query.Encode()
		}
		for media := range item["get"].Responses["200"].Content {
			forms = append(forms, form{target, media})
		}
	}
	return forms, methods
}

func (s *service) openAPI(t *testing.T) (d openAPI) {
	t.Helper()
	if err := json.Unmarshal(send(t, plain, request(t, http.MethodGet, s.URL+"/openapi.json", "")).Body, &d); err != nil || len(d.Paths) < 30 {
		t.Fatalf("%d paths, %v", len(d.Paths), err)
	}
	return d
}

// Every form of every look-up: HEAD is GET without a body (RFC 9110, section 9.3.2), 304 has what section 15.4.5 asks
// for, compressed bytes have a tag of their own, and a browser takes no answer for anything but what it is.
func TestEveryFormKeepsTheRules(t *testing.T) {
	t.Parallel()
	s := start(t)
	forms, _ := s.openAPI(t).lookUps()
	if len(forms) < 45 {
		t.Fatalf("only %d forms", len(forms))
	}
	for _, f := range forms {
		where := f.target + " " + f.media
		tags := map[string]string{}
		for _, coding := range []string{"identity", "gzip"} {
			ask := func(method string, header ...string) answer {
				return send(t, plain, request(t, method, s.URL+f.target, "", append(header, "Accept", f.media, "Accept-Encoding", coding)...))
			}
			get := ask(http.MethodGet)
			media, charset, _ := strings.Cut(get.Header.Get("Content-Type"), ";")
			if strings.HasPrefix(f.target, "/docs/") && media != f.media { // of the kind of the file that is the example
				continue
			}
			if get.Status != http.StatusOK || media != f.media || len(get.Body) == 0 {
				t.Fatalf("%s: %d %v", where, get.Status, get.Header)
			}
			tag := get.Header.Get("ETag")
			if tag == "" || strings.HasPrefix(tag, "W/") {
				t.Errorf("%s: the tag is %q", where, tag)
			}
			tags[get.Header.Get("Content-Encoding")] = tag
			harmless(t, where, media, charset, get.Header)
			head := ask(http.MethodHead)
			get.Header.Del("Date")
			head.Header.Del("Date")
			if head.Status != get.Status || len(head.Body) > 0 || !maps.EqualFunc(head.Header, get.Header, slices.Equal[[]string]) {
				t.Errorf("%s, %s: HEAD has %v, GET %v", where, coding, head.Header, get.Header)
			}
			same := ask(http.MethodGet, "If-None-Match", `"other", `+tag)
			for _, name := range []string{"ETag", "Cache-Control", "Vary", "Content-Location", "Expires"} {
				if same.Header.Get(name) != get.Header.Get(name) {
					t.Errorf("%s: 304 has %s %q, 200 %q", where, name, same.Header.Get(name), get.Header.Get(name))
				}
			}
			if same.Status != http.StatusNotModified || len(same.Body) > 0 || same.Header.Get("Content-Type") != "" {
				t.Errorf("%s: %d %v", where, same.Status, same.Header)
			}
		}
		if packed, ok := tags["gzip"]; ok && packed == tags[""] {
			t.Errorf("%s: compressed or not, the tag is %s", where, packed)
		}
	}
}

// harmless holds an answer to what keeps it so in a browser: text says its charset, what is no JSON is not sniffed, and
// a document that is drawn may neither run nor load anything, but for the page that is there to run.
func harmless(t *testing.T, where, media, charset string, h http.Header) {
	t.Helper()
	policy := h.Get("Content-Security-Policy")
	switch media {
	case "text/html", "image/svg+xml":
		if !strings.HasPrefix(policy, "default-src 'none'; ") || strings.Contains(policy, "unsafe") || !strings.Contains(policy, "base-uri 'none'") ||
			!strings.HasSuffix(policy, "; sandbox") && !strings.HasPrefix(where, "/docs ") {
			t.Errorf("%s: policy %q", where, policy)
		}
	case "application/linkset+json":
		if charset != ` profile="https://www.rfc-editor.org/info/rfc9727"` { // RFC 9727, section 4.2
			t.Errorf("%s: profile %q", where, charset)
		}
	}
	if strings.HasPrefix(media, "text/") && media != "text/javascript" && charset != " charset=utf-8" {
		t.Errorf("%s: charset %q", where, charset)
	}
	if !strings.HasSuffix(media, "json") && h.Get("X-Content-Type-Options") != "nosniff" {
		t.Errorf("%s may be sniffed: %v", where, h)
	}
	if h.Get("Access-Control-Allow-Origin") != "*" || h.Get("Set-Cookie") != "" {
		t.Errorf("%s: %v", where, h)
	}
}

// Every path names the methods that it answers, in 405 and in OPTIONS alike (RFC 9110, sections 9.3.7 and 15.5.6), and
// to nothing else.
func TestEveryPathNamesItsMethods(t *testing.T) {
	t.Parallel()
	s := start(t)
	_, methods := s.openAPI(t).lookUps()
	for path, list := range methods {
		want := slices.Clone(list)
		if slices.Contains(want, http.MethodGet) {
			want = append(want, http.MethodHead)
		}
		want = append(want, http.MethodOptions)
		slices.Sort(want)
		for _, method := range []string{http.MethodOptions, http.MethodDelete, http.MethodPut, http.MethodTrace, "BREW", http.MethodGet, http.MethodPost, http.MethodHead} {
			if method != http.MethodOptions && slices.Contains(want, method) {
				continue
			}
			got := send(t, plain, request(t, method, s.URL+path, ""))
			allow := strings.Split(got.Header.Get("Allow"), ", ")
			slices.Sort(allow)
			status := http.StatusMethodNotAllowed
			if method == http.MethodOptions {
				status = http.StatusNoContent
			}
			if got.Status != status || !slices.Equal(allow, want) {
				t.Errorf("%s %s: %d, allows %q, want %q", method, path, got.Status, allow, want)
			}
		}
	}
}
