// Package authoring is what a keeper of a catalogue does at the desk: check, show, compare, import, export, begin a
// family, compile.
//
// It decides what is said about a catalogue and in which order. It refuses to know flags and exit codes of a command:
// each function writes to what it is given and returns what it found.
//
//	result, err := authoring.Check(os.Stdout, "shop", authoring.Options{})
package authoring

import (
	"fmt"
	"io"
	"io/fs"
	"os"
	"runtime"
	"time"

	"endfloat/service/catalogue"
	"endfloat/specdb"
	"endfloat/specdb/data"
	"endfloat/specdb/lint"
	"endfloat/specdb/yamlfile"
)

// Options of a check.
type Options struct {
	Today    string    // by which reviews are overdue; empty: the date of the machine
	Progress io.Writer // told about long work; nil: nobody
}

// Result is what a check found.
type Result struct {
	Faults   int // the catalogue does not load
	Errors   int // it loads, and a reader could be misled
	Warnings int
}

// Good reports whether nothing has to be mended.
func (r Result) Good() bool { return r.Faults == 0 && r.Errors == 0 }

// Check reads a directory and writes every fault, then what lint finds, then a summary with the rate. The error is one of
// reading the directory; faults are no error.
func Check(w io.Writer, dir string, o Options) (Result, error) {
	root, err := os.OpenRoot(dir)
	if err != nil {
		return Result{}, err
	}
	defer func() { _ = root.Close() }() // only read
	defaults, err := specdb.Defaults()
	if err != nil {
		return Result{}, err
	}
	begun := time.Now()
	loaded, err := yamlfile.LoadWithProgress(root.FS(), defaults, progress(o.Progress, begun))
	if faults, broken := err.(yamlfile.Faults); broken { //nolint:errorlint // Load returns it bare
		fmt.Fprintln(w, faults.All())
		fmt.Fprintf(w, "%s in %s\n", counted(len(faults), "fault"), dir)
		return Result{Faults: len(faults)}, nil
	}
	if err != nil {
		return Result{}, err
	}
	if o.Today == "" {
		o.Today = begun.Format(time.DateOnly)
	}
	var r Result
	for _, f := range lint.Check(loaded, o.Today) {
		fmt.Fprintln(w, f)
		if f.Severity == lint.Error {
			r.Errors++
		} else {
			r.Warnings++
		}
	}
	content := specdb.Compile(loaded, nil)
	specs := count(content.Families)
	took := time.Since(begun)
	fmt.Fprintf(w, "%s: %s, %s, %s, %s; %.0f specs a second on %s\n", content.Name, counted(len(content.Families), "family"), counted(specs, "spec"),
		counted(r.Errors, "error"), counted(r.Warnings, "warning"), float64(specs)/max(took.Seconds(), 1e-9), counted(runtime.GOMAXPROCS(0), "processor"))
	return r, nil
}

// progress tells at most twice a second how far long work is.
func progress(w io.Writer, begun time.Time) func(done, of int) {
	last := begun
	return func(done, of int) {
		if now := time.Now(); w != nil && now.Sub(last) >= 500*time.Millisecond {
			last = now
			fmt.Fprintf(w, "%d of %d files\n", done, of)
		}
	}
}

func count(families []*catalogue.Family) (specs int) {
	for _, f := range families {
		for _, c := range f.Components {
			specs += len(c.Specs)
		}
	}
	return specs
}

// counted is a number with its noun.
func counted(n int, noun string) string {
	switch {
	case n == 1:
		return "1 " + noun
	case noun[len(noun)-1] == 'y':
		return fmt.Sprintf("%d %sies", n, noun[:len(noun)-1])
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// files is a directory, or the demo where it is empty; closed ends its use.
func files(dir string) (all fs.FS, closed func(), err error) {
	if dir == "" {
		return data.Files, func() {}, nil
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, nil, err
	}
	return root.FS(), func() { _ = root.Close() }, nil // only read
}

// loaded reads a directory, or the demo where it is empty, with the place of everything.
func loaded(all fs.FS) (*yamlfile.Loaded, error) {
	defaults, err := specdb.Defaults()
	if err != nil {
		return nil, err
	}
	return yamlfile.LoadWithProgress(all, defaults, func(int, int) {})
}
