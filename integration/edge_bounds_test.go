//go:build integration

package integration_test

import (
	"bufio"
	"encoding/json"
	"errors"
	"io"
	"net"
	"net/http"
	"strings"
	"testing"
)

// Who holds too many requests open at once is told so, and answered again when some have ended. The replicas are asked
// none of it: a body comes to them whole or not at all.
func TestOneCallerHoldsOnlySoMuchOpen(t *testing.T) {
	t.Parallel()
	e, r, _ := behindEdge(t)
	few := startEdge(t, [3]string{r.addr(), r.addr(), r.addr()}, "limit_conn callers 1024;", "limit_conn callers 2;")
	const half = "POST /v1/evaluations HTTP/1.1\r\nHost: a.example\r\nContent-Type: application/json\r\nContent-Length: 13\r\n\r\n{\"che"
	held := []net.Conn{open(t, few.URL, half), open(t, few.URL, half)}
	eventually(t, "a refusal", func() (bool, string) {
		a := few.ask(t, axialPlay)
		var doc struct{ Code string }
		_ = json.Unmarshal(a.Body, &doc) // another answer has none
		return a.Status == http.StatusTooManyRequests && doc.Code == "too_many_connections" && a.Header.Get("Retry-After") != "", string(a.Body)
	})
	for _, asked := range r.since(0) {
		if strings.HasPrefix(asked.Line, "POST") {
			t.Errorf("the replica is asked %q", asked.Line)
		}
	}
	for _, c := range held {
		if _, err := io.WriteString(c, `cks":[]}`); err != nil {
			t.Fatal(err)
		}
		res, err := http.ReadResponse(bufio.NewReader(c), nil)
		if err != nil {
			t.Fatal(err)
		}
		_ = res.Body.Close()
		_ = c.Close()
	}
	eventually(t, "an answer", func() (bool, string) {
		a := few.ask(t, axialPlay)
		return a.Status == http.StatusOK, string(a.Body)
	})
	if a := e.ask(t, axialPlay); a.Status != http.StatusOK {
		t.Errorf("within the bounds: %d", a.Status)
	}
}

// Header fields that trickle in and bodies that stop end with their time, and hold up nobody meanwhile.
func TestSlowCallersAreCutOff(t *testing.T) {
	t.Parallel()
	_, r, _ := behindEdge(t)
	e := startEdge(t, [3]string{r.addr(), r.addr(), r.addr()}, "client_header_timeout 5s;", "client_header_timeout 1s;", "client_body_timeout 10s;", "client_body_timeout 1s;")
	var slow []net.Conn
	for range 200 {
		slow = append(slow, open(t, e.URL, "GET /v1 HTTP/1.1\r\nHost: a.example\r\nX-Slow: "),
			open(t, e.URL, "POST /v1/evaluations HTTP/1.1\r\nHost: a.example\r\nContent-Type: application/json\r\nContent-Length: 1000\r\n\r\n{"))
	}
	for range 50 {
		if a := e.ask(t, axialPlay); a.Status != http.StatusOK {
			t.Fatalf("beside slow callers: %d %s", a.Status, a.Body)
		}
	}
	for i, c := range slow {
		said, err := io.ReadAll(c)
		var late net.Error
		if errors.As(err, &late) && late.Timeout() {
			t.Fatalf("connection %d is still open: %q", i, said)
		}
	}
	for _, asked := range r.since(0) {
		if strings.HasPrefix(asked.Line, "POST") {
			t.Errorf("the replica is asked %q", asked.Line)
		}
	}
}
