// Package tracing reads the trace context that callers send (W3C Trace Context, https://www.w3.org/TR/trace-context/).
//
// It decides what a valid traceparent is. It refuses to know who records spans; that is package export below it. What
// is not valid is treated as if it had not been sent, as section 3.2.2.3 and 4.3 of the Recommendation ask.
//
//	parent, ok := tracing.Parent(r.Header)
package tracing

import (
	"net/http"
	"strings"
)

// Context is what a traceparent says: two ids in lower-case hexadecimal, neither all zero, and whether the caller
// records the trace.
type Context struct {
	Trace, Span string
	Sampled     bool
}

// Parent is the trace context of a request. ok is false where there is none, more than one, or one that is not valid.
// A version that is not known is read as far as version 00 goes (section 3.2.4).
func Parent(h http.Header) (c Context, ok bool) {
	values := h["Traceparent"]
	if len(values) != 1 {
		return Context{}, false
	}
	const size = len("00-0af7651916cd43dd8448eb211c80319c-b7ad6b7169203331-01")
	v := values[0]
	if len(v) < size || v[2] != '-' || v[35] != '-' || v[52] != '-' {
		return Context{}, false
	}
	version, trace, span, flags := v[:2], v[3:35], v[36:52], v[53:55]
	known := version == "00"
	switch {
	case !hexadecimal(version) || version == "ff", known && len(v) > size, len(v) > size && v[size] != '-',
		!hexadecimal(trace) || zero(trace), !hexadecimal(span) || zero(span), !hexadecimal(flags):
		return Context{}, false
	}
	return Context{Trace: trace, Span: span, Sampled: strings.IndexByte("13579bdf", flags[1]) >= 0}, true
}

func hexadecimal(s string) bool {
	for i := range len(s) {
		if c := s[i]; (c < '0' || c > '9') && (c < 'a' || c > 'f') {
			return false
		}
	}
	return true
}

func zero(s string) bool { return strings.Trim(s, "0") == "" }
