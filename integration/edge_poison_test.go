//go:build integration

package integration_test

import (
	"bytes"
	"fmt"
	"net/http"
	"strings"
	"testing"
)

// Nothing that one caller sends reaches into what another one is answered, unless the address or Vary names it.
func TestNobodyPoisonsWhatIsKept(t *testing.T) {
	t.Parallel()
	e, r, s := behindEdge(t)
	const mark = "evil.example"
	rows := []struct{ name, value string }{
		{"X-Forwarded-Host", mark}, {"Forwarded", "for=192.0.2.1;host=" + mark + ";proto=https"}, {"X-Forwarded-Proto", mark},
		{"X-Forwarded-Scheme", mark}, {"X-Forwarded-Port", "443" + mark}, {"X-Forwarded-Prefix", "/" + mark}, {"X-Forwarded-Server", mark},
		{"X-Forwarded-For", mark}, {"X-Real-Ip", mark}, {"X-Host", mark}, {"X-Original-Url", "/" + mark}, {"X-Rewrite-Url", "/" + mark},
		{"X-Http-Method-Override", "POST"}, {"Cookie", "lang=" + mark}, {"Origin", "https://" + mark}, {"Referer", "https://" + mark},
		{"User-Agent", mark}, {"Traceparent", "00-0af7651916cd43dd8448eb211c80319c-b7ad6b7169203331-01"}, {"If-None-Match", "*"},
		{"If-Modified-Since", "Wed, 25 Nov 2026 00:00:00 GMT"}, {"Range", "bytes=0-9"}, {"X_Forwarded_Host", mark}, {"Transfer-Encoding", "identity"},
		{"Te", "trailers"}, {"Upgrade", "h2c"}, {"Via", "1.1 " + mark}, {"Cache-Control", "no-transform"}, {"X-Accel-Expires", "0"},
	}
	for i, row := range rows {
		// An address of its own each, so that the hostile request is the one that fills the edge.
		path := fmt.Sprintf("/v1/specs?page_size=%d", i+1)
		want := send(t, plain, request(t, http.MethodGet, s.URL+path, ""))
		hostile := request(t, http.MethodGet, e.URL+path, "", row.name, row.value)
		if row.name == "X-Forwarded-Host" {
			hostile.Host = mark
		}
		first := send(t, plain, hostile)
		if whole := fmt.Sprint(first.Header, string(first.Body)); strings.Contains(whole, mark) {
			t.Errorf("%s is echoed: %s", row.name, whole)
		}
		if diff := differs(want, e.ask(t, path)); diff != "" {
			t.Errorf("after %s, the next caller is answered otherwise:\n%s", row.name, diff)
		}
	}
	for _, asked := range r.since(0) {
		if asked.Host != "endfloat" || asked.Header.Get("X-Forwarded-For") != "127.0.0.1" || asked.Header.Get("X-Forwarded-Proto") != "http" {
			t.Fatalf("the replica is told host %q, %v", asked.Host, asked.Header)
		}
		for _, name := range []string{"Forwarded", "X-Forwarded-Host", "X-Forwarded-Port", "X-Forwarded-Prefix", "X-Original-Url", "X-Rewrite-Url", "X-Http-Method-Override", "Cookie", "X-Real-Ip", "Range", "If-None-Match"} {
			if v := asked.Header.Get(name); v != "" {
				t.Errorf("the replica is told %s: %q", name, v)
			}
		}
	}
}

// Addresses that only look alike are not one.
func TestAddressesThatLookAlikeAreKeptApart(t *testing.T) {
	t.Parallel()
	e, _, s := behindEdge(t)
	const spec = "/v1/families/pl-85/components/counter-shaft/specs/"
	for range 2 {
		for _, target := range []string{
			spec + "axial-play", spec + "axial%2dplay", spec + "axial-play?", spec + "axial-play?unit=mm", spec + "axial-play?unit=m%6d", spec + "axial-play?unit=in",
			spec + "Axial-Play", spec + "axial-play/", spec + "axial-play%3funit=in", spec + "axial-play;unit=in", spec + "axial-play%00", spec + "axial-play%0d%0aX:%20y",
			spec + "key-bolt/../axial-play", "/" + spec + "axial-play", spec + "./axial-play", spec + "%2e%2e/axial-play", spec + "axial-play%23", spec + "axial-play%2fverdict?value=1&unit=mm",
			"/embed/v1/manifest.json", "/embed/v1/../v1/manifest.json", "/embed/v1/..%2f..%2flivez", "/embed/v1/%2e%2e/%2e%2e/etc/passwd", "/embed//v1/manifest.json",
			"/docs", "/docs/", "/docs/../v1", "/docs/..%5c..%5cgo.mod", "/docs/%00", "/.well-known/../v1", "//v1", "/%2fv1", "/v1/%2e%2e/%2e%2e/debug/pprof/",
		} {
			want := oneShot(t, s.URL, "GET "+target+" HTTP/1.1\r\nHost: a.example\r\nConnection: close\r\n\r\n")
			got := oneShot(t, e.URL, "GET "+target+" HTTP/1.1\r\nHost: a.example\r\nConnection: close\r\n\r\n")
			if len(want) != 1 || len(got) != 1 {
				t.Fatalf("%s: %d and %d answers", target, len(want), len(got))
			}
			refused := want[0].Status/100 == 4 && got[0].Status/100 == 4 // a null in the path is refused by the edge itself
			if !refused && (want[0].Status != got[0].Status || !bytes.Equal(want[0].Body, got[0].Body)) {
				t.Errorf("%s: %d in place of %d\n%s", target, got[0].Status, want[0].Status, got[0].Body)
			}
		}
	}
	// The absolute form (RFC 9112, section 3.2.2) with another host is the same address to whoever asks next.
	oneShot(t, e.URL, "GET http://evil.example"+spec+"end-cap-screw HTTP/1.1\r\nHost: evil.example\r\nConnection: close\r\n\r\n")
	if a := e.ask(t, spec+"end-cap-screw"); a.Status != http.StatusOK || strings.Contains(string(a.Body), "evil.example") {
		t.Errorf("%s", a.Body)
	}
}
