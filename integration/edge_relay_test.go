//go:build integration

package integration_test

import (
	"context"
	"net/http"
	"net/http/httptest"
	"net/http/httputil"
	"net/url"
	"strings"
	"sync"
	"testing"
)

// relay stands between an edge and a replica: it notes what the replica is asked, and may let answers age faster.
type relay struct {
	*httptest.Server
	mu    sync.Mutex
	age   string // replaces Cache-Control of what may be kept; empty: as it came
	asked []*seen
}

// seen is a request that reached a replica, with the status of its answer.
type seen struct {
	Line   string // method and target as they came
	Host   string
	Header http.Header
	Status int
}

type seenKey struct{}

func startRelay(t testing.TB, to string) *relay {
	t.Helper()
	target, err := url.Parse(to)
	if err != nil {
		t.Fatal(err)
	}
	r := &relay{}
	proxy := &httputil.ReverseProxy{
		Rewrite:        func(p *httputil.ProxyRequest) { p.SetURL(target) },
		ModifyResponse: r.answered,
		Transport:      &http.Transport{DisableCompression: true, MaxIdleConnsPerHost: 64},
	}
	r.Server = httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, req *http.Request) {
		s := &seen{Line: req.Method + " " + req.RequestURI, Host: req.Host, Header: req.Header.Clone()}
		r.mu.Lock()
		r.asked = append(r.asked, s)
		r.mu.Unlock()
		proxy.ServeHTTP(w, req.WithContext(context.WithValue(req.Context(), seenKey{}, s)))
	}))
	t.Cleanup(r.Close)
	return r
}

func (r *relay) answered(res *http.Response) error {
	r.mu.Lock()
	defer r.mu.Unlock()
	if s, ok := res.Request.Context().Value(seenKey{}).(*seen); ok {
		s.Status = res.StatusCode
	}
	if r.age != "" && strings.HasPrefix(res.Header.Get("Cache-Control"), "public") {
		res.Header.Set("Cache-Control", r.age)
	}
	return nil
}

func (r *relay) addr() string { return strings.TrimPrefix(r.URL, "http://") }

// ageing replaces what answers say about how long they may be kept.
func (r *relay) ageing(control string) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.age = control
}

// since are the requests after the first n.
func (r *relay) since(n int) []seen {
	r.mu.Lock()
	defer r.mu.Unlock()
	var all []seen
	for _, s := range r.asked[n:] {
		all = append(all, *s)
	}
	return all
}

// behindEdge is an edge whose three replicas are one service behind one relay.
func behindEdge(t testing.TB, args ...string) (*edge, *relay, *service) {
	t.Helper()
	s := begin(t, nil, append([]string{"--addr", "127.0.0.1:0"}, args...)...)
	s.awaitAddress(t)
	r := startRelay(t, s.URL)
	return startEdge(t, [3]string{r.addr(), r.addr(), r.addr()}), r, s
}
