package redisstore

import (
	"context"
	"errors"
	"net"
	"time"
)

// Times of the subscription.
const (
	silence = time.Minute // after which the connection is tried
	pause   = time.Second // before it is made again
)

// listen asks for a poll whenever there is a hint, until ctx ends. Hints may be lost; polls make up for them.
func (f *Follower) listen(ctx context.Context) {
	for ctx.Err() == nil {
		f.subscribed(ctx)
		timer := time.NewTimer(jitter(pause))
		select {
		case <-ctx.Done():
		case <-timer.C:
		}
		timer.Stop()
	}
}

// subscribed hears hints until the connection fails.
func (f *Follower) subscribed(ctx context.Context) {
	sub := f.shared.client.Subscribe(ctx, channel)
	defer func() { _ = sub.Close() }() // nothing is written to it
	stop := context.AfterFunc(ctx, func() { _ = sub.Close() })
	defer stop()
	tried := false
	for ctx.Err() == nil {
		_, err := sub.ReceiveTimeout(ctx, silence)
		var slow net.Error
		switch {
		case err == nil:
			tried = false
			f.Ask() // also for the answer to the subscription: something may have been missed before it
		case errors.As(err, &slow) && slow.Timeout() && !tried:
			tried = true
			if sub.Ping(ctx) != nil {
				return
			}
		default:
			return
		}
	}
}
