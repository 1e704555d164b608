package metrics

import "github.com/prometheus/client_golang/prometheus"

// planning is how much work plans were.
type planning struct {
	nodes, options prometheus.Histogram
	unproven       prometheus.Counter
}

func newPlanning() *planning {
	return &planning{
		nodes: prometheus.NewHistogram(prometheus.HistogramOpts{Namespace: Name, Name: "plan_nodes",
			Help: "Steps of the search for a shim plan.", Buckets: prometheus.ExponentialBuckets(100, 10, 6)}),
		options: prometheus.NewHistogram(prometheus.HistogramOpts{Namespace: Name, Name: "plan_options",
			Help: "Options that a shim plan lists to order.", Buckets: []float64{0, 1, 5, 10, 50}}),
		unproven: prometheus.NewCounter(prometheus.CounterOpts{Namespace: Name, Name: "plans_unproven_total",
			Help: "Shim plans whose search ran out of steps."}),
	}
}

// Plan notes one shim plan: the steps of its search, the options it lists, and whether the search came to its end.
func (s *Set) Plan(nodes, options int, proven bool) {
	if s == nil {
		return
	}
	s.plans.nodes.Observe(float64(nodes))
	s.plans.options.Observe(float64(options))
	if !proven {
		s.plans.unproven.Inc()
	}
}

// Describe implements prometheus.Collector.
func (p *planning) Describe(to chan<- *prometheus.Desc) {
	p.nodes.Describe(to)
	p.options.Describe(to)
	p.unproven.Describe(to)
}

// Collect implements prometheus.Collector.
func (p *planning) Collect(to chan<- prometheus.Metric) {
	p.nodes.Collect(to)
	p.options.Collect(to)
	p.unproven.Collect(to)
}
