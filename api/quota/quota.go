// Package quota says how much a caller may ask for, and counts it.
//
// It decides who a caller is (a key, or an address of the network), what is left to them, and when they may come back. It
// refuses to know what an answer costs, which the route table says, and where the count is kept when several services
// share one: that is behind Shared. What is counted is a debt that runs off evenly (the generic cell rate algorithm): a
// caller who has rested has the whole quota at once, and after that what runs off.
//
//	per, err := quota.Parse("6000/1m")
//	limiter := quota.New(quota.Options{Address: per})
//	d := limiter.Charge(limiter.Address(client), 5)
//	if !d.Allowed { … come back after d.Retry … }
package quota

import (
	"errors"
	"math/bits"
	"strconv"
	"strings"
	"time"
)

// Bounds of a quota.
const (
	MaxUnits  = 1_000_000_000
	MaxWindow = 24 * time.Hour
)

// Quota is so many units in a window of whole seconds. The zero value says nothing, None says that there is no limit.
type Quota struct {
	Units  int64
	Window time.Duration
}

// None is the quota without a limit.
func None() Quota { return Quota{Units: -1} }

// Limited reports whether there is a limit.
func (q Quota) Limited() bool { return q.Units > 0 && q.Window > 0 }

// Said reports whether q is a quota at all, be it None.
func (q Quota) Said() bool { return q.Limited() || q.Units < 0 }

// errForm is what Parse says of anything else.
var errForm = errors.New("want units in a time, such as 6000/1m (from 1 to 1000000000, in whole seconds up to 24h), or off")

// Parse reads units and window, such as 6000/1m; off is None.
func Parse(text string) (Quota, error) {
	if text == "off" {
		return None(), nil
	}
	units, window, ok := strings.Cut(text, "/")
	n, err := strconv.ParseUint(units, 10, 63)
	w, errWindow := time.ParseDuration(window)
	if !ok || err != nil || errWindow != nil || n < 1 || n > MaxUnits || w < time.Second || w > MaxWindow || w%time.Second != 0 {
		return Quota{}, errForm
	}
	return Quota{int64(n), w}, nil
}

// String is the form that Parse reads.
func (q Quota) String() string {
	if !q.Limited() {
		return "off"
	}
	return strconv.FormatInt(q.Units, 10) + "/" + short(q.Window)
}

// short writes a duration without the zeros at its end.
func short(d time.Duration) string {
	s := d.String()
	if strings.HasSuffix(s, "m0s") {
		s = s[:len(s)-2]
	}
	if strings.HasSuffix(s, "h0m") {
		s = s[:len(s)-2]
	}
	return s
}

// part is the share that one of n services has of a limited quota; at least one unit.
func (q Quota) part(n int) Quota {
	if n > 1 {
		q.Units = max(1, q.Units/int64(n))
	}
	return q
}

// span is how long the debt of so many units takes to run off. What costs more than the whole quota costs the whole, so
// that nothing is out of reach of a caller who waits.
func (q Quota) span(units int64) time.Duration {
	return time.Duration(scale(uint64(min(max(units, 0), q.Units)), uint64(q.Window), uint64(q.Units)))
}

// left is how many whole units a debt leaves.
func (q Quota) left(debt time.Duration) int64 {
	free := min(max(q.Window-debt, 0), q.Window)
	return int64(scale(uint64(free), uint64(q.Units), uint64(q.Window)))
}

// scale is a · b / c, rounded down, without overflow; a must be at most c.
func scale(a, b, c uint64) uint64 {
	hi, lo := bits.Mul64(a, b)
	quotient, _ := bits.Div64(hi, lo, c)
	return quotient
}

// Of is so many units in so many seconds.
func Of(units, seconds int64) Quota { return Quota{units, time.Duration(seconds) * time.Second} }
