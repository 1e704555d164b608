package api

import (
	"context"
	"sync/atomic"
	"time"

	"endfloat/api/metrics"
	"endfloat/api/rim"
	"endfloat/service/fault"
	"endfloat/service/note"
)

// gate lets a fixed number of computed answers of one class through at once. A few more requests wait a moment for a
// place; a flood is answered with 503, so that look-ups stay quick.
type gate struct {
	places  chan struct{}
	queue   chan struct{}
	refused atomic.Int64
}

const (
	patience  = 2 * time.Second // how long a request waits for a place
	queuesFor = 16              // requests that wait for one place

	largeBody   = 128 << 10 // bytes from which on a body takes long: it needs a place of its own kind as well
	largeQueues = 64        // of those that wait for one place
)

func newGate(n, queues int) *gate {
	return &gate{places: make(chan struct{}, n), queue: make(chan struct{}, n*queues)}
}

// enter waits for a place; leave must follow a nil error.
func (g *gate) enter(ctx context.Context) error {
	select {
	case g.places <- struct{}{}:
		return nil
	default:
	}
	select {
	case g.queue <- struct{}{}:
	default:
		return g.busy()
	}
	defer func() { <-g.queue }()
	wait := time.NewTimer(patience)
	defer wait.Stop()
	select {
	case g.places <- struct{}{}:
		return nil
	case <-wait.C:
	case <-ctx.Done():
	}
	return g.busy()
}

func (g *gate) busy() error {
	g.refused.Add(1)
	return &fault.Error{Kind: fault.Unavailable, Code: "busy", Detail: note.New("found_too_much_work_kind"), RetryAfter: 1}
}

func (g *gate) leave() { <-g.places }

// gates are the bounds of everything that computes.
type gates struct {
	byClass [classes]*gate // nil: not bounded
	large   *gate          // bodies that take much time and memory: one processor is left for what takes little
	bodies  *rim.Bodies
}

func newGates(cfg Config, processors int) *gates {
	g := &gates{large: newGate(max(1, processors-1), largeQueues), bodies: rim.NewBodies(cfg.Bodies)}
	g.byClass[rim.Judge] = newGate(cfg.Judgings, queuesFor)
	g.byClass[rim.Plan] = newGate(cfg.Plans, queuesFor)
	g.byClass[rim.Sheet] = newGate(cfg.Judgings, queuesFor)
	return g
}

// enter waits for the places that a request of a class with a body of this size needs; leave must follow a nil error.
func (g *gates) enter(ctx context.Context, class rim.Class, body int) (leave func(), err error) {
	own := g.byClass[class]
	if own == nil {
		return func() {}, nil
	}
	if body < largeBody {
		return own.leave, own.enter(ctx)
	}
	if err := g.large.enter(ctx); err != nil {
		return nil, err
	}
	if err := own.enter(ctx); err != nil {
		g.large.leave()
		return nil, err
	}
	return func() { own.leave(); g.large.leave() }, nil
}

// show adds how the gates stand to what is counted.
func (g *gates) show(to *metrics.Set) {
	one := func(name string, each *gate) {
		kind := metrics.Label{Name: "class", Value: name}
		to.Gauge("gate_places", "Answers of a class that are computed at once at most.", func() float64 { return float64(cap(each.places)) }, kind)
		to.Gauge("gate_taken", "Answers of a class that are computed now.", func() float64 { return float64(len(each.places)) }, kind)
		to.Gauge("gate_waiting", "Requests of a class that wait for a place.", func() float64 { return float64(len(each.queue)) }, kind)
		to.Counter("gate_refused_total", "Requests of a class that got no place.", func() float64 { return float64(each.refused.Load()) }, kind)
	}
	for class, each := range g.byClass {
		if each != nil {
			one(className(rim.Class(class)), each)
		}
	}
	one("large", g.large)
	to.Gauge("body_bytes_held", "Bytes of bodies that are being read or used.", func() float64 { return float64(g.bodies.Held()) })
}
