package yamlfile_test

import (
	"bufio"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/google/go-cmp/cmp"

	"endfloat/service/catalogue"
	"endfloat/service/spec"
	"endfloat/specdb/data"
	"endfloat/specdb/yamlfile"
)

// builtIn are severities for the fixtures, which have no catalogue.yaml.
func builtIn() catalogue.Defaults {
	return catalogue.Defaults{Cautions: []spec.Caution{{Code: "circlip_eye_protection", Severity: 2}}}
}

func one(name string, text []byte) fstest.MapFS {
	return fstest.MapFS{name: &fstest.MapFile{Data: text}}
}

// expected reads the faults that a fixture announces: every line that ends in "# fault: rule" has that fault, and
// "# fault@LINE:COLUMN: rule" on any line names one by its place.
func expected(t *testing.T, text string) []string {
	t.Helper()
	var out []string
	scan := bufio.NewScanner(strings.NewReader(text))
	for line := 1; scan.Scan(); line++ {
		for _, part := range strings.Split(scan.Text(), "# fault")[1:] {
			at, rule, ok := strings.Cut(strings.TrimPrefix(part, "@"), ": ")
			if !ok {
				t.Fatalf("line %d announces nothing", line)
			}
			if at == "" {
				at = strconv.Itoa(line)
			}
			out = append(out, at+" "+strings.TrimSpace(rule))
		}
	}
	return out
}

func TestBrokenFilesNameTheirFaults(t *testing.T) {
	t.Parallel()
	files, err := filepath.Glob("testdata/broken_*.yaml")
	if err != nil || len(files) < 20 {
		t.Fatal(len(files), err)
	}
	for _, name := range files {
		t.Run(filepath.Base(name), func(t *testing.T) {
			t.Parallel()
			text, err := os.ReadFile(name)
			if err != nil {
				t.Fatal(err)
			}
			target := "family.yaml"
			if strings.HasPrefix(filepath.Base(name), "broken_head_") {
				target = yamlfile.HeadFile
			}
			files := one(target, text)
			if target == yamlfile.HeadFile {
				files["good.yaml"] = &fstest.MapFile{Data: []byte(good)}
			}
			_, err = yamlfile.Load(files, builtIn())
			var faults yamlfile.Faults
			if !errors.As(err, &faults) {
				t.Fatalf("loaded: %v", err)
			}
			var got []string
			for i, want := range expected(t, string(text)) {
				if i >= len(faults) {
					got = append(got, "")
					continue
				}
				f := faults[i]
				at := strconv.Itoa(f.Line)
				if strings.Contains(want, ":") {
					at = fmt.Sprintf("%d:%d", f.Line, f.Column)
				}
				got = append(got, at+" "+f.Rule)
				if f.File != target || f.Detail == "" || f.Remedy == "" {
					t.Errorf("%+v", f)
				}
			}
			if d := cmp.Diff(expected(t, string(text)), got); d != "" || len(faults) != len(got) {
				t.Errorf("%s\n%s", d, faults.All())
			}
		})
	}
}

const good = `family: good
name: Good
source: {class: demo, title: t, reviewed: 2026-11-01}
components:
  - id: shaft
    name: Shaft
    specs:
      - {id: play, kind: dimension, name: Play, unit: mm, band: {lower: 0.10, upper: 0.30}}
`

func TestLoadsTheDemo(t *testing.T) {
	t.Parallel()
	l, err := yamlfile.Load(data.Files, catalogue.Defaults{})
	if err != nil {
		t.Fatal(err)
	}
	if len(l.Families) != 3 || l.Date == "" || l.Defaults.Policy.Rule != "guarded" || len(l.Defaults.Instruments) < 9 {
		t.Errorf("%d families, %q, %+v", len(l.Families), l.Date, l.Defaults.Policy)
	}
}

func TestDigitsStayAsWritten(t *testing.T) {
	t.Parallel()
	l, err := yamlfile.Load(one("f.yaml", []byte(good)), builtIn())
	if err != nil {
		t.Fatal(err)
	}
	s := l.Families[0].Components[0].Specs[0].Base
	if s.Band.Lower.String() != "0.10" || s.Decimals != 2 || s.RevisionDate != "2026-11-01" || s.Key != "good/shaft/play" {
		t.Errorf("%+v", s)
	}
}

// What a source publishes in a unit of its own stays in it; a length stays a length.
func TestUnitsOfKindOtherAreThoseOfTheSource(t *testing.T) {
	t.Parallel()
	l, err := yamlfile.Load(one("f.yaml", []byte(strings.ReplaceAll(good, "kind: dimension, name: Play, unit: mm", "kind: other, name: Pressure, unit: psi"))), builtIn())
	if err != nil {
		t.Fatal(err)
	}
	if u := l.Families[0].Components[0].Specs[0].Base.Unit; u != "psi" {
		t.Errorf("%q", u)
	}
	if _, err := yamlfile.Load(one("f.yaml", []byte(strings.ReplaceAll(good, "unit: mm", "unit: psi"))), builtIn()); err == nil || !strings.Contains(err.Error(), "unknown_unit") {
		t.Errorf("%v", err)
	}
}

