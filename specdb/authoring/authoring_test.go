package authoring_test

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"endfloat/specdb"
	"endfloat/specdb/authoring"
	"endfloat/specdb/yamlfile"
)

func put(t *testing.T, dir, name, text string) string {
	t.Helper()
	path := filepath.Join(dir, name)
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func begun(t *testing.T, key string) string {
	t.Helper()
	var b bytes.Buffer
	if err := authoring.NewFamily(&b, key, "2026-11-01"); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestABeginningPassesItsCheck(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	put(t, dir, "my-220.yaml", begun(t, "my-220"))
	var b bytes.Buffer
	r, err := authoring.Check(&b, dir, authoring.Options{Today: "2026-11-01"})
	if err != nil || !r.Good() || r.Warnings != 0 {
		t.Errorf("%+v %v\n%s", r, err, &b)
	}
	if !strings.Contains(b.String(), "1 family, 2 specs") || !strings.Contains(b.String(), "specs a second") {
		t.Error(b.String())
	}
	if err := authoring.NewFamily(&b, "My 220", ""); err == nil {
		t.Error("a key that cannot stand in an address")
	}
}

func TestCheckNamesEveryFaultAtOnce(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	text := strings.Replace(begun(t, "a"), "lower: 0.10", "lower: 0.50", 1)
	put(t, dir, "a.yaml", strings.Replace(text, "unit: N.m", "unit: Nmm", 1))
	put(t, dir, "b.yaml", begun(t, "a"))
	var b bytes.Buffer
	r, err := authoring.Check(&b, dir, authoring.Options{})
	if err != nil || r.Faults != 3 || r.Good() {
		t.Errorf("%+v %v", r, err)
	}
	for _, want := range []string{"a.yaml:16:15: lower_over_upper", "a.yaml:25:15: unknown_unit", "b.yaml:1:1: duplicate_id", "3 faults"} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("%s is missing in\n%s", want, &b)
		}
	}
	if _, err := authoring.Check(&b, filepath.Join(dir, "none"), authoring.Options{}); err == nil {
		t.Error("a directory that is not there")
	}
}

func TestShow(t *testing.T) {
	t.Parallel()
	for key, want := range map[string][]string{
		"pl-85/counter-shaft/axial-play":  {"# pl-85/counter-shaft/axial-play, pl-85.yaml:", "band: {lower: 0.08, upper: 0.35}", "target_policy: not_below"},
		"pl-85/counter-shaft/stack-shims": {"ladder:", "thickness: 1.05"},
		"pl-85/counter-shaft":             {"id: counter-shaft", "specs:"},
		"pl-85":                           {"family: pl-85", "variants:"},
		"OV-CS-108":                       {"superseded by: OV-CS-110", "spec: ov-120/wheel-carrier/backlash"},
		"COM-PLUG-14":                     {"fits: ov-120/", "fits: qb-270/"},
	} {
		var b bytes.Buffer
		if err := authoring.Show(&b, "", key); err != nil {
			t.Error(key, err)
		}
		for _, w := range want {
			if !strings.Contains(b.String(), w) {
				t.Errorf("%s: %q is missing in\n%s", key, w, &b)
			}
		}
	}
	if err := authoring.Show(&bytes.Buffer{}, "", "pl-85/counter-shaft/axial-pla"); err == nil || !strings.Contains(err.Error(), `"pl-85/counter-shaft/axial-play"`) {
		t.Error(err)
	}
}

func TestDiffGivesReasons(t *testing.T) {
	t.Parallel()
	before, after := t.TempDir(), t.TempDir()
	put(t, before, "a.yaml", begun(t, "a"))
	put(t, after, "a.yaml", strings.Replace(begun(t, "a"), "band: {lower: 0.10, upper: 0.40}", "band: {lower: 0.10, upper: 0.38}\n        reason: seats burnt", 1))
	var b bytes.Buffer
	n, err := authoring.Diff(&b, before, after, "")
	if err != nil || n != 1 || !strings.Contains(b.String(), "changed spec a/example/play (seats burnt)\n    band.upper: 0.40 → 0.38") {
		t.Errorf("%d %v\n%s", n, err, &b)
	}
	if n, err := authoring.Diff(&b, after, after, ""); n != 0 || err != nil {
		t.Errorf("%d %v", n, err)
	}
}

func TestExportAndImport(t *testing.T) {
	t.Parallel()
	dir, shop := t.TempDir(), t.TempDir()
	for _, form := range []string{authoring.CSV, authoring.XLSX} {
		var b bytes.Buffer
		if err := authoring.Export(&b, "", "ov-120", form); err != nil {
			t.Fatal(err)
		}
		text, family, err := authoring.Import(put(t, dir, "table."+form, b.String()), "")
		if err != nil || family != "ov-120" {
			t.Fatal(family, err)
		}
		put(t, shop, family+".yaml", string(text))
		c, err := specdb.ReadPath(shop, nil)
		if err != nil {
			t.Fatal(err)
		}
		demo, err := specdb.Embedded()
		if err != nil {
			t.Fatal(err)
		}
		if f, _ := demo.Current().Family("ov-120"); c.Families[0].Digest != f.Digest {
			t.Errorf("%s lost something", form)
		}
	}
	if err := authoring.Export(&bytes.Buffer{}, "", "ov-121", authoring.CSV); err == nil {
		t.Error("a family that is not there")
	}
	_, _, err := authoring.Import(put(t, dir, "bad.csv", "record,family\nfamily,Ä\n"), "")
	var faults yamlfile.Faults
	if !errors.As(err, &faults) || faults[0].File != "bad.csv" {
		t.Errorf("%v", err)
	}
	if _, _, err := authoring.Import(put(t, dir, "table.ods", "x"), ""); err == nil {
		t.Error("a form that is not read")
	}
}

func TestCompile(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	put(t, dir, "a.yaml", begun(t, "a"))
	file := filepath.Join(t.TempDir(), "x.endfloat")
	name, written, err := authoring.Compile(dir, file)
	if err != nil || written != file {
		t.Fatal(written, err)
	}
	c, err := specdb.ReadPath(file, nil)
	if err != nil || c.Name != name {
		t.Errorf("%s, want %s: %v", c.Name, name, err)
	}
	if left, _ := filepath.Glob(filepath.Join(filepath.Dir(file), ".*")); len(left) > 0 {
		t.Error(left)
	}
}
