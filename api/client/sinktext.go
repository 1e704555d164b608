package client

import (
	"bytes"
	"context"
	"encoding/csv"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"text/tabwriter"
)

// textSink is for an eye: a line a row, the warnings of all rows once at the end in front of the counts.
type textSink struct {
	out   io.Writer
	form  Form
	lang  string
	codes []string // of cautions, as they came
	begun bool
}

// Text writes a line for each row: its number, id, verdict and the sentence, which names the thread before any value.
func Text(out io.Writer, form Form, lang string) Sink {
	return &textSink{out: out, form: form, lang: lang}
}

func (s *textSink) Media() string { return "text/csv" }

func (s *textSink) Take(body []byte, before int) error {
	in := csv.NewReader(bytes.NewReader(body))
	in.Comma, _ = s.form.mark() // it was read with the same
	head, err := in.Read()
	if err != nil {
		return err
	}
	at := map[string]int{}
	for i, name := range head {
		at[name] = i
	}
	for _, name := range []string{"row", "id", "verdict", "cautions", "text"} {
		if _, ok := at[name]; !ok {
			return fmt.Errorf("the answer has no column %s", name)
		}
	}
	rows, err := in.ReadAll()
	if err != nil {
		return err
	}
	lines := tabwriter.NewWriter(s.out, 0, 0, 2, ' ', 0)
	if !s.begun {
		s.begun = true
		fmt.Fprintln(lines, "row\tid\tverdict\t")
	}
	for _, cells := range rows {
		row, err := strconv.Atoi(cells[at["row"]])
		if err != nil {
			return err
		}
		for code := range strings.FieldsSeq(cells[at["cautions"]]) {
			if !slices.Contains(s.codes, code) {
				s.codes = append(s.codes, code)
			}
		}
		fmt.Fprintf(lines, "%d\t%s\t%s\t%s\n", row+before, Plain(cells[at["id"]]), Plain(cells[at["verdict"]]), Plain(cells[at["text"]]))
	}
	return lines.Flush()
}

// End resolves the warnings. Where they cannot be had their codes stand in their place: none is lost.
func (s *textSink) End(ctx context.Context, c *Client, _ Summary) error {
	if len(s.codes) == 0 {
		return nil
	}
	fmt.Fprintln(s.out)
	known, err := c.cautions(ctx, s.lang)
	for _, k := range known {
		if i := slices.Index(s.codes, k.Code); i >= 0 {
			fmt.Fprintln(s.out, "! "+Plain(k.Text))
			s.codes = slices.Delete(s.codes, i, i+1)
		}
	}
	for _, code := range s.codes {
		fmt.Fprintln(s.out, "! "+Plain(code))
	}
	return err
}

// Plain is a text on one line without what would steer a terminal.
func Plain(text string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\t' || r == '\n' || r == '\r':
			return ' '
		case r < ' ' || r >= 0x7f && r < 0xa0 || r >= 0x202a && r <= 0x202e || r >= 0x2066 && r <= 0x2069:
			return '\ufffd'
		}
		return r
	}, text)
}