func TestFilesThatAreNone(t *testing.T) {
	t.Parallel()
	big := append([]byte(good), []byte("# "+strings.Repeat("x", 9<<20))...)
	for _, row := range []struct {
		name  string
		files fstest.MapFS
		want  string
	}{
		{"empty directory", fstest.MapFS{}, ".:1:1: no_family"},
		{"only a head", fstest.MapFS{"catalogue.yaml": {Data: []byte("revision_date: 2026-11-01\n")}}, ".:1:1: no_family"},
		{"another ending", fstest.MapFS{"f.yml": {Data: []byte(good)}, "g.yaml": {Data: []byte(good)}}, "f.yml:1:1: file_name"},
		{"empty file", one("f.yaml", nil), "f.yaml:1:1: empty_file"},
		{"only a comment", one("f.yaml", []byte("# nothing\n")), "f.yaml:1:1: empty_file"},
		{"binary", one("f.yaml", []byte{0x7f, 'E', 'L', 'F', 0, 1}), "f.yaml:1:1: not_text"},
		{"Latin-1", one("f.yaml", []byte("name: H\xfclse")), "f.yaml:1:1: not_text"},
		{"over the bound", one("f.yaml", big), "f.yaml:1:1: too_large"},
		{"brackets without end", one("f.yaml", []byte(strings.Repeat("[", 100000))), "f.yaml:1:1: too_deep"},
		{"truncated", one("f.yaml", []byte(good[:len(good)-20])), "f.yaml:8:"},
		{"a directory", fstest.MapFS{"f.yaml/x": {Data: []byte("x")}}, "f.yaml:1:1: unreadable"},
		{"two files with one family", fstest.MapFS{"a.yaml": {Data: []byte(good)}, "b.yaml": {Data: []byte(good)}}, "b.yaml:1:1: duplicate_id"},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			l, err := yamlfile.Load(row.files, builtIn())
			if err == nil || !strings.HasPrefix(err.Error(), row.want) || l != nil {
				t.Errorf("%v", err)
			}
		})
	}
}

func TestLinks(t *testing.T) {
	t.Parallel()
	outside, dir := t.TempDir(), t.TempDir()
	write := func(name, text string) {
		if err := os.WriteFile(name, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	link := func(to, name string) {
		if err := os.Symlink(to, filepath.Join(dir, name)); err != nil {
			t.Fatal(err)
		}
	}
	write(filepath.Join(outside, "secret.yaml"), good)
	if err := os.Mkdir(filepath.Join(dir, "..data"), 0o700); err != nil {
		t.Fatal(err)
	}
	write(filepath.Join(dir, "..data", "inside.yaml"), good)
	link("..data/inside.yaml", "inside.yaml")
	load := func() error {
		root, err := os.OpenRoot(dir)
		if err != nil {
			t.Fatal(err)
		}
		defer func() { _ = root.Close() }()
		_, err = yamlfile.Load(root.FS(), builtIn())
		return err
	}
	if err := load(); err != nil {
		t.Fatalf("a link that stays inside: %v", err)
	}
	link(filepath.Join(outside, "secret.yaml"), "leaves.yaml")
	link("loops.yaml", "loops.yaml")
	var faults yamlfile.Faults
	if err := load(); !errors.As(err, &faults) || len(faults) != 2 || faults[0].File != "leaves.yaml" || faults[0].Rule != "unreadable" || faults[1].File != "loops.yaml" {
		t.Errorf("%v", faults.All())
	}
}

func FuzzLoad(f *testing.F) {
	names, _ := filepath.Glob("testdata/broken_*.yaml")
	for _, n := range names {
		text, err := os.ReadFile(n)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(text)
	}
	f.Add([]byte(good))
	f.Add([]byte("a: &x [*x]\n"))
	f.Fuzz(func(t *testing.T, text []byte) {
		for _, name := range []string{"f.yaml", yamlfile.HeadFile} {
			l, err := yamlfile.Load(one(name, text), builtIn())
			if (l == nil) == (err == nil) {
				t.Fatal("neither loaded nor at fault")
			}
			var faults yamlfile.Faults
			if err != nil && (!errors.As(err, &faults) || len(faults) == 0 || faults[0].Line < 1) {
				t.Fatalf("%v", err)
			}
		}
	})
}

func BenchmarkLoadDemo(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := yamlfile.Load(data.Files, catalogue.Defaults{}); err != nil {
			b.Fatal(err)
		}
	}
}
