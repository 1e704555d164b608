package api

import (
	"crypto/rand"
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"github.com/go-json-experiment/json"

	"endfloat/api/problem"
	"endfloat/api/rim"
)

// Header fields that a page of another origin may read beside those that it always may (Fetch standard, section
// 2.2.2): of look-ups, and of everything else.
const (
	exposedHere = "Catalogue-Revision, ETag, Link"
	exposed     = "Catalogue-Revision, Evaluation-Summary, RateLimit, RateLimit-Policy, Retry-After"
)

// Policies of what a browser may draw: an answer that brings none of its own may do nothing at all.
const (
	sandboxed = "default-src 'none'; base-uri 'none'; form-action 'none'; sandbox"
	noSniff   = "nosniff"
)

// Values shared by all answers.
var (
	noStore        = []string{"no-store"}
	anyOrigin      = []string{"*"}
	exposedHeaders = []string{exposed}
	problemType    = []string{problem.ContentType}
)

func contentType(media string) string {
	switch media {
	case rim.MediaText, rim.MediaHTML, rim.MediaCSV:
		return media + "; charset=utf-8"
	case rim.MediaLinks:
		return media + `; profile="https://www.rfc-editor.org/info/rfc9727"`
	}
	return media
}

// guards are the header fields that keep an answer harmless in a browser. JSON needs none: no browser takes it for
// anything else.
func guards(media string) []rim.Header {
	switch media {
	case rim.MediaJSON, rim.MediaJSONLD, rim.MediaLinks, rim.MediaKeys:
		return nil
	case rim.MediaHTML, rim.MediaSVG:
		return []rim.Header{{Name: "X-Content-Type-Options", Value: noSniff}, {Name: "Content-Security-Policy", Value: sandboxed}}
	}
	return []rim.Header{{Name: "X-Content-Type-Options", Value: noSniff}}
}

// fail is the one place where an error is written, and logged where it is ours. It returns the name of the problem.
func (s *server) fail(w http.ResponseWriter, r *http.Request, err error) (id string) {
	lang := s.tongue(r)
	doc, f := problem.Of(err, instance(), problem.Voice{Book: s.book, Lang: lang})
	h := w.Header()
	if f.RetryAfter > 0 {
		h.Set("Retry-After", strconv.Itoa(f.RetryAfter))
	}
	if doc.Status == http.StatusUnauthorized {
		h["Www-Authenticate"] = []string{challenge(r)}
	}
	s.watch.faulty(r, doc.Status, doc.Instance, doc.Code, f.Cause)
	body, err := json.Marshal(doc)
	if err != nil {
		body = []byte(`{"type":"/problems/fault-of-ours","title":"A fault of ours","status":500,"code":"internal","detail":"","instance":""}`)
	}
	h["Content-Type"] = problemType
	h["Content-Language"] = []string{lang}
	h["Cache-Control"] = noStore
	h["Access-Control-Allow-Origin"] = anyOrigin
	h["Access-Control-Expose-Headers"] = exposedHeaders
	h["Content-Length"] = []string{strconv.Itoa(len(body))}
	w.WriteHeader(doc.Status)
	if r.Method == http.MethodHead {
		body = nil // written all the same: to the router an answer without a write is none
	}
	_, _ = w.Write(body) //nolint:gosec // JSON, which no browser draws; a caller that has gone away is no fault
	return doc.Instance
}

// challenge says how a key is sent, and that the one that was sent is not good (RFC 6750, sections 3 and 3.1): nothing of
// that to whoever sent something else.
func challenge(r *http.Request) string {
	if scheme, _, _ := strings.Cut(r.Header.Get("Authorization"), " "); strings.EqualFold(scheme, "bearer") {
		return `Bearer realm="endfloat", error="invalid_token"`
	}
	return `Bearer realm="endfloat"`
}

// tongue is the language of a problem: that of the request, where the request says one that there is.
func (s *server) tongue(r *http.Request) string {
	accept := strings.Join(r.Header.Values("Accept-Language"), ",")
	lang, err := rim.Tongue(r.URL.Query().Get("lang"), accept) // what else is wrong with the query does not matter here
	if err != nil {
		lang, _ = rim.Tongue("", accept) // a header is never a fault
	}
	return lang
}

// instance names one occurrence of a problem: a random UUID (RFC 9562, version 4).
func instance() string {
	var b [16]byte
	_, _ = rand.Read(b[:]) // never fails
	b[6] = b[6]&0x0f | 0x40
	b[8] = b[8]&0x3f | 0x80
	return fmt.Sprintf("urn:uuid:%x-%x-%x-%x-%x", b[:4], b[4:6], b[6:8], b[8:10], b[10:])
}
