//go:build integration

package integration_test

import (
	"bufio"
	"encoding/json"
	"errors"
	"io"
	"net/http"
	"strings"
	"testing"
)

// oneShot sends bytes over a connection of their own and reads every answer until the other side closes it.
func oneShot(t *testing.T, base, raw string) []answer {
	t.Helper()
	conn := open(t, base, raw)
	defer func() { _ = conn.Close() }()
	var all []answer
	for r := bufio.NewReader(conn); ; {
		res, err := http.ReadResponse(r, nil)
		if err != nil {
			if !errors.Is(err, io.EOF) && !errors.Is(err, io.ErrUnexpectedEOF) && !strings.Contains(err.Error(), "reset") {
				t.Errorf("%q: %v", raw, err)
			}
			return all
		}
		body, err := io.ReadAll(res.Body)
		_ = res.Body.Close()
		if err != nil {
			t.Errorf("%q: %v", raw, err)
			return all
		}
		all = append(all, answer{res.StatusCode, res.Header, body})
	}
}

// Shapes in which two readers may see a different end of a request (RFC 9112, section 11.2). Each carries a second
// request, for /smuggled, in what one of the readers takes for a body or a header field. Through the edge it must never
// become a request of its own to the replica: the shape is refused, or read by both as one.
func TestNothingIsSmuggledPastTheEdge(t *testing.T) {
	t.Parallel()
	e, r, _ := behindEdge(t)
	const (
		post    = "POST /v1/evaluations HTTP/1.1\r\nHost: a.example\r\nContent-Type: application/json\r\n"
		inner   = "GET /smuggled HTTP/1.1\r\nHost: a.example\r\n\r\n" // 43 bytes, 2b in hexadecimal
		last    = "Connection: close\r\n\r\n"
		refused = 400
		read    = 0 // as one request, whatever is answered to it
	)
	for _, row := range []struct { //nolint:paralleltest // what reaches the replica is counted, row by row
		name, raw string
		status    int
	}{
		{"CL.TE", post + "Content-Length: 48\r\nTransfer-Encoding: chunked\r\n" + last + "0\r\n\r\n" + inner, refused},
		{"TE.CL", post + "Transfer-Encoding: chunked\r\nContent-Length: 4\r\n" + last + "2b\r\n" + inner + "\r\n0\r\n\r\n", refused},
		{"two lengths that differ", post + "Content-Length: 0\r\nContent-Length: 43\r\n" + last + inner, refused},
		{"two lengths in one", post + "Content-Length: 0, 43\r\n" + last + inner, refused},
		{"the same length twice", post + "Content-Length: 43\r\nContent-Length: 43\r\n" + last + inner, refused},
		{"length with a sign", post + "Content-Length: +43\r\n" + last + inner, refused},
		{"length with letters", post + "Content-Length: 0x2b\r\n" + last + inner, refused},
		{"length below zero", post + "Content-Length: -1\r\n" + last + inner, refused},
		{"length past 64 bits", post + "Content-Length: 18446744073709551661\r\n" + last + inner, refused},
		{"coding that is none", post + "Transfer-Encoding: xchunked\r\n" + last + "0\r\n\r\n" + inner, refused},
		{"two codings", post + "Transfer-Encoding: identity, chunked\r\n" + last + "0\r\n\r\n" + inner, refused},
		{"coding twice", post + "Transfer-Encoding: chunked\r\nTransfer-Encoding: chunked\r\n" + last + "0\r\n\r\n" + inner, refused},
		{"coding with a vertical tab", post + "Transfer-Encoding: \vchunked\r\n" + last + "0\r\n\r\n" + inner, refused},
		{"space before the colon", post + "Transfer-Encoding : chunked\r\n" + last + "0\r\n\r\n" + inner, refused},
		{"name with a space in front", post + " Transfer-Encoding: chunked\r\n" + last + "0\r\n\r\n" + inner, refused},
		{"field folded over two lines (obs-fold)", post + "X-A: b\r\n\tContent-Length: 43\r\n" + last + inner, refused},
		{"chunk size with a sign", post + "Transfer-Encoding: chunked\r\n" + last + "-1\r\n" + inner, refused},
		{"chunk size past 64 bits", post + "Transfer-Encoding: chunked\r\n" + last + "10000000000000000\r\n" + inner, refused},
		{"chunk size that is none", post + "Transfer-Encoding: chunked\r\n" + last + "zz\r\n" + inner, refused},
		{"null in a name", post + "Content-\x00Length: 45\r\n" + last + inner, refused},
		{"chunked in HTTP/1.0", strings.Replace(post, "1.1", "1.0", 1) + "Transfer-Encoding: chunked\r\n\r\n0\r\n\r\n" + inner, refused},
		{"no host", "GET /v1 HTTP/1.1\r\n" + last, refused},
		{"two hosts", "GET /v1 HTTP/1.1\r\nHost: a.example\r\nHost: b.example\r\n" + last, refused},
		{"host with a path", "GET /v1 HTTP/1.1\r\nHost: a.example/smuggled\r\n" + last, refused},
		{"name with an underscore", post + "Content_Length: 45\r\n" + last, read},
		{"a length and a body behind a GET", "GET /v1 HTTP/1.1\r\nHost: a.example\r\nContent-Length: 43\r\n" + last + inner, read},
		{"chunks behind a GET", "GET /v1 HTTP/1.1\r\nHost: a.example\r\nTransfer-Encoding: chunked\r\n" + last + "2b\r\n" + inner + "\r\n0\r\n\r\n", read},
		{"chunk extension that holds a request", post + "Transfer-Encoding: chunked\r\n" + last + "2;a=\"\r\n{}\r\n0\r\n\r\n", read},
		{"trailer that names a length", post + "Transfer-Encoding: chunked\r\n" + last + "2\r\n{}\r\n0\r\nContent-Length: 43\r\n\r\n", read},
		{"lines that end in a bare LF", strings.ReplaceAll(post+"Content-Length: 43\r\n"+last, "\r\n", "\n") + inner, read},
		{"chunk lines that end in a bare LF", post + "Transfer-Encoding: chunked\r\n" + last + "2\n{}\n0\n\n", read},
		{"bare CR in a value", post + "X-A: b\rContent-Length: 43\r\nContent-Length: 43\r\n" + last + inner, read},
	} {
		t.Run(row.name, func(t *testing.T) {
			before := len(r.since(0))
			all := oneShot(t, e.URL, row.raw)
			for _, asked := range r.since(before) {
				if strings.Contains(asked.Line, "smuggled") {
					t.Errorf("the replica is asked %q", asked.Line)
				}
			}
			if len(all) != 1 {
				t.Fatalf("%d answers", len(all))
			}
			if row.status == refused && (all[0].Status != refused || len(r.since(before)) > 0) {
				t.Errorf("answered with %d, and the replica was asked %+v", all[0].Status, r.since(before))
			}
			if row.status == refused && !json.Valid(all[0].Body) {
				t.Errorf("%s", all[0].Body)
			}
			// Whatever it was, the next caller over the same connections is answered what was asked.
			if a := e.ask(t, axialPlay); a.Status != http.StatusOK || !strings.Contains(string(a.Body), "axial-play") {
				t.Errorf("the next caller is answered %d %s", a.Status, a.Body)
			}
		})
	}
}

