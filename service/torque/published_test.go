package torque_test

import (
	"bufio"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"testing"

	"endfloat/service/torque"
)

// published is one case of a file under testdata. Every case names where it is published and how the number was had:
// "memory" means recalled and not read.
type published struct {
	ID        string
	Inputs    map[string]any
	Expected  json.RawMessage
	Tolerance json.RawMessage
	Published string `json:"published_in"`
	Known     string `json:"known_from"`
}

type tolerance struct {
	Abs *float64
	Rel *float64
}

// load reads a file of cases; a file without cases, or a case without its source, fails.
func load(t *testing.T, name string) []published {
	t.Helper()
	f, err := os.Open(filepath.Join("testdata", name+".jsonl"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var list []published
	for lines := bufio.NewScanner(f); lines.Scan(); {
		var p published
		if err := json.Unmarshal(lines.Bytes(), &p); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if p.Published == "" || p.Known == "" {
			t.Fatalf("%s has no source", p.ID)
		}
		list = append(list, p)
	}
	if len(list) == 0 {
		t.Fatalf("%s is empty", name)
	}
	return list
}

func (p published) text(key string) string {
	s, _ := p.Inputs[key].(string)
	return s
}

func (p published) num(t *testing.T, key string) float64 {
	t.Helper()
	f, ok := p.Inputs[key].(float64)
	if !ok {
		t.Fatalf("%s has no input %s", p.ID, key)
	}
	return f
}

// holds compares every expected figure with got, which must have them all, within the tolerance of the case.
func (p published) holds(t *testing.T, got map[string]float64) (figures int) {
	t.Helper()
	var want map[string]float64
	if err := json.Unmarshal(p.Expected, &want); err != nil {
		t.Fatalf("%s: %v", p.ID, err)
	}
	for key, w := range want {
		g, ok := got[key]
		if !ok {
			t.Errorf("%s: nothing computes %s", p.ID, key)
			continue
		}
		figures++
		if off := p.off(t, key, w); !(math.Abs(g-w) <= off) {
			t.Errorf("%s %v: %s is %.6g, published %.6g ± %.3g (%s; %s)", p.ID, p.Inputs, key, g, w, off, p.Published, p.Known)
		}
	}
	return figures
}

// off is how far a figure may lie off: one tolerance for all figures, or one for each.
func (p published) off(t *testing.T, key string, want float64) float64 {
	t.Helper()
	var one tolerance
	if json.Unmarshal(p.Tolerance, &one) == nil && (one.Abs != nil || one.Rel != nil) {
		return one.of(want)
	}
	var each map[string]tolerance
	if err := json.Unmarshal(p.Tolerance, &each); err != nil {
		t.Fatalf("%s: %v", p.ID, err)
	}
	return each[key].of(want)
}

func (o tolerance) of(want float64) float64 {
	const float = 1e-12 // of the comparison itself
	switch {
	case o.Rel != nil:
		return math.Abs(want)*(*o.Rel) + float
	case o.Abs != nil:
		return *o.Abs + float
	}
	return -1
}

func threadOf(t *testing.T, name string) torque.Thread {
	t.Helper()
	th, err := torque.ThreadOf(name)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return th
}

func classOf(t *testing.T, name string, th torque.Thread) torque.Class {
	t.Helper()
	c, err := torque.ClassOf(name, th)
	if err != nil {
		t.Fatalf("%s on %s: %v", name, th.Name, err)
	}
	return c
}

// every runs check on every case of a file and reports how many figures were compared; fewer than least is a failure,
// so that no figure can go unread.
func every(t *testing.T, file string, least int, check func(*testing.T, published) map[string]float64) {
	t.Helper()
	t.Run(file, func(t *testing.T) {
		t.Parallel()
		cases, figures := load(t, file), 0
		for _, p := range cases {
			figures += p.holds(t, check(t, p))
		}
		if figures < least {
			t.Errorf("only %d figures were compared", figures)
		}
		t.Logf("%s: %d cases, %d figures", file, len(cases), figures)
	})
}
