package api

import (
	"context"
	"time"

	"endfloat/service/fault"
)

// gate lets a fixed number of computed answers of one class through at once. A request waits a moment for a place; a
// flood is answered with 503, so that look-ups stay quick.
type gate struct{ places chan struct{} }

// patience is how long a request waits for a place.
const patience = 2 * time.Second

func newGate(n int) *gate { return &gate{make(chan struct{}, n)} }

// enter waits for a place; leave must follow a nil error.
func (g *gate) enter(ctx context.Context) error {
	select {
	case g.places <- struct{}{}:
		return nil
	default:
	}
	wait := time.NewTimer(patience)
	defer wait.Stop()
	select {
	case g.places <- struct{}{}:
		return nil
	case <-wait.C:
	case <-ctx.Done():
	}
	return &fault.Error{Kind: fault.Unavailable, Code: "busy", Detail: "Too much work of this kind is under way.", RetryAfter: 1}
}

func (g *gate) leave() { <-g.places }
