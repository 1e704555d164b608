package redisquota

import (
	"context"
	"errors"
	"log/slog"
	"time"
)

// Run sends a heartbeat at once and every second until ctx ends: it says that this service is there, learns how many are,
// and begins and ends the asking. Run it once, in the background.
func (l *Ledger) Run(ctx context.Context) {
	l.Beat(ctx)
	tick := time.NewTicker(beat)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
			l.Beat(ctx)
		}
	}
}

// Beat is one heartbeat; it gives up after Patience.Wait. Only one that was answered quickly begins the asking.
func (l *Ledger) Beat(ctx context.Context) {
	limit, cancel := context.WithTimeout(ctx, l.patience.Wait)
	defer cancel()
	if err := l.load(limit); err != nil && ctx.Err() == nil {
		l.lost(ctx, err)
		return
	}
	began := time.Now()
	n, err := l.client.Eval(limit, beatScript, []string{replicas}, l.name, silence.Microseconds()).Int64()
	if err == nil && n < 1 {
		err = errors.New("it answered what the script does not")
	}
	switch {
	case ctx.Err() != nil:
		return
	case err != nil:
		l.lost(ctx, err)
		return
	}
	l.shared.Store(n)
	if time.Since(began) >= l.patience.Slow {
		return // alive, but not quick enough to begin with
	}
	if !l.up.Swap(true) {
		l.log.InfoContext(ctx, "redis counts quotas", slog.Int64("replicas", n))
	}
}

// load gives Redis the script, every node of a Cluster, where it may not have it.
func (l *Ledger) load(ctx context.Context) error {
	if l.loaded.Load() {
		return nil
	}
	err := l.client.ScriptLoad(ctx, countScript).Err()
	if err == nil {
		l.loaded.Store(true)
	}
	return err
}
