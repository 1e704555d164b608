//go:build integration

package integration_test

import (
	"bufio"
	"bytes"
	"errors"
	"io"
	"net"
	"net/http"
	"strings"
	"testing"
	"time"
)

// open is a connection to whoever listens at a URL, on which something was said as it is.
func open(t testing.TB, base, said string) *net.TCPConn {
	t.Helper()
	c, err := net.Dial("tcp", strings.TrimPrefix(base, "http://"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = c.Close() })
	if err := c.SetDeadline(time.Now().Add(patience)); err != nil {
		t.Fatal(err)
	}
	if _, err := io.WriteString(c, said); err != nil {
		t.Fatal(err)
	}
	tcp, ok := c.(*net.TCPConn)
	if !ok {
		t.Fatalf("%T", c)
	}
	return tcp
}

// talk sends bytes over one connection, as they are, ends the sending side, and reads answers to requests of these
// methods.
func talk(t *testing.T, s *service, sent string, methods ...string) []answer {
	t.Helper()
	conn := open(t, s.URL, sent)
	defer func() { _ = conn.Close() }()
	if err := conn.CloseWrite(); err != nil {
		t.Fatal(err)
	}
	var answers []answer
	from := bufio.NewReader(conn)
	for _, method := range methods {
		res, err := http.ReadResponse(from, &http.Request{Method: method})
		if err != nil {
			t.Fatalf("after %d answers: %v", len(answers), err)
		}
		body, err := io.ReadAll(res.Body)
		if err := errors.Join(err, res.Body.Close()); err != nil {
			t.Fatal(err)
		}
		answers = append(answers, answer{res.StatusCode, res.Header, body})
	}
	return answers
}

// Requests that no client library sends. None is a fault of the service, and it goes on serving.
func TestOddRequestsOnTheWire(t *testing.T) {
	t.Parallel()
	s := start(t)
	for _, row := range []struct {
		name, sent string
		status     int
	}{
		{"no HTTP", "hello\r\n\r\n", 400},
		{"no host", "GET /v1 HTTP/1.1\r\n\r\n", 400},
		{"two hosts", "GET /v1 HTTP/1.1\r\nHost: a.example\r\nHost: b.example\r\n\r\n", 400},
		{"HTTP/1.0", "GET /v1 HTTP/1.0\r\n\r\n", 200},
		{"absolute address", "GET http://b.example/v1 HTTP/1.1\r\nHost: a.example\r\n\r\n", 200},
		{"a range", "GET /v1 HTTP/1.1\r\nHost: a.example\r\nRange: bytes=0-3\r\n\r\n", 200},
		{"a header of 64 KiB", "GET /v1 HTTP/1.1\r\nHost: a.example\r\nX-Long: " + strings.Repeat("x", 64<<10) + "\r\n\r\n", 431},
		{"an address of 16 KiB", "GET /v1/families/" + strings.Repeat("x", 16<<10) + " HTTP/1.1\r\nHost: a.example\r\n\r\n", 404},
		{"a control character in the address", "GET /v1/families/%00 HTTP/1.1\r\nHost: a.example\r\n\r\n", 404},
		{"a broken escape in the address", "GET /v1/%zz HTTP/1.1\r\nHost: a.example\r\n\r\n", 400},
		{"line ends in the address", "GET /v1/families/a%0d%0aSet-Cookie:%20a=b HTTP/1.1\r\nHost: a.example\r\n\r\n", 404},
		{"out of the folder", "GET /docs/../../../etc/passwd HTTP/1.1\r\nHost: a.example\r\n\r\n", 404},
		{"out of the folder, encoded", "GET /docs/%2e%2e%2fopenapi.json HTTP/1.1\r\nHost: a.example\r\n\r\n", 404},
		{"out of the folder of the card", "GET /embed/v1/../../v1 HTTP/1.1\r\nHost: a.example\r\n\r\n", 404},
		{"out of the folder of the card, encoded", "GET /embed/v1/..%2f..%2fembed.go HTTP/1.1\r\nHost: a.example\r\n\r\n", 404},
		{"out of the folder of the card, encoded twice", "GET /embed/v1/%252e%252e%252fembed.go HTTP/1.1\r\nHost: a.example\r\n\r\n", 404},
		{"out of the folder of the card, with a backslash", "GET /embed/v1/..%5Cembed.go HTTP/1.1\r\nHost: a.example\r\n\r\n", 404},
		{"the folder of the card", "GET /embed/v1/ HTTP/1.1\r\nHost: a.example\r\n\r\n", 404},
		{"a range of the card", "GET /embed/v1/spec-card.js HTTP/1.1\r\nHost: a.example\r\nRange: bytes=0-3\r\n\r\n", 200},
		{"TRACE", "TRACE /v1 HTTP/1.1\r\nHost: a.example\r\n\r\n", 405},
		{"CONNECT", "CONNECT a.example:443 HTTP/1.1\r\nHost: a.example:443\r\n\r\n", 404},
		{"two lengths", "POST /v1/evaluations HTTP/1.1\r\nHost: a.example\r\nContent-Length: 2\r\nContent-Length: 3\r\n\r\n{}", 400},
		{"a length and chunks", "POST /v1/evaluations HTTP/1.1\r\nHost: a.example\r\nContent-Length: 5\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n", 400},
		{"a body that ends too soon", "POST /v1/evaluations HTTP/1.1\r\nHost: a.example\r\nContent-Type: application/json\r\nContent-Length: 100\r\n\r\n{\"checks\":", 400},
		{"a chunk that is none", "POST /v1/evaluations HTTP/1.1\r\nHost: a.example\r\nContent-Type: application/json\r\nTransfer-Encoding: chunked\r\n\r\nzz\r\n", 400},
		{"a compressed body", "POST /v1/evaluations HTTP/1.1\r\nHost: a.example\r\nContent-Type: application/json\r\nContent-Encoding: gzip\r\nContent-Length: 2\r\n\r\n{}", 415},
		{"unknown expectation", "POST /v1/evaluations HTTP/1.1\r\nHost: a.example\r\nExpect: miracles\r\nContent-Length: 2\r\n\r\n{}", 417},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			a := talk(t, s, row.sent, http.MethodGet)[0]
			if a.Status != row.status {
				t.Errorf("%d %s", a.Status, a.Body)
			}
			if a.Header.Get("Set-Cookie") != "" {
				t.Errorf("a header field came in with the address: %v", a.Header)
			}
			if again := talk(t, s, "GET /livez HTTP/1.1\r\nHost: a.example\r\n\r\n", http.MethodGet)[0]; again.Status != http.StatusOK {
				t.Errorf("afterwards %d", again.Status)
			}
		})
	}
}

