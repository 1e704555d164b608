package judging

import (
	"slices"

	"endfloat/api/rim"
	"endfloat/api/table"
	"endfloat/service/judge"
	"endfloat/service/spec"
)

// tabled answers a table with a table, row by row: of each row only its cells stay, so that the memory of a request is
// about that of its body and answer.
func (h Handlers) tabled(r *rim.Request, f table.Form) (rim.Reply, error) {
	b := h.batch(r)
	b.cell = true
	in, err := b.tableOf(r.Body, f)
	if err != nil {
		return rim.Reply{}, err
	}
	out := newSheet(f, b.rev.Name, spec.Rules)
	var (
		line    row
		summary Summary
		w       Result
		res     judge.Result
	)
	for {
		more, err := in.next(&line)
		if err != nil {
			return rim.Reply{}, err
		}
		if !more {
			break
		}
		if in.rows%256 == 0 && r.Context().Err() != nil {
			return rim.Reply{}, r.Context().Err()
		}
		w, res = Result{}, judge.Result{}
		b.fromJudged(&w, &res, &line, in.rows-1)
		summary.count(&w)
		out.result(&w)
		if in.rows == sampled {
			out.reserve(len(r.Body), in.in.Offset())
		}
	}
	reply := rim.Ready(out.buf)
	reply.Header = append(reply.Header, summary.header())
	return reply, nil
}

// sampled is how many rows tell how long the answer to a table will be.
const sampled = 64

// reserve makes room for the rest of an answer, from how long it is for the part of the body that was read.
func (t *sheet) reserve(body, read int) {
	if rest := body - read; rest > 0 && read > 0 {
		t.buf = slices.Grow(t.buf, int(float64(len(t.buf))*float64(rest)/float64(read)*1.05))
	}
}
