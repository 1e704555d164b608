package main

import (
	"bufio"
	"strings"
	"testing"
	"time"
)

func TestSkipReadsOneAnswer(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name, text, rest string
		status           int
		broken           bool
	}{
		{"a length", "HTTP/1.1 200 OK\r\nContent-Length: 2\r\n\r\nabrest", "rest", 200, false},
		{"no body", "HTTP/1.1 304 Not Modified\r\nETag: \"a\"\r\n\r\nrest", "rest", 304, false},
		{"chunks", "HTTP/1.1 200 OK\r\nTransfer-Encoding: chunked\r\n\r\n3\r\nabc\r\n0\r\n\r\nrest", "rest", 200, false},
		{"cut off in the body", "HTTP/1.1 200 OK\r\nContent-Length: 9\r\n\r\nab", "", 0, true},
		{"cut off in a chunk", "HTTP/1.1 200 OK\r\nTransfer-Encoding: chunked\r\n\r\n9\r\nabc", "", 0, true},
		{"no HTTP", "220 ready\r\n", "", 0, true},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			r := bufio.NewReader(strings.NewReader(row.text))
			status, err := skip(r)
			if (err != nil) != row.broken {
				t.Fatal(err)
			}
			if row.broken {
				return
			}
			if rest, _ := r.Peek(len(row.rest)); status != row.status || string(rest) != row.rest {
				t.Errorf("status %d, then %q", status, rest)
			}
		})
	}
}

func TestQuantilesAreNeverTooLowAndASixteenthTooHighAtMost(t *testing.T) {
	t.Parallel()
	var h histogram
	for us := 1; us <= 1000; us++ {
		h.note(time.Duration(us) * time.Microsecond)
	}
	for _, row := range []struct {
		q    float64
		want time.Duration
	}{{0.5, 500 * time.Microsecond}, {0.99, 990 * time.Microsecond}, {1, time.Millisecond}} {
		if got := h.quantile(row.q); got < row.want || got > row.want+row.want/16 {
			t.Errorf("%v is %v, want %v", row.q, got, row.want)
		}
	}
	var empty histogram
	if got := empty.quantile(0.5); got != 0 {
		t.Errorf("of nothing: %v", got)
	}
}
