package client

import (
	"errors"
	"fmt"
	"mime"
	"net"
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
	var says []string
	if r.Detail != "" && !r.repeated() {
		says = append(says, strings.TrimSuffix(r.Detail, "."))
	}
	for _, f := range r.Faults {
		one := f.Detail
		if f.Column != "" && !strings.Contains(f.Detail, f.Column) {
			one += " (column " + f.Column + ")"
		}
		if f.Fix != "" {
			one += ": " + f.Fix
		}
		says = append(says, one)
	}
	if len(says) > 0 {
		b.WriteString(": " + strings.Join(says, "; "))
	}
	return b.String()
}

// repeated reports whether the detail is the only fault over again.
func (r *Refusal) repeated() bool {
	return len(r.Faults) == 1 && strings.HasPrefix(r.Detail, r.Faults[0].Detail)
}

// Unreached says that nobody listens where the service should be.
type Unreached struct {
	Server string
	Cause  error
}

// Error is the address with what stood in the way.
func (u *Unreached) Error() string {
	return "nobody answers at " + u.Server + " (" + u.Cause.Error() + ")"
}

// Unwrap is what stood in the way.
func (u *Unreached) Unwrap() error { return u.Cause }

// unreached names the server where an exchange did not even begin; any other error stays as it is.
func (c *Client) unreached(err error) error {
	if dial, ok := errors.AsType[*net.OpError](err); ok && dial.Op == "dial" {
		return &Unreached{Server: c.base.Redacted(), Cause: dial.Err}
	}
	return err
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
