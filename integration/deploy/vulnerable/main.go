// Command vulnerable holds a module against the vulnerability database of the Go project with govulncheck. The database
// is a module itself and comes like every other one, so that the same commit says the same on every machine; raising its
// version in go.mod brings newer knowledge.
//
//	cd integration/deploy && go run ./vulnerable ../..
//
// It decides what fails: a known fault in a module, when code that can be reached calls it and nobody gave a reason. A
// fault of the standard library is that of the Go on the machine, which no commit can mend: it is listed, with the Go
// that mends it, and the image is built with the newest patch.
package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
)

// exceptions are faults that are known and stand, with the reason.
func exceptions() map[string]string { return map[string]string{} }

func main() {
	if len(os.Args) != 2 {
		fmt.Fprintln(os.Stderr, "usage: vulnerable MODULE")
		os.Exit(2)
	}
	if err := run(context.Background(), os.Args[1]); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func run(ctx context.Context, module string) error {
	db, err := os.MkdirTemp("", "vulnerable")
	if err != nil {
		return err
	}
	defer func() { _ = os.RemoveAll(db) }() // only temporary
	dir, err := output(ctx, "list", "-m", "-f", "{{.Dir}}", "golang.org/x/vulndb")
	if err != nil {
		return err
	}
	if _, err := output(ctx, "tool", "indexdb", "-vulns", filepath.Join(strings.TrimSpace(string(dir)), "data", "osv"), "-out", db); err != nil {
		return err
	}
	text, err := output(ctx, "tool", "govulncheck", "-format", "json", "-db", "file://"+filepath.ToSlash(db), "-C", module, "./...")
	if err != nil {
		return err
	}
	found, known, err := read(bytes.NewReader(text))
	if err != nil {
		return err
	}
	return judge(os.Stdout, found, known)
}

// output runs the go command and returns what it writes.
func output(ctx context.Context, args ...string) ([]byte, error) {
	cmd := exec.CommandContext(ctx, "go", args...)
	var diag bytes.Buffer
	cmd.Stderr = &diag
	out, err := cmd.Output()
	if err != nil {
		return nil, fmt.Errorf("go %s: %w\n%s", strings.Join(args, " "), err, diag.String())
	}
	return out, nil
}

// finding is a fault in a module, as govulncheck reports it; called says that our code reaches it.
type finding struct {
	ID, Module, Version, Fixed, Summary string
	Called                              bool
}

// read collects findings from the messages of govulncheck, one for each fault and module, and counts the faults that
// the database knew of in modules that are used.
func read(r io.Reader) ([]finding, int, error) {
	type message struct {
		Config *struct {
			DB string `json:"db"`
		} `json:"config"`
		OSV *struct {
			ID      string `json:"id"`
			Summary string `json:"summary"`
		} `json:"osv"`
		Finding *struct {
			OSV   string `json:"osv"`
			Fixed string `json:"fixed_version"`
			Trace []struct {
				Module   string `json:"module"`
				Version  string `json:"version"`
				Function string `json:"function"`
			} `json:"trace"`
		} `json:"finding"`
	}
	summaries, all := map[string]string{}, map[[2]string]finding{}
	scanned := false
	for dec := json.NewDecoder(r); ; {
		var m message
		if err := dec.Decode(&m); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			return nil, 0, err
		}
		scanned = scanned || m.Config != nil && m.Config.DB != ""
		if m.OSV != nil {
			summaries[m.OSV.ID] = m.OSV.Summary
		}
		if m.Finding == nil || len(m.Finding.Trace) == 0 {
			continue
		}
		at := m.Finding.Trace[0]
		key := [2]string{m.Finding.OSV, at.Module}
		f := all[key]
		all[key] = finding{m.Finding.OSV, at.Module, at.Version, m.Finding.Fixed, summaries[m.Finding.OSV], f.Called || at.Function != ""}
	}
	if !scanned {
		return nil, 0, errors.New("govulncheck says of no database that it was read")
	}
	var list []finding
	for _, f := range all {
		list = append(list, f)
	}
	slices.SortFunc(list, func(a, b finding) int { return strings.Compare(a.ID+a.Module, b.ID+b.Module) })
	return list, len(summaries), nil
}

// judge prints what was found and fails for what is called, can be mended here and has no reason.
func judge(w io.Writer, found []finding, known int) error {
	var bad []error
	count := map[string]int{}
	for _, f := range found {
		because, excepted := exceptions()[f.ID]
		word := "called"
		switch {
		case !f.Called:
			word = "not called"
		case f.Module == "stdlib":
			word = "of Go itself"
		case excepted:
			word = "stands, since " + because
		default:
			bad = append(bad, fmt.Errorf("%s: %s %s: %s; mended in %s", f.ID, f.Module, f.Version, f.Summary, f.Fixed))
		}
		count[word]++
		if f.Called {
			fmt.Fprintf(w, "%s (%s): %s %s, mended in %s: %s\n", f.ID, word, f.Module, f.Version, f.Fixed, f.Summary)
		}
	}
	fmt.Fprintf(w, "%d faults are known of modules that are used; %d of Go itself are reached, %d in modules are not reached, %d are\n",
		known, count["of Go itself"], count["not called"], len(bad))
	return errors.Join(bad...)
}
