package client

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"io"
	"strconv"
)

// csvSink joins tables to one with one head; the numbers of the rows go on through the whole.
type csvSink struct {
	out  *bufio.Writer
	head []byte
}

// CSV writes the answers as one table, as the service writes them.
func CSV(out io.Writer) Sink { return &csvSink{out: bufio.NewWriterSize(out, 256<<10)} }

func (s *csvSink) Media() string { return "text/csv" }

func (s *csvSink) Take(body []byte, before int) error {
	head, rest := record(body)
	if s.head == nil {
		s.head = bytes.Clone(head)
		_, _ = s.out.Write(head) // a buffered writer keeps its error
	} else if !bytes.Equal(head, s.head) {
		return errors.New("the service writes other columns than before: it was changed while it was asked")
	}
	var number []byte
	for len(rest) > 0 {
		var one []byte
		one, rest = record(rest)
		n := 0
		for n < len(one) && one[n] >= '0' && one[n] <= '9' {
			n++
		}
		row, err := strconv.Atoi(string(one[:n]))
		if err != nil {
			return errors.New("a row of the answer has no number")
		}
		number = strconv.AppendInt(number[:0], int64(row+before), 10)
		_, _ = s.out.Write(number)
		_, _ = s.out.Write(one[n:])
	}
	return s.out.Flush()
}

func (s *csvSink) End(context.Context, *Client, Summary) error { return s.out.Flush() }

// record is the first record of a table with its line end, and what is behind it. A line end between quotes is text.
func record(table []byte) (one, rest []byte) {
	quoted := false
	for at := 0; ; {
		end := bytes.IndexByte(table[at:], '\n')
		if end < 0 {
			return table, nil
		}
		if bytes.Count(table[at:at+end], []byte{'"'})%2 == 1 {
			quoted = !quoted
		}
		at += end + 1
		if !quoted {
			return table[:at], table[at:]
		}
	}
}
