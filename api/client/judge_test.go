package client_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"strings"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"endfloat/api/client"
)

func TestOrderIsKeptWhateverComesFirst(t *testing.T) {
	t.Parallel()
	synctest.Test(t, func(t *testing.T) {
		var now, most, asked atomic.Int64
		c := open(t, func(r *http.Request) *http.Response {
			if r.URL.Path == "/v1" {
				return index()
			}
			if r.URL.Query().Get("revision") != "r-1" {
				t.Errorf("asked without the revision: %s", r.URL)
			}
			most.Store(max(most.Load(), now.Add(1)))
			<-time.After(time.Duration(100-asked.Add(1)) * time.Millisecond) // the later it is asked the sooner it is there
			defer now.Add(-1)
			return judged(r)
		}, time.Minute)
		var out bytes.Buffer
		all, err := c.Judge(t.Context(), client.Table{In: strings.NewReader(table(95)), Sink: client.CSV(&out), Rows: 10, InFlight: 3})
		if err != nil || all.Rows != 95 || !all.Passed() {
			t.Fatalf("%v %v", all, err)
		}
		var want strings.Builder
		want.WriteString("row,id,verdict,cautions,text\n")
		for i := range 95 {
			fmt.Fprintf(&want, "%d,r%d,pass,demo_values,\"one\nline\"\n", i+1, i+1)
		}
		if out.String() != want.String() {
			t.Errorf("got\n%s", out.String())
		}
		if asked.Load() != 10 || most.Load() > 3 || most.Load() < 2 {
			t.Errorf("%d requests, %d at once", asked.Load(), most.Load())
		}
	})
}

func TestAChunkIsTriedAgain(t *testing.T) {
	t.Parallel()
	synctest.Test(t, func(t *testing.T) {
		var posts, waits atomic.Int64
		c, err := client.New(client.Options{Patience: time.Minute, Waiting: func(error, time.Duration) { waits.Add(1) },
			Transport: wire(func(r *http.Request) *http.Response {
				switch n := posts.Add(1); {
				case r.URL.Path == "/v1":
					return index()
				case n%3 == 0:
					return nil
				case n%3 == 1:
					return says(503, problem, `{"code":"busy"}`, "Retry-After", "1")
				}
				return judged(r)
			})})
		if err != nil {
			t.Fatal(err)
		}
		var out bytes.Buffer
		all, err := c.Judge(t.Context(), client.Table{In: strings.NewReader(table(40)), Sink: client.CSV(&out), Rows: 10})
		if err != nil || all.Rows != 40 || waits.Load() == 0 {
			t.Errorf("%v %v, %d waits", all, err, waits.Load())
		}
	})
}

func TestWhatGoesWrongEndsTheWork(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name, in, says string
		answer         wire
	}{
		{"no table", "", "empty", nil},
		{"a quote that is not closed", "id\n\"a\nb\n", "line 3", judged},
		{"refused", table(30), "rows 11 to 20: It cannot be read (400 unknown_column)", func(r *http.Request) *http.Response {
			if body, _ := io.ReadAll(r.Body); bytes.Contains(body, []byte("r11")) {
				return says(400, problem, `{"title":"It cannot be read","code":"unknown_column"}`)
			}
			return judgedRows(10)
		}},
		{"fewer rows than were sent", table(30), "does not count the 10 rows", func(*http.Request) *http.Response { return judgedRows(9) }},
		{"something else answers", table(30), "does not count", func(*http.Request) *http.Response { return says(200, "text/html", "<p>Welcome") }},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			c := open(t, func(r *http.Request) *http.Response {
				if r.URL.Path == "/v1" {
					return index()
				}
				return row.answer(r)
			}, 0)
			_, err := c.Judge(t.Context(), client.Table{In: strings.NewReader(row.in), Sink: client.CSV(io.Discard), Rows: 10, InFlight: 1})
			if err == nil || !strings.Contains(err.Error(), row.says) {
				t.Errorf("%v", err)
			}
		})
	}
}

func judgedRows(n int) *http.Response {
	return judged(&http.Request{Body: io.NopCloser(strings.NewReader(table(n)))})
}

func TestItEndsWhenItIsTold(t *testing.T) {
	t.Parallel()
	ctx, cancel := context.WithCancel(t.Context())
	c := open(t, func(r *http.Request) *http.Response {
		if r.URL.Path == "/v1" {
			return index()
		}
		cancel()
		<-r.Context().Done()
		return nil
	}, time.Minute)
	if _, err := c.Judge(ctx, client.Table{In: strings.NewReader(table(100)), Sink: client.CSV(io.Discard), Rows: 10}); !errors.Is(err, context.Canceled) {
		t.Errorf("%v", err)
	}
}

// nowhere is a service at which nobody listens, until it is there.
type nowhere struct {
	wire
	tries, until int
}

func (n *nowhere) RoundTrip(r *http.Request) (*http.Response, error) {
	if n.tries++; n.tries <= n.until {
		return nil, &net.OpError{Op: "dial", Net: "tcp", Err: errors.New("connection refused")}
	}
	return n.wire.RoundTrip(r)
}
