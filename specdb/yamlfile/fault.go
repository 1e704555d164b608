package yamlfile

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// Fault is one thing that is wrong with a file: where, which rule it breaks, what was found and how to mend it.
type Fault struct {
	File         string
	Line, Column int
	Rule         string
	Detail       string
	Remedy       string
}

// String is the fault in one line, file:line:column first.
func (f Fault) String() string {
	return fmt.Sprintf("%s:%d:%d: %s: %s; %s", f.File, f.Line, f.Column, f.Rule, f.Detail, f.Remedy)
}

// Faults is every fault of a catalogue. It implements error.
type Faults []Fault

// Error is the first fault in one line, with how many more there are.
func (f Faults) Error() string {
	if len(f) == 0 {
		return "no fault"
	}
	s := f[0].String()
	if n := len(f) - 1; n > 0 {
		s += fmt.Sprintf(" (and %d more)", n)
	}
	return s
}

// All is every fault, one a line.
func (f Faults) All() string {
	lines := make([]string, len(f))
	for i, x := range f {
		lines[i] = x.String()
	}
	return strings.Join(lines, "\n")
}

func (f Faults) sort() {
	slices.SortStableFunc(f, func(a, b Fault) int {
		return cmp.Or(strings.Compare(a.File, b.File), a.Line-b.Line, a.Column-b.Column)
	})
}

// most is how many faults are kept.
const most = 1000
