// Package metrics counts what the service answers, in the form that Prometheus reads.
//
// It decides names, labels and classes of duration. It refuses to know HTTP handlers: whoever answers holds a Tally of
// its route, made once, so that noting an answer looks nothing up and allocates nothing. What is read rather than
// counted (the revision in use, how a breaker stands) is a function that is called when somebody asks.
//
//	set := metrics.New("1.0")
//	spec := set.Route("GET", "/v1/specs", []int{200, 304})
//	spec.Note(200, 12*time.Microsecond)
package metrics

import (
	"net/http"
	"runtime"
	"strconv"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
	"github.com/prometheus/client_golang/prometheus/promhttp"
)

// Set is everything that is counted in one process. A nil Set counts nothing; every method is safe for concurrent use.
type Set struct {
	registry  *prometheus.Registry
	requests  *prometheus.CounterVec
	durations *prometheus.HistogramVec
	plans     *planning
}

// Name is what every metric of the service begins with.
const Name = "endfloat"

// durationClasses are upper ends in seconds, each four times the one before: a ready look-up takes microseconds, the
// longest plan ten seconds.
func durationClasses() []float64 { return prometheus.ExponentialBuckets(25e-6, 4, 10) }

// New is a Set with what the runtime and the process say of themselves. version is that of the program.
func New(version string) *Set {
	s := &Set{
		registry: prometheus.NewRegistry(),
		requests: prometheus.NewCounterVec(prometheus.CounterOpts{Namespace: Name, Name: "http_requests_total",
			Help: "Answers by route, method and status; a HEAD counts as its GET."}, []string{"route", "method", "code"}),
		durations: prometheus.NewHistogramVec(prometheus.HistogramOpts{Namespace: Name, Name: "http_request_duration_seconds",
			Help: "Time from the first look at a request to its answer being written.", Buckets: durationClasses()}, []string{"route", "method"}),
	}
	s.plans = newPlanning()
	info := prometheus.NewGaugeFunc(prometheus.GaugeOpts{Namespace: Name, Name: "build_info", Help: "1, labelled with what was built.",
		ConstLabels: prometheus.Labels{"version": version, "go": runtime.Version()}}, func() float64 { return 1 })
	s.registry.MustRegister(s.requests, s.durations, s.plans, info, collectors.NewGoCollector(),
		collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}))
	return s
}

// Tally counts the answers of one route. A nil Tally counts nothing.
type Tally struct {
	byCode   [slots]prometheus.Counter
	duration prometheus.Observer
}

// slots are the statuses that the service gives, from 200 to 503, and one for any other.
const (
	slots  = 600 - 200
	others = slots - 1
)

// Route is the tally of a route whose answers have these statuses; any other is counted under the code "other". Each
// status is there from the start, at zero, so that the first of its kind is seen as a rise.
func (s *Set) Route(method, pattern string, codes []int) *Tally {
	if s == nil {
		return nil
	}
	t := &Tally{duration: s.durations.WithLabelValues(pattern, method)}
	other := s.requests.WithLabelValues(pattern, method, "other")
	for i := range t.byCode {
		t.byCode[i] = other
	}
	for _, code := range codes {
		t.byCode[slot(code)] = s.requests.WithLabelValues(pattern, method, strconv.Itoa(code))
	}
	return t
}

func slot(code int) int {
	if i := code - 200; i >= 0 && i < others {
		return i
	}
	return others
}

// Note counts one answer.
func (t *Tally) Note(code int, took time.Duration) {
	if t == nil {
		return
	}
	t.byCode[slot(code)].Inc()
	t.duration.Observe(took.Seconds())
}

// Label is a fixed label of a metric.
type Label struct{ Name, Value string }

// Gauge adds a value that is read when somebody asks for the metrics. name stands behind the common prefix. read must
// be quick and safe for concurrent use. The same name and labels twice, or a name that Prometheus does not take, is a
// fault of the program: it panics.
func (s *Set) Gauge(name, help string, read func() float64, labels ...Label) {
	if s == nil {
		return
	}
	s.registry.MustRegister(prometheus.NewGaugeFunc(prometheus.GaugeOpts{Namespace: Name, Name: name, Help: help, ConstLabels: constant(labels)}, read))
}

// Counter adds a count that only rises; otherwise it is as Gauge. By custom its name ends in _total.
func (s *Set) Counter(name, help string, read func() float64, labels ...Label) {
	if s == nil {
		return
	}
	s.registry.MustRegister(prometheus.NewCounterFunc(prometheus.CounterOpts{Namespace: Name, Name: name, Help: help, ConstLabels: constant(labels)}, read))
}

func constant(labels []Label) prometheus.Labels {
	set := prometheus.Labels{}
	for _, l := range labels {
		set[l.Name] = l.Value
	}
	return set
}

// Handler answers with all metrics in the text form of Prometheus, or in that of OpenMetrics where it is asked for.
func (s *Set) Handler() http.Handler {
	return promhttp.HandlerFor(s.registry, promhttp.HandlerOpts{EnableOpenMetrics: true, MaxRequestsInFlight: 4, Timeout: 10 * time.Second})
}
