package client

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
)

// Requests under way at once.
const (
	DefaultInFlight = 4
	MostInFlight    = 32
)

// DefaultRows is how many rows go in one request: enough that the request itself costs next to nothing, few enough that
// what is held at once stays small.
const DefaultRows = 2_500

// Table is a table of readings to be judged. Its zero value but for In and Sink is ready.
type Table struct {
	In       io.Reader
	Sink     Sink
	Form     Form
	Lang     string // empty: English
	Unit     string // of every row, for a table without that column; empty: the table has it
	Revision string // to be judged by; empty: the one in use when the work begins
	Rows     int    // in one request; 0: DefaultRows; at most MostRows
	InFlight int    // requests at once; 0: DefaultInFlight
	Progress func(rows int, s Summary)
}

// Form is how a table is written, as the service names it: delimiter comma, semicolon or tab, decimal point or comma.
// Empty words are comma and point.
type Form struct{ Delimiter, Decimal string }

func (f Form) mark() (rune, error) {
	switch f.Delimiter {
	case "", "comma":
		return ',', nil
	case "semicolon":
		return ';', nil
	case "tab":
		return '\t', nil
	}
	return 0, fmt.Errorf("there is no delimiter %q; there are comma, semicolon and tab", f.Delimiter)
}

// Sink takes the answers in the order of the rows.
type Sink interface {
	// Media is the form in which answers are asked for.
	Media() string
	// Take writes one answer. before is how many rows of the table were in front of its first.
	Take(body []byte, before int) error
	// End writes what comes after the last row.
	End(ctx context.Context, c *Client, s Summary) error
}

// Judge sends a table chunk by chunk, several at once, and hands the answers to the sink in the order of the rows. All
// are judged by one revision of the catalogue. Memory does not grow with the table. Errors: a table that cannot be
// read, a request that was refused for good, a service that could not be reached in time, a context that has ended;
// what was written until then is whole rows.
func (c *Client) Judge(ctx context.Context, t Table) (Summary, error) {
	var all Summary
	delimiter, err := t.Form.mark()
	if err != nil {
		return all, err
	}
	if t.Revision == "" {
		if t.Revision, err = c.revision(ctx); err != nil {
			return all, err
		}
	}
	in, err := newRecords(t.In, delimiter, within(t.Rows, DefaultRows, MostRows), t.Unit)
	if err != nil {
		return all, err
	}
	ctx, cancel := context.WithCancelCause(ctx)
	defer cancel(nil)
	for got := range c.answers(ctx, cancel, in, t) {
		part := <-got
		if err = part.err; err == nil {
			err = all.add(part.header.Get("Evaluation-Summary"), part.rows)
		}
		if err == nil {
			err = t.Sink.Take(part.body, part.before)
		}
		if err != nil {
			return all, err
		}
		if t.Progress != nil {
			t.Progress(part.before+part.rows, all)
		}
	}
	if err := context.Cause(ctx); err != nil {
		return all, err
	}
	return all, t.Sink.End(ctx, c, all)
}

// judged is the answer to one chunk, or why there is none.
type judged struct {
	*chunk
	header http.Header
	body   []byte
	err    error
}

// answers sends the chunks and gives their answers in order. No more than InFlight are under way or waiting to be taken.
func (c *Client) answers(ctx context.Context, cancel context.CancelCauseFunc, in *records, t Table) <-chan chan judged {
	order := make(chan chan judged, within(t.InFlight, DefaultInFlight, MostInFlight)-1)
	go func() {
		defer close(order)
		for {
			next, err := in.chunk()
			if errors.Is(err, io.EOF) {
				return
			}
			one := make(chan judged, 1)
			if err != nil {
				one <- judged{err: err}
			}
			select {
			case order <- one:
			case <-ctx.Done():
				return
			}
			if err != nil {
				return
			}
			go func() {
				j := c.judge(ctx, next, t)
				if j.err != nil {
					cancel(j.err)
				}
				one <- j
			}()
		}
	}()
	return order
}

func (c *Client) judge(ctx context.Context, next *chunk, t Table) judged {
	q := url.Values{"revision": {t.Revision}}
	if t.Form.Delimiter != "" {
		q.Set("delimiter", t.Form.Delimiter)
	}
	if t.Form.Decimal != "" {
		q.Set("decimal", t.Form.Decimal)
	}
	got, err := c.do(ctx, call{method: http.MethodPost, path: "/v1/evaluations", query: q, media: t.Sink.Media(), form: "text/csv; charset=utf-8",
		lang: t.Lang, body: next.body})
	if err != nil {
		if context.Cause(ctx) == nil || next.rows > 0 {
			err = fmt.Errorf("rows %d to %d: %w", next.before+1, next.before+next.rows, err)
		}
		return judged{chunk: next, err: err}
	}
	next.body = nil
	return judged{next, got.header, got.body, nil}
}

func within(n, preset, most int) int {
	if n <= 0 {
		return preset
	}
	return min(n, most)
}
