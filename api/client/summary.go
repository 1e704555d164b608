package client

import (
	"fmt"
	"strconv"
	"strings"
)

// Summary counts verdicts. The zero value has counted nothing.
type Summary struct {
	Rows, Pass, ConditionalPass, ConditionalFail, Fail, NotJudged, Problems int
}

// Passed reports whether every row is a decided pass.
func (s Summary) Passed() bool { return s.Pass == s.Rows }

// String is the counts as the service writes them in the header of an answer.
func (s Summary) String() string {
	parts := make([]string, 0, 7)
	for _, f := range s.fields() {
		parts = append(parts, f.name+"="+strconv.Itoa(*f.to))
	}
	return strings.Join(parts, ", ")
}

type count struct {
	name string
	to   *int
}

func (s *Summary) fields() []count {
	return []count{{"rows", &s.Rows}, {"pass", &s.Pass}, {"conditional_pass", &s.ConditionalPass}, {"conditional_fail", &s.ConditionalFail},
		{"fail", &s.Fail}, {"not_judged", &s.NotJudged}, {"problems", &s.Problems}}
}

// add counts what the header of an answer says (a dictionary of RFC 9651). Counts that are not there, and an answer that
// has not as many rows as were sent, are errors: then something else than the service answered.
func (s *Summary) add(header string, rows int) error {
	var one Summary
	found := 0
	for part := range strings.SplitSeq(header, ",") {
		name, text, _ := strings.Cut(strings.TrimSpace(part), "=")
		for _, f := range one.fields() {
			if n, err := strconv.Atoi(text); f.name == name && err == nil && n >= 0 {
				*f.to, found = n, found+1
			}
		}
	}
	if found != len(one.fields()) || one.Rows != rows || one.Pass+one.ConditionalPass+one.ConditionalFail+one.Fail+one.NotJudged != rows {
		return fmt.Errorf("the answer does not count the %d rows that were sent: %q", rows, header)
	}
	for i, f := range s.fields() {
		*f.to += *one.fields()[i].to
	}
	return nil
}
