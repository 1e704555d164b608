package client

import (
	"context"
	"errors"
	"time"

	"github.com/cenkalti/backoff/v5"
)

// Waits between tries grow from first to most, each within half of itself either way, so that many clients do not come
// back at once.
const (
	firstWait = 250 * time.Millisecond
	mostWait  = 15 * time.Second
)

// do has an exchange and tries again while that may help: when the service was not reached, or said that it cannot now.
// The time that Retry-After names is kept. A request stores nothing, so that sending it twice does no harm.
func (c *Client) do(ctx context.Context, q call) (*answer, error) {
	if c.options.Patience <= 0 {
		return c.send(ctx, q)
	}
	waits := backoff.NewExponentialBackOff()
	waits.InitialInterval, waits.MaxInterval = firstWait, mostWait
	var last error
	began := time.Now()
	got, err := backoff.Retry(ctx, func() (*answer, error) {
		var a *answer
		if a, last = c.send(ctx, q); last == nil {
			return a, nil
		}
		r, refused := errors.AsType[*Refusal](last)
		switch {
		case c.hopeless(last, time.Since(began)):
			return nil, backoff.Permanent(last)
		case !refused:
			return nil, last // not reached, or cut off
		case !r.later():
			return nil, backoff.Permanent(last)
		case r.Wait > 0:
			return nil, &backoff.RetryAfterError{Duration: r.Wait}
		}
		return nil, last
	}, backoff.WithBackOff(waits), backoff.WithMaxElapsedTime(c.options.Patience), backoff.WithNotify(func(_ error, wait time.Duration) {
		if c.options.Waiting != nil {
			c.options.Waiting(last, wait)
		}
	}))
	if err != nil && ctx.Err() == nil && last != nil {
		err = last // what went wrong, not how long was waited
	}
	return got, err
}

// hopeless reports whether the service was tried for long enough although it has never answered.
func (c *Client) hopeless(err error, tried time.Duration) bool {
	_, away := errors.AsType[*Unreached](err)
	return away && !c.met.Load() && c.options.FirstPatience > 0 && tried >= c.options.FirstPatience
}
