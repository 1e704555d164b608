//go:build integration

package integration_test

import (
	"bytes"
	"net/http"
	"slices"
	"strings"
	"testing"
)

// Header fields and addresses that no caller in his right mind sends: never a fault of ours, never an answer that holds
// what does not belong to it, and the answer to the same question afterwards is what it was before.
func TestOddHeaderFieldsAndAddresses(t *testing.T) {
	t.Parallel()
	s := start(t)
	const host = " HTTP/1.1\r\nHost: a.example\r\n"
	long := strings.Repeat("x", 20_000)
	many := func(n int, one string) string { return strings.TrimSuffix(strings.Repeat(one+",", n), ",") }
	asked := func(line string) answer { return talk(t, s, line+"\r\n", http.MethodGet)[0] }
	before := asked("GET " + axialPlay + host)
	for _, row := range []struct {
		name, sent string
		status     []int
	}{
		{"Accept that is nothing", "GET " + axialPlay + host + "Accept: ;;;\r\n", []int{200, 400, 406}},
		{"Accept of commas", "GET " + axialPlay + host + "Accept: " + strings.Repeat(",", 20_000) + "\r\n", []int{200, 400, 406}},
		{"Accept of 2,000 forms", "GET " + axialPlay + host + "Accept: " + many(2000, "a/b;q=0.1") + "\r\n", []int{406}},
		{"Accept with weights that are none", "GET " + axialPlay + host + "Accept: application/json;q=2, text/plain;q=x\r\n", []int{200, 400, 406}},
		{"Accept of what is refused", "GET " + axialPlay + host + "Accept: application/json;q=0, */*;q=0\r\n", []int{406}},
		{"Accept again and again", "GET " + axialPlay + host + strings.Repeat("Accept: application/json\r\n", 900), []int{200}},
		{"Accept-Language of 20,000 bytes", "GET " + axialPlay + host + "Accept-Language: " + long + "\r\n", []int{200}},
		{"Accept-Language that is nothing", "GET " + axialPlay + host + "Accept-Language: -;q=,\x80\r\n", []int{200, 400}},
		{"Accept-Encoding of what is not there", "GET /v1/codes" + host + "Accept-Encoding: " + many(2000, "zz;q=0.5") + "\r\n", []int{200}},
		{"If-None-Match of 2,000 tags", "GET " + axialPlay + host + "If-None-Match: " + many(2000, `"abc"`) + "\r\n", []int{200}},
		{"If-None-Match without quotes", "GET " + axialPlay + host + "If-None-Match: abc\r\n", []int{200}},
		{"a range of no bytes", "GET " + axialPlay + host + "Range: bytes=9-1\r\n", []int{200}},
		{"a thousand ranges", "GET /openapi.json" + host + "Range: bytes=" + many(1000, "0-") + "\r\n", []int{200}},
		{"a range that must match", "GET /docs" + host + "Range: bytes=0-0\r\nIf-Range: \"x\"\r\n", []int{200}},
		{"1,000 header fields", "GET " + axialPlay + host + strings.Repeat("X-A: b\r\n", 1000), []int{200}},
		{"header fields of 40 KiB", "GET " + axialPlay + host + "X-A: " + long + "\r\nX-B: " + long + "\r\n", []int{431}},
		{"a name of 20,000 bytes", "GET " + axialPlay + host + long + ": b\r\n", []int{200}},
		{"a field without a name", "GET " + axialPlay + host + ": b\r\n", []int{400}},
		{"a field over two lines", "GET " + axialPlay + host + "X-A: b\r\n c\r\n", []int{200, 400}},
		{"a space before the colon", "GET " + axialPlay + host + "Accept : text/plain\r\n", []int{400}},
		{"a line end alone", "GET " + axialPlay + host + "X-A: b\nAccept: text/plain\r\n", []int{200, 400}},
		{"zero in a field", "GET " + axialPlay + host + "X-A: b\x00c\r\n", []int{400}},
		{"a host that is an address with a path", "GET /v1 HTTP/1.1\r\nHost: a.example/evil\r\n", []int{200, 400}},
		{"2,000 parameters", "GET " + axialPlay + "?" + strings.TrimSuffix(strings.Repeat("a=b&", 2000), "&") + host, []int{400}},
		{"one parameter 2,000 times", "GET " + axialPlay + "?" + strings.TrimSuffix(strings.Repeat("unit=mm&", 2000), "&") + host, []int{400}},
		{"many marks", "GET " + axialPlay + "?" + strings.TrimSuffix(strings.Repeat("mark=crankshaft:a&", 1000), "&") + host, []int{400, 422}},
		{"a semicolon for an ampersand", "GET " + axialPlay + "?unit=mm;lang=de" + host, []int{400}},
		{"half an escape in a parameter", "GET " + axialPlay + "?unit=%m" + host, []int{400}},
		{"line ends in a parameter", "GET " + axialPlay + "?lang=de%0d%0aSet-Cookie:%20a=b" + host, []int{400}},
		{"line ends in a revision", "GET " + axialPlay + "?revision=r%0d%0aSet-Cookie:%20a=b" + host, []int{400}},
		{"a slash that is encoded, in a key", "GET /v1/families/pl-85%2fcomponents" + host, []int{404}},
		{"a slash that is encoded twice", "GET /v1/families/pl-85%252fx" + host, []int{404}},
		{"dots in a key", "GET /v1/families/../families" + host, []int{404}},
		{"dots in a key, encoded", "GET /v1/families/%2e%2e" + host, []int{404}},
		{"two slashes", "GET //v1//families" + host, []int{404}},
		{"a slash at the end", "GET /v1/families/" + host, []int{404}},
		{"a backslash", "GET /docs/..%5c..%5copenapi.json" + host, []int{404}},
		{"out of the folder of the card", "GET /embed/v1/..%2f..%2fopenapi.json" + host, []int{404}},
		{"out of the folder of the card, plain", "GET /embed/v1/../../openapi.json" + host, []int{404}},
		{"out of the folder of the card, longer than UTF-8", "GET /embed/v1/%c0%ae%c0%ae/openapi.json" + host, []int{404}},
		{"out of the folder of the docs, with zero", "GET /docs/index.html%00.js" + host, []int{404}},
		{"a drive", "GET /docs/c:%5cwindows" + host, []int{404}},
		{"a file of the machine", "GET /docs/%2fetc%2fpasswd" + host, []int{404}},
		{"the problems, out of their folder", "GET /problems/..%2f..%2fetc%2fpasswd" + host, []int{404}},
		{"a method of 20,000 bytes", long + " /v1" + host, []int{400, 404, 405}},
		{"HTTP of another version", "GET /v1 HTTP/3.0\r\nHost: a.example\r\n", []int{400, 505}},
		{"the beginning of HTTP/2", "PRI * HTTP/2.0\r\n\r\nSM\r\n", []int{400, 404, 405, 505}},
		{"an upgrade", "GET /v1" + host + "Connection: Upgrade\r\nUpgrade: h2c\r\n", []int{200}},
		{"two keys", "POST /v1/evaluations" + host + "Authorization: Bearer a\r\nAuthorization: Bearer b\r\nContent-Length: 0\r\n", []int{401}},
		{"a key of 20,000 bytes", "POST /v1/evaluations" + host + "Authorization: Bearer " + long + "\r\nContent-Length: 0\r\n", []int{401}},
		{"UTF-7", "POST /v1/evaluations" + host + "Content-Type: application/json; charset=utf-7\r\nContent-Length: 0\r\n", []int{415}},
		{"a charset twice", "POST /v1/evaluations" + host + "Content-Type: application/json; charset=utf-8; charset=utf-16\r\nContent-Length: 0\r\n", []int{400, 415}},
		{"a type of 20,000 bytes", "POST /v1/evaluations" + host + "Content-Type: application/" + long + "\r\nContent-Length: 0\r\n", []int{415}},
		{"a form", "POST /v1/evaluations" + host + "Content-Type: multipart/form-data; boundary=x\r\nContent-Length: 0\r\n", []int{415}},
		{"a trace that is none", "GET " + axialPlay + host + "Traceparent: 00-" + long + "\r\nTracestate: " + many(2000, "a=b") + "\r\n", []int{200}},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			a := asked(row.sent)
			if !slices.Contains(row.status, a.Status) {
				t.Errorf("%d %.300s", a.Status, a.Body)
			}
			if a.Header.Get("Set-Cookie") != "" || bytes.Contains(a.Body, []byte("root:")) || len(a.Body) > 4*mib {
				t.Errorf("%v %.300s", a.Header, a.Body)
			}
			if again := asked("GET " + axialPlay + host); again.Status != before.Status || !bytes.Equal(again.Body, before.Body) || again.Header.Get("ETag") != before.Header.Get("ETag") {
				t.Errorf("afterwards the answer is another: %d %.200s", again.Status, again.Body)
			}
		})
	}
}
