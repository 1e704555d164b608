package main

import (
	"errors"
	"strconv"
	"time"
)

// operating is what whoever runs the service may set.
type operating struct {
	privateAddr    string // empty: no private listener
	drainDelay     time.Duration
	maxConnections int
	slow           time.Duration
}

// Bounds of what may be set.
const (
	mostDelay       = 5 * time.Minute
	leastPlaces     = 16
	mostPlaces      = 1 << 20
	presetPlaces    = "16384"
	presetDelay     = "0s"
	presetSlow      = "1s"
	leastSlow       = time.Millisecond
	mostSlow        = time.Hour
	privateAddrFlag = "private-addr"
)

func (o *operating) options() []option {
	return []option{
		{privateAddrFlag, "", "address of a second listener for whoever runs the service: /metrics, /livez, /readyz, /build, /debug/pprof/; none without it; keep it where callers cannot reach it", func(v string) error {
			if o.privateAddr = v; v == "" {
				return nil
			}
			return checkAddr(v)
		}},
		{"drain-delay", presetDelay, "how long after a signal to stop new requests are still taken, while /readyz fails and answers close their connections; at most 5m", within(&o.drainDelay, 0, mostDelay)},
		{"max-connections", presetPlaces, "connections that are open at once, 16 to 1048576; fewer where the process may not open as many files; idle ones are closed to make room", func(v string) (err error) {
			if o.maxConnections, err = strconv.Atoi(v); err != nil || o.maxConnections < leastPlaces || o.maxConnections > mostPlaces {
				return errors.New("want a whole number from 16 to 1048576")
			}
			return nil
		}},
		{"slow-request", presetSlow, "time from which on an answer is logged as slow; 1ms to 1h", within(&o.slow, leastSlow, mostSlow)},
	}
}

// within reads a duration from least to most.
func within(into *time.Duration, least, most time.Duration) func(string) error {
	return func(v string) error {
		d, err := time.ParseDuration(v)
		if err != nil || d < least || d > most {
			return errors.New("want a time from " + least.String() + " to " + most.String() + ", such as " + max(least, min(most, 5*time.Second)).String())
		}
		*into = d
		return nil
	}
}
