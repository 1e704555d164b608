package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"endfloat/specdb/authoring"
	"endfloat/specdb/yamlfile"
)

// exitFailed is for work that was done and found something wrong.
const exitFailed = 1

// catalogueHelp is what endfloat catalogue --help prints.
const catalogueHelp = `endfloat catalogue check DIR               every fault and finding, with file, line and remedy
endfloat catalogue show [DIR] KEY          what the files say of a key or part number
endfloat catalogue diff A B                what changed from one catalogue to another
endfloat catalogue export [DIR] FAMILY     a family as a table, CSV or XLSX
endfloat catalogue import FILE             a table as a family file
endfloat catalogue new-family KEY          a family file to begin with
endfloat catalogue schema                  the JSON Schema for editors
endfloat catalogue compile DIR [FILE]      the fast, published form of a catalogue

` + sharedHelp + `
DIR left out is ENDFLOAT_CATALOGUE, else the demo that is built in. A is a directory or a compiled file.
Each of them has a page of its own: endfloat catalogue import --help says which columns a table has.

  endfloat catalogue new-family my-220 > shop/my-220.yaml
  endfloat catalogue check shop
  endfloat catalogue show shop my-220/counter-shaft/axial-play
  endfloat catalogue publish shop --redis redis://127.0.0.1

Exit codes: 0 done and good, 1 something is wrong with the catalogue, 2 it could not be done.
`

// desk is one run of endfloat catalogue.
type desk struct {
	out, diag io.Writer
	env       func(string) string
	dir       string // where no directory is named; empty: the demo
	verb      string
	args      []string
}

// catalogueVerbs are the commands below endfloat catalogue.
func catalogueVerbs() map[string]func(*desk) (int, error) {
	return map[string]func(*desk) (int, error){
		"check": (*desk).check, "show": (*desk).show, "diff": (*desk).diff, "export": (*desk).export, "import": (*desk).imports,
		"new-family": (*desk).newFamily, "schema": (*desk).schema, "compile": (*desk).compile,
	}
}

// catalogueCommand runs endfloat catalogue VERB and says how it went as an exit code.
func catalogueCommand(ctx context.Context, args []string, env func(string) string, out, diag io.Writer) int {
	if len(args) == 0 || args[0] == "help" || args[0] == "--help" || args[0] == "-h" {
		fmt.Fprint(out, catalogueHelp)
		return exitDone
	}
	run, ok := catalogueVerbs()[args[0]]
	if with := sharedVerbs()[args[0]]; with != nil {
		run, ok = func(d *desk) (int, error) { return with(d, ctx) }, true
	}
	if !ok {
		fmt.Fprintf(diag, "endfloat catalogue: there is no %q; endfloat catalogue --help lists what there is\n", args[0])
		return exitCannot
	}
	code, err := run(&desk{out: out, diag: diag, env: env, dir: env("ENDFLOAT_CATALOGUE"), verb: args[0], args: args[1:]})
	var faults yamlfile.Faults
	switch {
	case errors.Is(err, flag.ErrHelp):
		fmt.Fprint(out, cataloguePages()[args[0]])
		return exitDone
	case errors.As(err, &faults):
		fmt.Fprintln(diag, faults.All())
		return exitFailed
	case err != nil:
		fmt.Fprintf(diag, "endfloat catalogue %s: %v\n", args[0], err)
		return exitCannot
	}
	return code
}

// parse reads flags and, among them in any order, from least to most words.
func (d *desk) parse(least, most int, set func(*flag.FlagSet)) ([]string, error) {
	f := flag.NewFlagSet("endfloat catalogue "+d.verb, flag.ContinueOnError)
	if set != nil {
		set(f)
	}
	words, err := readWords(f, d.args)
	if err != nil {
		return nil, err
	}
	if len(words) < least || len(words) > most {
		needed := strconv.Itoa(least)
		if most > least {
			needed += " to " + strconv.Itoa(most)
		}
		return nil, fmt.Errorf("%d words are given and %s needed; endfloat catalogue %s --help shows which", len(words), needed, d.verb)
	}
	return words, nil
}

