package client

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
)

// Most rows and bytes that go in one request, as the service has them.
const (
	MostRows  = 10_000
	MostBytes = 8 << 20
)

// chunk is a run of whole records with the head of the table in front, as they were written.
type chunk struct {
	body   []byte
	before int // rows in front of it in the table
	rows   int
}

// records cuts a table into chunks. It holds one chunk and what its reader has read ahead, however long the table is.
type records struct {
	in     *csv.Reader
	seen   kept
	head   []byte
	front  []byte   // put in front of every record
	rows   int      // given out so far
	read   int      // records, the head among them
	cells  []string // of the record read last
	most   int      // rows of a chunk
	over   *piece
	ended  bool
	offset int64 // of the end of the record read last
}

// piece is one record as it was written.
type piece struct{ text []byte }

// errLong is for a record that no request could carry.
var errLong = fmt.Errorf("is longer than the %d MiB that a request may have; is a quote not closed?", MostBytes>>20)

// newRecords reads the head. A unit, where one is given, becomes a column of its own in front of all others, since rows
// may be shorter than the head. Errors: no head, what is no CSV (RFC 4180), and a unit for a table that names its own.
func newRecords(in io.Reader, delimiter rune, most int, unit string) (*records, error) {
	in, err := unmarked(in)
	if err != nil {
		return nil, err
	}
	r := &records{seen: kept{from: in}, most: most}
	r.in = csv.NewReader(&r.seen)
	r.in.Comma, r.in.FieldsPerRecord, r.in.ReuseRecord = delimiter, -1, true
	head, err := r.next()
	if errors.Is(err, io.EOF) {
		return nil, errors.New("the table is empty: its first line names the columns")
	}
	if err != nil {
		return nil, err
	}
	if err := otherDelimiter(r.cells, delimiter); err != nil {
		return nil, err
	}
	r.head = ended(bytes.Clone(head.text))
	if unit == "" {
		return r, nil
	}
	if slices.ContainsFunc(r.cells, func(c string) bool { return strings.TrimSpace(c) == "unit" }) {
		return nil, errors.New("the table has a column unit already")
	}
	if strings.ContainsAny(unit, "\"\r\n,;\t") {
		return nil, fmt.Errorf("%q is no unit", unit)
	}
	r.head = slices.Concat([]byte("unit"), []byte(string(delimiter)), bytes.TrimLeft(r.head, "\r\n"))
	r.front = []byte(unit + string(delimiter))
	return r, nil
}

// OtherDelimiter says that the head of a table is a single cell, in which another delimiter stands.
type OtherDelimiter struct {
	Declared, Found string // as Form names them
}

// Error says what was found.
func (o *OtherDelimiter) Error() string {
	return "the first line is one column with a " + o.Found + " in it, and the delimiter is a " + o.Declared
}

func otherDelimiter(head []string, delimiter rune) error {
	if len(head) != 1 {
		return nil
	}
	names := []struct {
		mark rune
		name string
	}{{',', "comma"}, {';', "semicolon"}, {'\t', "tab"}}
	declared, found := "", ""
	for _, n := range names {
		switch {
		case n.mark == delimiter:
			declared = n.name
		case found == "" && strings.ContainsRune(head[0], n.mark):
			found = n.name
		}
	}
	if found == "" {
		return nil
	}
	return &OtherDelimiter{declared, found}
}

// unmarked is a text without the mark that some programs put in front of UTF-8.
func unmarked(in io.Reader) (io.Reader, error) {
	const mark = "\ufeff"
	first := make([]byte, len(mark))
	n, err := io.ReadFull(in, first)
	if err != nil && !errors.Is(err, io.EOF) && !errors.Is(err, io.ErrUnexpectedEOF) {
		return nil, err
	}
	if string(first[:n]) == mark {
		return in, nil
	}
	return io.MultiReader(bytes.NewReader(first[:n]), in), nil
}

// next is one record as it stands, with the line end that closes it and any blank lines in front.
func (r *records) next() (*piece, error) {
	cells, err := r.in.Read()
	if errors.Is(r.seen.err, errLong) {
		return nil, fmt.Errorf("the record after row %d %w", r.read-1, errLong)
	}
	if err != nil {
		return nil, err
	}
	r.read, r.cells = r.read+1, cells
	end := r.in.InputOffset()
	text := r.seen.take(int(end - r.offset))
	r.offset = end
	return &piece{text}, nil
}

// chunk is the next run of records; io.EOF after the last. A table of a head alone is one chunk without rows.
func (r *records) chunk() (*chunk, error) {
	if r.ended {
		return nil, io.EOF
	}
	c := &chunk{body: bytes.Clone(r.head), before: r.rows}
	for c.rows < r.most {
		p := r.over
		if r.over = nil; p == nil {
			var err error
			if p, err = r.next(); errors.Is(err, io.EOF) {
				r.ended = true
				break
			} else if err != nil {
				return nil, err
			}
		}
		if len(c.body)+len(r.front)+len(p.text)+1 > MostBytes {
			if c.rows == 0 {
				return nil, fmt.Errorf("row %d %w", r.rows+1, errLong)
			}
			r.over = &piece{bytes.Clone(p.text)}
			break
		}
		if r.front != nil {
			p.text = bytes.TrimLeft(p.text, "\r\n")
		}
		c.body = ended(append(append(c.body, r.front...), p.text...))
		c.rows++
	}
	if c.rows == 0 && r.rows > 0 {
		return nil, io.EOF
	}
	r.rows += c.rows
	return c, nil
}

// ended is text that ends with a line end.
func ended(text []byte) []byte {
	if n := len(text); n == 0 || text[n-1] != '\n' {
		return append(text, '\n')
	}
	return text
}

// kept passes on what it reads and keeps it until it is taken.
type kept struct {
	from io.Reader
	buf  []byte
	at   int // of buf taken
	err  error
}

func (k *kept) Read(p []byte) (int, error) {
	if len(k.buf)-k.at > MostBytes+64<<10 {
		k.err = errLong
		return 0, errLong
	}
	n, err := k.from.Read(p)
	if k.at > 0 && len(k.buf)+n > cap(k.buf) {
		k.buf = k.buf[:copy(k.buf, k.buf[k.at:])]
		k.at = 0
	}
	k.buf = append(k.buf, p[:n]...)
	return n, err
}

// take is the next n bytes. They are good until the next Read.
func (k *kept) take(n int) []byte {
	text := k.buf[k.at : k.at+n]
	k.at += n
	return text
}
