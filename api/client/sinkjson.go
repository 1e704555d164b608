package client

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"
)

// jsonSink joins answers to one document of the same members. Numbers stand as they were written.
type jsonSink struct {
	out      *bufio.Writer
	begun    bool
	results  int
	notes    []jsontext.Value
	cautions []caution
}

// caution is a warning resolved.
type caution struct {
	Code     string `json:"code"`
	Severity int    `json:"severity"`
	Text     string `json:"text"`
}

// JSON writes the answers as one document: revision, rules and policy, the results, then notes, counts and warnings.
func JSON(out io.Writer) Sink { return &jsonSink{out: bufio.NewWriterSize(out, 256<<10)} }

func (s *jsonSink) Media() string { return "application/json" }

// part is the answer to one chunk.
type part struct {
	Results  []jsontext.Value `json:"results"`
	Notes    []jsontext.Value `json:"notes"`
	Cautions []caution        `json:"cautions"`
	Summary  jsontext.Value   `json:"summary"`
	Rest     jsontext.Value   `json:",embed"`
}

func (s *jsonSink) Take(body []byte, before int) error {
	var p part
	if err := json.Unmarshal(body, &p); err != nil {
		return fmt.Errorf("the answer is no JSON: %w", err)
	}
	if !s.begun {
		s.begun = true
		head := bytes.TrimSuffix(p.Rest, []byte("}"))
		_, _ = s.out.Write(head) // a buffered writer keeps its error
		if len(head) > 1 {
			_ = s.out.WriteByte(',')
		}
		_, _ = s.out.WriteString(`"results":[`)
	}
	for _, r := range p.Results {
		moved, err := moved(r, before)
		if err != nil {
			return err
		}
		if s.results++; s.results > 1 {
			_ = s.out.WriteByte(',')
		}
		_ = s.out.WriteByte('\n')
		_, _ = s.out.Write(moved)
	}
	for _, n := range p.Notes {
		if !slices.ContainsFunc(s.notes, func(o jsontext.Value) bool { return bytes.Equal(o, n) }) {
			s.notes = append(s.notes, n)
		}
	}
	for _, c := range p.Cautions {
		if !slices.ContainsFunc(s.cautions, func(o caution) bool { return o.Code == c.Code }) {
			s.cautions = append(s.cautions, c)
		}
	}
	return s.out.Flush()
}

func (s *jsonSink) End(_ context.Context, _ *Client, sum Summary) error {
	if !s.begun {
		return errors.New("nothing was answered")
	}
	slices.SortStableFunc(s.cautions, func(a, b caution) int { return a.Severity - b.Severity })
	if s.notes == nil {
		s.notes = []jsontext.Value{}
	}
	notes, err := json.Marshal(s.notes)
	if err != nil {
		return err
	}
	cautions, err := json.Marshal(s.cautions)
	if err != nil {
		return err
	}
	fmt.Fprintf(s.out, "\n],\"notes\":%s,\"summary\":{", notes)
	for i, f := range sum.fields() {
		if i > 0 {
			_ = s.out.WriteByte(',')
		}
		fmt.Fprintf(s.out, "%q:%d", f.name, *f.to)
	}
	fmt.Fprintf(s.out, "},\"cautions\":%s}\n", cautions)
	return s.out.Flush()
}

// moved is a result whose index, and the rows that its problem names, count through the whole table.
func moved(result jsontext.Value, before int) (jsontext.Value, error) {
	if before == 0 {
		return result, nil
	}
	var out bytes.Buffer
	in, to := jsontext.NewDecoder(bytes.NewReader(result)), jsontext.NewEncoder(&out)
	for {
		tok, err := in.ReadToken()
		if errors.Is(err, io.EOF) {
			return bytes.TrimSuffix(out.Bytes(), []byte("\n")), nil
		}
		if err != nil {
			return nil, err
		}
		if err := to.WriteToken(tok); err != nil {
			return nil, err
		}
		if tok.Kind() != '"' || !counts(in, tok.String()) {
			continue
		}
		n, err := in.ReadToken()
		if err != nil {
			return nil, err
		}
		row, err := strconv.ParseInt(n.String(), 10, 64)
		if err != nil {
			return nil, errors.New("a row of the answer has no number")
		}
		if err := to.WriteToken(jsontext.Int(row + int64(before))); err != nil {
			return nil, err
		}
	}
}

// counts reports whether the name that was read last belongs to a number of a row: /index and /problem/errors/*/row.
func counts(in *jsontext.Decoder, name string) bool {
	kind, members := in.StackIndex(in.StackDepth())
	if kind != '{' || members%2 == 0 {
		return false // a value, not a name
	}
	switch in.StackDepth() {
	case 1:
		return name == "index"
	case 4:
		return name == "row" && in.PeekKind() == '0'
	}
	return false
}