// Several requests over one connection are answered in their order; a HEAD has the header fields of its GET and no body.
func TestRequestsInOneGoAreAnsweredInOrder(t *testing.T) {
	t.Parallel()
	s := start(t)
	const host = " HTTP/1.1\r\nHost: a.example\r\n"
	body := `{"checks":[]}`
	got := talk(t, s, "GET "+axialPlay+host+"\r\nHEAD "+axialPlay+host+"\r\nPOST /v1/evaluations"+host+
		"Content-Type: application/json\r\nContent-Length: 13\r\n\r\n"+body+"GET /v1"+host+"\r\n",
		http.MethodGet, http.MethodHead, http.MethodPost, http.MethodGet)
	if got[0].Status != 200 || got[1].Status != 200 || got[3].Status != 200 || got[2].Status >= 500 {
		t.Fatalf("%d %d %d %d", got[0].Status, got[1].Status, got[2].Status, got[3].Status)
	}
	for _, name := range []string{"Content-Type", "ETag", "Cache-Control", "Vary", "Catalogue-Revision", "Content-Language"} {
		if g, h := got[0].Header.Get(name), got[1].Header.Get(name); g != h || g == "" {
			t.Errorf("%s is %q for GET and %q for HEAD", name, g, h)
		}
	}
	if len(got[1].Body) > 0 || !bytes.Contains(got[3].Body, []byte(`"service":"endfloat"`)) {
		t.Errorf("answers are out of order: %s %s", got[1].Body, got[3].Body)
	}
}

// Nothing that a caller says about itself or about the host comes back in an answer that others may be given.
func TestAnswersDoNotDependOnWhatCachesIgnore(t *testing.T) {
	t.Parallel()
	s := start(t)
	for _, path := range []string{"/v1", axialPlay, "/.well-known/api-catalog", "/.well-known/security.txt", "/v1/families?page_size=1"} {
		plain := talk(t, s, "GET "+path+" HTTP/1.1\r\nHost: a.example\r\n\r\n", http.MethodGet)[0]
		told := talk(t, s, "GET "+path+" HTTP/1.1\r\nHost: evil.example\r\nX-Forwarded-Host: evil.example\r\nX-Forwarded-Proto: gopher\r\n"+
			"X-Forwarded-Prefix: /evil\r\nForwarded: host=evil.example\r\nX-Original-URL: /evil\r\nX-Rewrite-URL: /evil\r\nX-Request-Id: evil\r\n"+
			"X-HTTP-Method-Override: DELETE\r\nCookie: lang=de\r\nOrigin: https://evil.example\r\n\r\n", http.MethodGet)[0]
		if plain.Status != http.StatusOK || !bytes.Equal(plain.Body, told.Body) || plain.Header.Get("ETag") != told.Header.Get("ETag") {
			t.Errorf("%s: %d %d, differs:\n%s\n%s", path, plain.Status, told.Status, plain.Body, told.Body)
		}
		for name, values := range told.Header {
			if strings.Contains(strings.Join(values, " "), "evil") {
				t.Errorf("%s: %s is %q", path, name, values)
			}
		}
	}
}
