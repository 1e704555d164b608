package client

import (
	"fmt"
	"mime"
	"net/http"
	"strconv"
	"strings"
	"time"

	"github.com/go-json-experiment/json"
)

// Refusal is an answer that is no result: a problem document (RFC 9457), or what stood in its place.
type Refusal struct {
	Status int
	Code   string        // stable; empty where something else than the service answered
	Title  string        // for a person
	Detail string        // empty where there is none
	Faults []Fault       // what is wrong with the request
	Wait   time.Duration // asked for by Retry-After; 0: nothing was asked for
}

// Fault is one thing that is wrong with a request.
type Fault struct {
	Code   string `json:"code"`
	Detail string `json:"detail"`
	Fix    string `json:"fix"`
	Column string `json:"column"`
	Row    int    `json:"row"`
}

// Error is a refusal in one line, its faults after it.
func (r *Refusal) Error() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s (%d", r.Title, r.Status)
	if r.Code != "" {
		b.WriteString(" " + r.Code)
	}
	b.WriteString(")")
	if r.Detail != "" {
		b.WriteString(": " + strings.TrimSuffix(r.Detail, "."))
	}
	for _, f := range r.Faults {
		b.WriteString("; " + f.Detail)
		if f.Column != "" {
			b.WriteString(" (column " + f.Column + ")")
		}
		if f.Fix != "" {
			b.WriteString(": " + f.Fix)
		}
	}
	return b.String()
}

// later reports whether the same request may be answered another time.
func (r *Refusal) later() bool {
	switch r.Status {
	case http.StatusTooManyRequests, http.StatusBadGateway, http.StatusServiceUnavailable, http.StatusGatewayTimeout:
		return true
	}
	return false
}

func refusal(res *http.Response, body []byte) *Refusal {
	r := &Refusal{Status: res.StatusCode, Title: http.StatusText(res.StatusCode), Wait: waitOf(res.Header.Get("Retry-After"), time.Now())}
	var doc struct {
		Code   string  `json:"code"`
		Title  string  `json:"title"`
		Detail string  `json:"detail"`
		Errors []Fault `json:"errors"`
	}
	media, _, err := mime.ParseMediaType(res.Header.Get("Content-Type"))
	if err != nil || media != "application/problem+json" || json.Unmarshal(body, &doc) != nil {
		return r
	}
	r.Code, r.Title, r.Detail, r.Faults = doc.Code, doc.Title, doc.Detail, doc.Errors
	return r
}

// waitOf reads Retry-After: seconds or a date (RFC 9110, section 10.2.3). What is neither asks for nothing.
func waitOf(field string, now time.Time) time.Duration {
	if n, err := strconv.ParseUint(field, 10, 31); err == nil {
		return time.Duration(n) * time.Second
	}
	if at, err := http.ParseTime(field); err == nil && at.After(now) {
		return at.Sub(now)
	}
	return 0
}
