package metrics

import (
	"github.com/prometheus/client_golang/prometheus"

	"endfloat/service/catalogue"
	"endfloat/service/spec"
)

// reading describes the revision in use when somebody asks.
type reading struct {
	source                         catalogue.Source
	info, families, specs, holding *prometheus.Desc
}

// Catalogue adds what is in use: the name and date of the revision, how much it holds, and how many revisions are held.
func (s *Set) Catalogue(source catalogue.Source) {
	if s == nil {
		return
	}
	desc := func(name, help string, labels ...string) *prometheus.Desc {
		return prometheus.NewDesc(prometheus.BuildFQName(Name, "catalogue", name), help, labels, nil)
	}
	s.registry.MustRegister(&reading{source: source,
		info:     desc("info", "1, labelled with the revision in use.", "revision", "revision_date", "rules"),
		families: desc("families", "Families of the revision in use."),
		specs:    desc("specs", "Specs of the revision in use."),
		holding:  desc("revisions_held", "Revisions that can be replayed."),
	})
}

// Describe implements prometheus.Collector.
func (r *reading) Describe(to chan<- *prometheus.Desc) {
	for _, d := range []*prometheus.Desc{r.info, r.families, r.specs, r.holding} {
		to <- d
	}
}

// Collect implements prometheus.Collector.
func (r *reading) Collect(to chan<- prometheus.Metric) {
	rev := r.source.Current()
	gauge := func(d *prometheus.Desc, v int, labels ...string) {
		to <- prometheus.MustNewConstMetric(d, prometheus.GaugeValue, float64(v), labels...)
	}
	gauge(r.info, 1, rev.Name, rev.Date, spec.Rules)
	gauge(r.families, len(rev.Families))
	gauge(r.specs, len(rev.SpecKeys()))
	gauge(r.holding, len(r.source.Held()))
}
