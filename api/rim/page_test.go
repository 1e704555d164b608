package rim_test

import (
	"net/http/httptest"
	"strconv"
	"strings"
	"sync"
	"testing"

	"endfloat/api/rim"
)

// tag is the entity tag of a page as it is, without a content coding.
func tag(p *rim.Page) string {
	w := httptest.NewRecorder()
	p.Serve(w, httptest.NewRequest("GET", "/", nil))
	return w.Header().Get("ETag")
}

func TestTheTagFollowsBytesAndIdentity(t *testing.T) {
	t.Parallel()
	base := tag(rim.PageOf(rim.Coding{}, []byte("{}"), "r-1 json en"))
	if same := tag(rim.PageOf(rim.Coding{}, []byte("{}"), "r-1 json en")); same != base || !strings.HasPrefix(base, `"`) || !strings.HasSuffix(base, `"`) {
		t.Errorf("%s and %s", base, same)
	}
	for _, other := range []*rim.Page{rim.PageOf(rim.Coding{}, []byte("{} "), "r-1 json en"), rim.PageOf(rim.Coding{}, []byte("{}"), "r-2 json en"), rim.PageOf(rim.Coding{}, []byte("n{}"), "r-1 json e")} {
		if tag(other) == base {
			t.Errorf("the tag %s stands for two pages", base)
		}
	}
}

func TestConditionalRequests(t *testing.T) {
	t.Parallel()
	page := rim.PageOf(rim.Coding{}, []byte("hello"), "x", rim.Header{Name: "Content-Type", Value: "text/plain"}, rim.Header{Name: "Vary", Value: ""})
	for _, row := range []struct {
		name, match string
		status      int
	}{
		{"no condition", "", 200}, {"the tag", tag(page), 304}, {"weak comparison (RFC 9110, section 8.8.3.2)", "W/" + tag(page), 304},
		{"in a list", `"a", ` + tag(page) + `, "b"`, 304}, {"star", "*", 304}, {"another", `"a"`, 200}, {"without quotes", strings.Trim(tag(page), `"`), 200},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			r := httptest.NewRequest("GET", "/", nil)
			if row.match != "" {
				r.Header.Set("If-None-Match", row.match)
			}
			w := httptest.NewRecorder()
			page.Serve(w, r)
			if w.Code != row.status || w.Header().Get("ETag") != tag(page) || (w.Body.Len() == 0) != (row.status == 304) {
				t.Errorf("%d %v %q", w.Code, w.Header(), w.Body)
			}
			if _, empty := w.Header()["Vary"]; empty || row.status == 304 && w.Header().Get("Content-Type") != "" {
				t.Errorf("%v", w.Header())
			}
		})
	}
}

func TestPagesAreBoundedAndShared(t *testing.T) {
	t.Parallel()
	pages := rim.NewPages()
	page := rim.PageOf(rim.Coding{}, []byte("x"), "x")
	var wg sync.WaitGroup
	for i := range 8 {
		wg.Go(func() {
			for n := range 4000 {
				uri := "/" + strconv.Itoa(i) + "/" + strconv.Itoa(n)
				pages.Put(uri, "json", "en", page)
				if got := pages.Get(uri, "json", "en"); got != nil && got != page {
					t.Error("another page")
				}
			}
		})
	}
	wg.Wait()
	if pages.Get("/0/3999", "json", "de") != nil {
		t.Error("a page of another language")
	}
	pages.Put(strings.Repeat("x", 5000), "json", "en", page)
	if pages.Get(strings.Repeat("x", 5000), "json", "en") != nil {
		t.Error("an address without bound was kept")
	}
}
