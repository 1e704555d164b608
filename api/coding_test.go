package api_test

import (
	"compress/gzip"
	"io"
	"net/http"
	"net/http/httptest"
	"strconv"
	"strings"
	"testing"
)

func unpacked(t *testing.T, w *httptest.ResponseRecorder) string {
	t.Helper()
	z, err := gzip.NewReader(w.Body)
	if err != nil {
		t.Fatal(err)
	}
	text, err := io.ReadAll(z)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// Each coding of an answer has a strong tag of its own (RFC 9110, section 8.8.3.3), and a condition holds for the one
// that is asked for.
func TestEachCodingHasItsTag(t *testing.T) {
	t.Parallel()
	h, _ := bare(t)
	for _, target := range []string{"/v1/families/pl-85/components/counter-shaft", "/v1/specs?format=csv", "/docs/swagger-ui-bundle.js", "/openapi.json", "/embed/v1/spec-card.js"} {
		plain, packed := do(h, "GET", target), do(h, "GET", target, "Accept-Encoding", "gzip, deflate, br, zstd")
		if plain.Code != 200 || packed.Code != 200 || plain.Header().Get("Content-Encoding") != "" || packed.Header().Get("Content-Encoding") != "gzip" {
			t.Fatalf("%s: %v %v", target, plain.Header(), packed.Header())
		}
		if plain.Header().Get("Vary") != packed.Header().Get("Vary") || !strings.HasSuffix(plain.Header().Get("Vary"), "Accept-Encoding") {
			t.Errorf("%s varies by %q and %q", target, plain.Header().Get("Vary"), packed.Header().Get("Vary"))
		}
		was, is := plain.Header().Get("ETag"), packed.Header().Get("ETag")
		if was == is || strings.HasPrefix(is, "W/") || packed.Body.Len() > plain.Body.Len()*3/5 {
			t.Errorf("%s: tags %s and %s, %d and %d bytes", target, was, is, plain.Body.Len(), packed.Body.Len())
		}
		if n := packed.Header().Get("Content-Length"); n != "" && n != strconv.Itoa(packed.Body.Len()) {
			t.Errorf("%s: Content-Length %s of %d", target, n, packed.Body.Len())
		}
		for _, row := range []struct {
			name, coding, match string
			status              int
		}{
			{"its own", "gzip", is, 304}, {"its own as it is", "", was, 304}, {"that of the other", "gzip", was, 200},
			{"that of the other as it is", "identity", is, 200}, {"both", "gzip", was + ", " + is, 304},
		} {
			w := do(h, "GET", target, "Accept-Encoding", row.coding, "If-None-Match", row.match)
			if w.Code != row.status || w.Code == 304 && (w.Body.Len() > 0 || !strings.Contains(row.match, w.Header().Get("ETag"))) {
				t.Errorf("%s, %s: %d %v", target, row.name, w.Code, w.Header())
			}
		}
		if unpacked(t, packed) != plain.Body.String() {
			t.Errorf("%s: not the same text", target)
		}
		head := do(h, "HEAD", target, "Accept-Encoding", "gzip")
		if head.Header().Get("ETag") != is || head.Header().Get("Content-Encoding") != "gzip" || head.Header().Get("Content-Length") != packed.Header().Get("Content-Length") {
			t.Errorf("%s: HEAD %v", target, head.Header())
		}
	}
}

// A cache keys what it holds by the Vary of an address: it must be the same in every form, size and coding, and beside a
// 304 (RFC 9110, section 12.5.5).
func TestAnAddressVariesByTheSameWhateverItAnswers(t *testing.T) {
	t.Parallel()
	h, _ := bare(t)
	for _, route := range lookUps(t) {
		target, seen := concrete(route.Path), map[string]bool{}
		for _, media := range route.Media {
			for _, coding := range []string{"", "gzip"} {
				for _, lang := range []string{"", "de"} {
					w := do(h, "GET", target, "Accept", media, "Accept-Encoding", coding, "Accept-Language", lang)
					again := do(h, "GET", target, "Accept", media, "Accept-Encoding", coding, "Accept-Language", lang, "If-None-Match", w.Header().Get("ETag"))
					if again.Code != 304 {
						t.Errorf("%s: %d", target, again.Code)
					}
					seen[w.Header().Get("Vary")], seen[again.Header().Get("Vary")] = true, true
				}
			}
		}
		if len(seen) != 1 {
			t.Errorf("%s varies by %v", target, seen)
		}
	}
}

func TestSmallAnswersAreNeverCompressed(t *testing.T) {
	t.Parallel()
	h, _ := bare(t)
	w := do(h, "GET", benchTarget, "Accept-Encoding", "gzip")
	if w.Code != 200 || w.Body.Len() > 4096 || w.Header().Get("Content-Encoding") != "" || strings.Contains(w.Header().Get("Vary"), "Encoding") {
		t.Errorf("%d bytes, %v", w.Body.Len(), w.Header())
	}
}

func TestComputedAnswersAreCompressedWhereTheyAreLong(t *testing.T) {
	t.Parallel()
	h, _ := bare(t)
	post := func(checks int, coding string) *httptest.ResponseRecorder {
		const check = `{"spec":"pl-85/counter-shaft/axial-play","unit":"mm","readings":[{"value":0.15}]}`
		r := httptest.NewRequest(http.MethodPost, "/v1/evaluations", strings.NewReader(`{"checks":[`+check+strings.Repeat(","+check, checks-1)+`]}`))
		r.Header.Set("Content-Type", "application/json")
		r.Header.Set("Accept-Encoding", coding)
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		return w
	}
	if few := post(1, "gzip"); few.Code != 200 || few.Header().Get("Content-Encoding") != "" || few.Header().Get("Vary") != "" {
		t.Errorf("%d %v", few.Code, few.Header())
	}
	plain, packed := post(50, ""), post(50, "gzip")
	if plain.Header().Get("Vary") != "Accept-Encoding" || packed.Header().Get("Content-Encoding") != "gzip" || packed.Header().Get("Cache-Control") != "no-store" {
		t.Errorf("%v", packed.Header())
	}
	if packed.Body.Len() > plain.Body.Len()/4 || unpacked(t, packed) != plain.Body.String() {
		t.Errorf("%d of %d bytes", packed.Body.Len(), plain.Body.Len())
	}
}