// place splits [DIR] WORD.
func (d *desk) place(words []string) (dir, word string) {
	if len(words) == 2 {
		return words[0], words[1]
	}
	return d.dir, words[0]
}

func (d *desk) check() (int, error) {
	var o authoring.Options
	strict := false
	words, err := d.parse(1, 1, func(f *flag.FlagSet) {
		f.StringVar(&o.Today, "today", "", "date by which reviews are overdue")
		f.BoolVar(&strict, "strict", false, "warnings fail as well")
	})
	if err != nil {
		return 0, err
	}
	o.Progress = d.diag
	r, err := authoring.Check(d.out, words[0], o)
	if err == nil && (!r.Good() || strict && r.Warnings > 0) {
		return exitFailed, nil
	}
	return exitDone, err
}

func (d *desk) show() (int, error) {
	words, err := d.parse(1, 2, nil)
	if err != nil {
		return 0, err
	}
	dir, key := d.place(words)
	return exitDone, authoring.Show(d.out, dir, key)
}

func (d *desk) diff() (int, error) {
	family := ""
	words, err := d.parse(2, 2, func(f *flag.FlagSet) { f.StringVar(&family, "family", "", "this family alone") })
	if err != nil {
		return 0, err
	}
	_, err = authoring.Diff(d.out, words[0], words[1], family)
	return exitDone, err
}

func (d *desk) export() (int, error) {
	form, file := "", ""
	words, err := d.parse(1, 2, func(f *flag.FlagSet) {
		f.StringVar(&form, "format", "", "csv or xlsx")
		f.StringVar(&file, "out", "", "file to write")
	})
	if err != nil {
		return 0, err
	}
	if form == "" {
		form = authoring.CSV
		if strings.EqualFold(filepath.Ext(file), "."+authoring.XLSX) {
			form = authoring.XLSX
		}
	}
	dir, family := d.place(words)
	f, err := create(file, d.out)
	if err != nil {
		return 0, err
	}
	err = authoring.Export(f, dir, family, form)
	return exitDone, errors.Join(err, f.close(err == nil))
}

func (d *desk) imports() (int, error) {
	into, force := "", false
	words, err := d.parse(1, 1, func(f *flag.FlagSet) {
		f.StringVar(&into, "into", "", "catalogue that the family is for; without it the file is only shown")
		f.BoolVar(&force, "force", false, "replace the file of the family")
	})
	if err != nil {
		return 0, err
	}
	text, family, err := authoring.Import(words[0], into)
	if err != nil || into == "" {
		if err == nil {
			_, err = d.out.Write(text)
		}
		return exitDone, err
	}
	name := filepath.Join(into, family+".yaml")
	if _, err := os.Lstat(name); err == nil && !force {
		return 0, fmt.Errorf("%s is there already; --force replaces it", name)
	}
	f, err := create(name, d.out)
	if err != nil {
		return 0, err
	}
	_, err = f.Write(text)
	if err = errors.Join(err, f.close(err == nil)); err == nil {
		fmt.Fprintln(d.out, name)
	}
	return exitDone, err
}

func (d *desk) newFamily() (int, error) {
	words, err := d.parse(1, 1, nil)
	if err != nil {
		return 0, err
	}
	return exitDone, authoring.NewFamily(d.out, words[0], "")
}

func (d *desk) schema() (int, error) {
	head := false
	if _, err := d.parse(0, 0, func(f *flag.FlagSet) { f.BoolVar(&head, "head", false, "that of catalogue.yaml") }); err != nil {
		return 0, err
	}
	return exitDone, authoring.Schema(d.out, head)
}

func (d *desk) compile() (int, error) {
	words, err := d.parse(1, 2, nil)
	if err != nil {
		return 0, err
	}
	file := ""
	if len(words) == 2 {
		file = words[1]
	}
	name, written, err := authoring.Compile(words[0], file)
	if err == nil {
		fmt.Fprintf(d.out, "%s in %s\n", name, written)
	}
	return exitDone, err
}
