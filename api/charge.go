package api

import (
	"log/slog"
	"net/http"
	"strconv"
	"time"

	"endfloat/api/quota"
	"endfloat/api/rim"
	"endfloat/service/fault"
	"endfloat/service/note"
)

// unitBytes of a body cost one unit more than the route does: about thirty checks.
const unitBytes = 8 << 10

// charge counts what a computed answer costs: what the route table says, and a unit more for each unitBytes of the body.
// It is charged before the body is read wherever its length is known, and says in the header fields what is left. Who
// sends a key that is not known is charged by address. size is that of the body; a negative one is not known yet and
// nothing happens.
func (s *server) charge(w http.ResponseWriter, r *http.Request, route *rim.Route, key *Key, size int64) error {
	s.suspect(r)
	if s.deps.Limiter == nil || size < 0 {
		return nil
	}
	var caller quota.Caller
	if key != nil {
		caller = s.deps.Limiter.Key(key.Name, key.Quota)
	} else {
		caller = s.deps.Limiter.Address(s.proxies.Client(r))
	}
	if size > route.Body {
		size = 0 // it is refused unread
	}
	return tell(w, s.deps.Limiter.Charge(caller, int64(max(1, route.Cost))+size/unitBytes))
}

// tell writes the header fields of a decision; the error is nil where it lets the request through.
func tell(w http.ResponseWriter, d quota.Decision) error {
	limit, policy := d.Header()
	if limit == "" {
		return nil
	}
	h := w.Header()
	h["Ratelimit"], h["Ratelimit-Policy"] = []string{limit}, []string{policy}
	if d.Allowed {
		return nil
	}
	wait := d.RetryAfter()
	return &fault.Error{Kind: fault.TooMany, Code: "quota_used_up", RetryAfter: wait,
		Detail: note.New("found_quota_units_s_used", note.Str("units", strconv.FormatInt(d.Quota.Units, 10)), note.Str("window", strconv.FormatInt(int64(d.Quota.Window/time.Second), 10)), note.Str("seconds", strconv.Itoa(wait)))}
}

// admit counts a look-up where look-ups are counted, by address; who has a good key is not counted. Where the address has
// used up what it has, the refusal is written and admit is false. Questions after health are answered always.
func (s *server) admit(w http.ResponseWriter, r *http.Request) bool {
	if r.Method != http.MethodGet && r.Method != http.MethodHead {
		return true
	}
	if key, err := s.key(r); key != nil && err == nil {
		return true
	}
	began := time.Now()
	d := s.deps.Limiter.LookUp(s.proxies.Client(r))
	if d.Allowed || r.URL.Path == "/livez" || r.URL.Path == "/readyz" {
		return true
	}
	s.fail(w, r, tell(w, d))
	s.watch.nowhere.Note(http.StatusTooManyRequests, time.Since(began))
	return false
}

// suspect warns once where somebody passes requests on whom nobody told it to believe: all callers behind would be one.
func (s *server) suspect(r *http.Request) {
	if s.proxies.Any() || s.suspected.Load() || !quota.Forwarded(r) || s.suspected.Swap(true) {
		return
	}
	s.deps.Log.WarnContext(r.Context(), "a proxy passes requests on, but --trusted-proxies does not name it: all callers behind it share the quota of its address",
		slog.String("peer", r.RemoteAddr))
}
