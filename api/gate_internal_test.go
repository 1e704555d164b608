package api

import (
	"context"
	"errors"
	"testing"

	"endfloat/service/fault"
)

func TestAGateLetsAFixedNumberThrough(t *testing.T) {
	t.Parallel()
	g := newGate(2)
	ctx, cancel := context.WithCancel(context.Background())
	for range 2 {
		if err := g.enter(ctx); err != nil {
			t.Fatal(err)
		}
	}
	cancel() // a caller who does not wait
	var f *fault.Error
	if err := g.enter(ctx); !errors.As(err, &f) || f.Kind != fault.Unavailable || f.Code != "busy" || f.RetryAfter < 1 {
		t.Errorf("a third one: %v", err)
	}
	g.leave()
	if err := g.enter(ctx); err != nil {
		t.Errorf("a place that is free: %v", err)
	}
}
