package api

import (
	"context"
	"errors"
	"testing"
	"testing/synctest"
	"time"

	"endfloat/api/rim"
	"endfloat/service/fault"
)

func refusedBy(t *testing.T, err error) {
	t.Helper()
	var f *fault.Error
	if !errors.As(err, &f) || f.Kind != fault.Unavailable || f.Code != "busy" || f.RetryAfter < 1 {
		t.Errorf("no refusal: %v", err)
	}
}

func TestAGateLetsAFixedNumberThrough(t *testing.T) {
	t.Parallel()
	g := newGate(2, queuesFor)
	ctx, cancel := context.WithCancel(context.Background())
	for range 2 {
		if err := g.enter(ctx); err != nil {
			t.Fatal(err)
		}
	}
	cancel() // a caller who does not wait
	refusedBy(t, g.enter(ctx))
	g.leave()
	if err := g.enter(ctx); err != nil {
		t.Errorf("a place that is free: %v", err)
	}
	if n := g.refused.Load(); n != 1 {
		t.Errorf("%d were refused", n)
	}
}

func TestAFullQueueIsRefusedAtOnce(t *testing.T) {
	t.Parallel()
	synctest.Test(t, func(t *testing.T) {
		g := newGate(1, queuesFor)
		if err := g.enter(t.Context()); err != nil {
			t.Fatal(err)
		}
		began := time.Now()
		refusedBy(t, g.enter(t.Context())) // it waited
		if took := time.Since(began); took != patience {
			t.Errorf("it took %v", took)
		}
		for range queuesFor {
			g.queue <- struct{}{}
		}
		began = time.Now()
		refusedBy(t, g.enter(t.Context()))
		if took := time.Since(began); took != 0 {
			t.Errorf("it took %v", took)
		}
	})
}

func TestALargeBodyNeedsTwoPlacesAndGivesBothBack(t *testing.T) {
	t.Parallel()
	g := newGates(Config{}.withDefaults(), 1)
	ctx, cancel := context.WithCancel(context.Background())
	leave, err := g.enter(ctx, rim.Judge, largeBody)
	if err != nil || len(g.large.places) != 1 || len(g.byClass[rim.Judge].places) != 1 {
		t.Fatal(err, len(g.large.places))
	}
	small, err := g.enter(ctx, rim.Judge, largeBody-1)
	if err != nil {
		t.Errorf("a small one beside it: %v", err)
	}
	cancel()
	_, err = g.enter(ctx, rim.Sheet, largeBody)
	refusedBy(t, err)
	leave()
	small()
	if len(g.large.places) != 0 || len(g.byClass[rim.Judge].places) != 0 || len(g.byClass[rim.Sheet].places) != 0 {
		t.Error("a place is not given back")
	}
	if _, err := g.enter(ctx, rim.Lookup, largeBody); err != nil {
		t.Errorf("a class without bounds: %v", err)
	}
}
