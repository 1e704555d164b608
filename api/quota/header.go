package quota

import (
	"strconv"
	"time"
)

// Header is a decision as the fields RateLimit and RateLimit-Policy say it (draft-ietf-httpapi-ratelimit-headers, lists of
// structured fields, RFC 9651): what is left and in how many seconds all of it is there again, and the quota with its
// window. Both are empty where nothing is limited.
func (d Decision) Header() (limit, policy string) {
	if !d.Quota.Limited() {
		return "", ""
	}
	var room [64]byte
	b := append(room[:0], '"')
	b = append(append(b, d.Policy...), `";r=`...)
	b = strconv.AppendInt(b, d.Remaining, 10)
	b = strconv.AppendInt(append(b, ";t="...), seconds(d.Reset), 10)
	limit = string(b)
	b = append(append(append(b[:0], '"'), d.Policy...), `";q=`...)
	b = strconv.AppendInt(b, d.Quota.Units, 10)
	b = strconv.AppendInt(append(b, ";w="...), int64(d.Quota.Window/time.Second), 10)
	return limit, string(b)
}

// RetryAfter is the time to wait in whole seconds, rounded up and at least 1 (RFC 9110, section 10.2.3).
func (d Decision) RetryAfter() int { return int(max(1, seconds(d.Retry))) }

func seconds(d time.Duration) int64 { return int64((d + time.Second - 1) / time.Second) }