func TestWhatTheEdgeRefusesIsAProblem(t *testing.T) {
	t.Parallel()
	e, r, _ := behindEdge(t)
	for _, row := range []struct {
		name, raw string
		status    int
		code      string
	}{
		{"no HTTP", "HELLO\r\n\r\n", 400, "bad_http"},
		{"address of 40 kB", "GET /" + strings.Repeat("a", 40<<10) + " HTTP/1.1\r\nHost: a\r\n\r\n", 400, "bad_http"},
		{"header field of 40 kB", "GET / HTTP/1.1\r\nHost: a\r\nX: " + strings.Repeat("a", 40<<10) + "\r\n\r\n", 400, "bad_http"},
		{"many header fields", "GET / HTTP/1.1\r\nHost: a\r\n" + strings.Repeat("X: "+strings.Repeat("a", 1000)+"\r\n", 64) + "\r\n", 400, "bad_http"},
		{"TRACE", "TRACE / HTTP/1.1\r\nHost: a\r\nConnection: close\r\n\r\n", 405, "method_not_allowed"},
		{"body of 10 MB", "POST /v1/evaluations HTTP/1.1\r\nHost: a\r\nContent-Length: 10000000\r\nConnection: close\r\n\r\n", 413, "body_too_large"},
		{"metrics", "GET /metrics HTTP/1.1\r\nHost: a\r\nConnection: close\r\n\r\n", 404, "no_such_address"},
		{"metrics in disguise", "GET /v1/../%6detrics HTTP/1.1\r\nHost: a\r\nConnection: close\r\n\r\n", 404, "no_such_address"},
		{"profiles", "GET /debug/pprof/ HTTP/1.1\r\nHost: a\r\nConnection: close\r\n\r\n", 404, "no_such_address"},
	} {
		all := oneShot(t, e.URL, row.raw)
		if len(all) != 1 {
			t.Errorf("%s: %d answers", row.name, len(all))
			continue
		}
		var doc struct {
			Type, Title, Code, Detail, Instance string
			Status                              int
		}
		a := all[0]
		if err := json.Unmarshal(a.Body, &doc); err != nil || a.Status != row.status || doc.Status != row.status || doc.Code != row.code ||
			a.Header.Get("Content-Type") != "application/problem+json" || a.Header.Get("Cache-Control") != "no-store" || len(doc.Instance) != len("urn:uuid:")+36 {
			t.Errorf("%s: %d %v %s", row.name, a.Status, a.Header, a.Body)
		}
		// The page that the problem names is there, and its code is one that callers can look up.
		if page := e.ask(t, doc.Type); page.Status != http.StatusOK {
			t.Errorf("%s: %d", doc.Type, page.Status)
		}
		if codes := e.ask(t, "/v1/codes?kind=fault"); !strings.Contains(string(codes.Body), `"`+doc.Code+`"`) {
			t.Errorf("/v1/codes does not know %s", doc.Code)
		}
	}
	for _, asked := range r.since(0) {
		if !strings.HasPrefix(asked.Line, "GET /problems/") && !strings.HasPrefix(asked.Line, "GET /v1/codes") {
			t.Errorf("the replica is asked %q", asked.Line)
		}
	}
}
