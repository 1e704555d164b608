package api

import (
	"context"
	"log/slog"
	"net/http"
	"sync/atomic"
	"time"

	"github.com/gin-gonic/gin"

	"endfloat/api/metrics"
	"endfloat/api/rim"
	"endfloat/api/tracing"
)

// Tracer records requests where somebody collects them. It is safe for concurrent use.
type Tracer interface {
	// Begin starts the record of a request that was first seen at began. What is done for it belongs to the context
	// it returns; response is the header field traceresponse of an answer that nobody keeps; end is called once, with the
	// status.
	Begin(r *http.Request, route string, began time.Time) (ctx context.Context, response string, end func(status int))
}

// watch sees every answer: it counts all, records those that are traced, and logs few. A successful answer is logged
// as a sample, one of its class in a while, probes aside; a slow one always, as long as they are not many.
type watch struct {
	log     *slog.Logger
	counted *metrics.Set
	tallies []*metrics.Tally // by number of route
	nowhere *metrics.Tally   // of what no route answers
	tracer  Tracer           // nil: nobody collects
	slow    time.Duration
	began   time.Time
	samples [classes]pace
	slows   pace
	refused pace
	flights [classes]atomic.Int64
}

const (
	classes     = int(rim.Sheet) + 1
	sampleEvery = 10 * time.Second
	floodEvery  = time.Second // between lines about what a flood brings many of
	longPath    = 256         // of an address that is logged
)

// statusesOf lists the statuses that answers to a method have.
func statusesOf(method string) []int {
	if method == http.MethodGet {
		return []int{200, 304, 400, 401, 404, 406, 422, 500, 503}
	}
	return []int{200, 400, 401, 404, 406, 413, 415, 422, 429, 500, 503}
}

func newWatch(deps Deps, routes []rim.Route, slow time.Duration) *watch {
	w := &watch{log: deps.Log, counted: deps.Metrics, tracer: deps.Tracer, slow: slow, began: time.Now()}
	for i := range routes {
		routes[i].Number = i
		w.tallies = append(w.tallies, deps.Metrics.Route(routes[i].Method, routes[i].Path, statusesOf(routes[i].Method)))
	}
	w.nowhere = deps.Metrics.Route("any", "none", []int{204, 401, 404, 405, 429, 500})
	for i := range w.flights {
		deps.Metrics.Gauge("http_in_flight", "Requests that are being answered, ready look-ups aside.",
			func() float64 { return float64(w.flights[i].Load()) }, metrics.Label{Name: "class", Value: className(rim.Class(i))})
	}
	return w
}

func className(c rim.Class) string {
	return [classes]string{"static", "lookup", "judge", "plan", "sheet"}[c]
}

// answered notes an answer. id names the request where it has a name already.
func (w *watch) answered(r *http.Request, route *rim.Route, status int, began time.Time, id string) {
	took := time.Since(began)
	w.tallies[route.Number].Note(status, took)
	now := began.Sub(w.began) + took
	switch {
	case took >= w.slow && w.slows.due(now, floodEvery):
		w.write(r, route, slog.LevelWarn, "slow request", status, took, id)
	case status < 400 && !route.Volatile && w.samples[route.Class].due(now, sampleEvery):
		w.write(r, route, slog.LevelInfo, "request, a sample", status, took, id)
	case w.log.Enabled(r.Context(), slog.LevelDebug):
		w.write(r, route, slog.LevelDebug, "request", status, took, id)
	}
}

// traced begins the record of a request whose answer is not ready, and names it in an answer that no cache keeps.
func (w *watch) traced(to http.ResponseWriter, r *http.Request, route *rim.Route, began time.Time) (*http.Request, func(int)) {
	ctx, response, end := w.tracer.Begin(r, route.Path, began)
	if route.Method == http.MethodPost {
		to.Header()["Traceresponse"] = []string{response}
	}
	return r.WithContext(ctx), end
}

// ready notes an answer that stood ready, and records it where requests are traced.
func (w *watch) ready(r *http.Request, route *rim.Route, status int, began time.Time) {
	if w.tracer != nil {
		_, _, end := w.tracer.Begin(r, route.Path, began)
		end(status)
	}
	w.answered(r, route, status, began, "")
}

func (w *watch) write(r *http.Request, route *rim.Route, level slog.Level, text string, status int, took time.Duration, id string) {
	if id == "" {
		id = instance()
	}
	w.log.LogAttrs(r.Context(), level, text, append(about(r, id), slog.String("route", route.Path),
		slog.Int("status", status), slog.Int64("took_us", took.Microseconds()))...)
}

// about is what a log says of a request: never its query, body or key. Its id is ours; that of a trace is the caller's
// and only there to find his side of it.
func about(r *http.Request, id string) []slog.Attr {
	path := r.URL.Path
	if len(path) > longPath {
		path = path[:longPath] + "…"
	}
	list := []slog.Attr{slog.String("instance", id), slog.String("method", r.Method), slog.String("path", path)}
	if parent, ok := tracing.Parent(r.Header); ok {
		list = append(list, slog.String("trace_id", parent.Trace))
	}
	return list
}

// faulty logs a problem: a fault of ours whole, a refusal under load now and then, a caller's mistake not at all.
func (w *watch) faulty(r *http.Request, status int, id, code string, cause error) {
	level := slog.LevelDebug
	switch status {
	case http.StatusInternalServerError:
		level = slog.LevelError
	case http.StatusServiceUnavailable, http.StatusTooManyRequests:
		if w.refused.due(time.Since(w.began), floodEvery) {
			level = slog.LevelWarn
		}
	}
	if !w.log.Enabled(r.Context(), level) {
		return
	}
	list := append(about(r, id), slog.Int("status", status), slog.String("code", code))
	if cause != nil {
		list = append(list, slog.String("cause", cause.Error()))
	}
	w.log.LogAttrs(r.Context(), level, "problem", list...)
}

// pace lets something through once in a while. The zero value lets the first through.
type pace struct{ next atomic.Int64 }

// due reports whether the time has come, and if so sets the next.
func (p *pace) due(now, every time.Duration) bool {
	next := p.next.Load()
	return int64(now) >= next && p.next.CompareAndSwap(next, int64(now+every))
}

// nowhere notes an answer of the router itself.
func (s *server) nowhere(c *gin.Context, began time.Time) {
	s.watch.nowhere.Note(c.Writer.Status(), time.Since(began))
}

// show adds what is read when somebody asks for the metrics.
func (s *server) show(to *metrics.Set) {
	to.Counter("catalogue_swaps_total", "How often another revision came into use, as answers saw it.", func() float64 { return float64(s.swaps.Load()) })
	to.Gauge("warnings", "What is wrong although the service is ready; /readyz says what.", func() float64 {
		if s.deps.Warnings == nil {
			return 0
		}
		return float64(len(s.deps.Warnings()))
	})
}

// preflight counts the answers to OPTIONS.
func (s *server) preflight(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.Method != http.MethodOptions {
			next.ServeHTTP(w, r)
			return
		}
		began, seen := time.Now(), &statusWriter{ResponseWriter: w}
		next.ServeHTTP(seen, r)
		s.watch.nowhere.Note(seen.status, time.Since(began))
	})
}

// statusWriter remembers the status.
type statusWriter struct {
	http.ResponseWriter
	status int
}

// WriteHeader implements http.ResponseWriter.
func (s *statusWriter) WriteHeader(status int) {
	s.status = status
	s.ResponseWriter.WriteHeader(status)
}
