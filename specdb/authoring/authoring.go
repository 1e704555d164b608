// Package authoring is what a keeper of a catalogue does at the desk: check, show, compare, import, export, begin a
// family, compile.
//
// It decides what is said about a catalogue and in which order. It refuses to know flags and exit codes of a command:
// each function writes to what it is given and returns what it found.
//
//	result, err := authoring.Check(os.Stdout, "shop", authoring.Options{})
package authoring

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"runtime"
	"strings"
	"time"

	"endfloat/service/catalogue"
	"endfloat/specdb"
	"endfloat/specdb/data"
	"endfloat/specdb/lint"
	"endfloat/specdb/snapshot"
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
	begun := time.Now()
	content, r, err := checked(w, dir, o)
	if err != nil {
		return Result{}, err
	}
	if r.Faults > 0 {
		fmt.Fprintf(w, "%s in %s\n", counted(r.Faults, "fault"), dir)
		return r, nil
	}
	specs := count(content.Families)
	took := time.Since(begun)
	fmt.Fprintf(w, "%s: %s, %s, %s, %s; %.0f specs a second on %s\n", content.Name, counted(len(content.Families), "family"), counted(specs, "spec"),
		counted(r.Errors, "error"), counted(r.Warnings, "warning"), float64(specs)/max(took.Seconds(), 1e-9), counted(runtime.GOMAXPROCS(0), "processor"))
	return r, nil
}

// Ready reads a directory or a compiled file as it is to be published. It writes every fault and error, and how many
// warnings there are; the content is of use where the result is Good. The error is one of reading.
func Ready(w io.Writer, path string, o Options) (snapshot.Content, Result, error) {
	var found strings.Builder
	content, r, err := checked(&found, path, o)
	if err != nil {
		return snapshot.Content{}, Result{}, err
	}
	for line := range strings.Lines(found.String()) {
		if !strings.HasPrefix(line, string(lint.Warning)+":") {
			fmt.Fprint(w, line)
		}
	}
	if !r.Good() {
		fmt.Fprintf(w, "%s, %s in %s\n", counted(r.Faults, "fault"), counted(r.Errors, "error"), path)
		return snapshot.Content{}, r, nil
	}
	fmt.Fprintf(w, "%s of %s: %s, %s, %s\n", content.Name, content.Manifest.Date, counted(len(content.Families), "family"), counted(count(content.Families), "spec"),
		counted(r.Warnings, "warning"))
	return content, r, nil
}

// checked reads a catalogue, writes every fault or what lint finds, and counts.
func checked(w io.Writer, path string, o Options) (snapshot.Content, Result, error) {
	loaded, content, err := read(path, o)
	if faults, broken := errors.AsType[yamlfile.Faults](err); broken {
		fmt.Fprintln(w, faults.All())
		return snapshot.Content{}, Result{Faults: len(faults)}, nil
	}
	if err != nil {
		return snapshot.Content{}, Result{}, err
	}
	if o.Today == "" {
		o.Today = time.Now().Format(time.DateOnly)
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
	return content, r, nil
}

// read reads a directory with the place of everything, or a compiled file, which has none.
func read(path string, o Options) (*yamlfile.Loaded, snapshot.Content, error) {
	if info, err := os.Stat(path); err == nil && info.Mode().IsRegular() {
		content, err := specdb.ReadPath(path, nil)
		return &yamlfile.Loaded{Head: content.Head, Families: content.Families}, content, err
	}
	root, err := os.OpenRoot(path)
	if err != nil {
		return nil, snapshot.Content{}, err
	}
	defer func() { _ = root.Close() }() // only read
	defaults, err := specdb.Defaults()
	if err != nil {
		return nil, snapshot.Content{}, err
	}
	loaded, err := yamlfile.LoadPlaced(root.FS(), defaults, progress(o.Progress, time.Now()))
	if err != nil {
		return nil, snapshot.Content{}, err
	}
	return loaded, specdb.Compile(loaded, nil), nil
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

// placed reads a directory over the built-in defaults, with the place of everything.
func placed(all fs.FS) (*yamlfile.Loaded, error) {
	defaults, err := specdb.Defaults()
	if err != nil {
		return nil, err
	}
	return yamlfile.LoadPlaced(all, defaults, nil)
}
