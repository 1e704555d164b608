package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func desktop(t *testing.T, args ...string) (code int, out, diag string) {
	t.Helper()
	var o, d bytes.Buffer
	code = command(context.Background(), append([]string{"catalogue"}, args...), func(string) string { return "" }, &o, &d)
	return code, o.String(), d.String()
}

func TestCatalogueCommands(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	code, text, diag := desktop(t, "new-family", "my-220")
	if code != exitDone {
		t.Fatal(diag)
	}
	shop, broken := filepath.Join(dir, "shop"), filepath.Join(dir, "broken")
	for d, content := range map[string]string{shop: text, broken: strings.Replace(text, "unit: mm", "unit: mil", 1)} {
		if err := os.Mkdir(d, 0o700); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(d, "my-220.yaml"), []byte(content), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	table, snap := filepath.Join(dir, "pl.csv"), filepath.Join(dir, "shop.endfloat")
	for _, row := range []struct {
		name string
		args []string
		code int
		out  string // part of what is written
	}{
		{"help", []string{"--help"}, exitDone, "endfloat catalogue check DIR"},
		{"nothing", nil, exitDone, "endfloat catalogue check DIR"},
		{"unknown verb", []string{"burn"}, exitCannot, `there is no "burn"`},
		{"good", []string{"check", shop}, exitDone, "0 errors"},
		{"at fault", []string{"check", broken}, exitFailed, "my-220.yaml:15:15: unknown_unit"},
		{"no directory", []string{"check", filepath.Join(dir, "none")}, exitCannot, "none"},
		{"too few words", []string{"check"}, exitCannot, "0 words are given"},
		{"unknown flag", []string{"check", "--loud", shop}, exitCannot, "loud"},
		{"flag behind the word", []string{"check", shop, "--today", "2026-11-01"}, exitDone, "0 warnings"},
		{"warnings of the demo", []string{"check", "../../../specdb/data", "--today", "2026-11-01"}, exitDone, "overdue_review"},
		{"warnings that count", []string{"check", "--strict", "../../../specdb/data", "--today", "2026-11-01"}, exitFailed, "overdue_review"},
		{"show", []string{"show", "pl-85/counter-shaft/key-bolt"}, exitDone, "hand: left"},
		{"show of a directory", []string{"show", shop, "my-220/example/play"}, exitDone, "band: {lower: 0.10, upper: 0.40}"},
		{"show of nothing", []string{"show", "pl-85/x"}, exitCannot, "nothing has"},
		{"diff", []string{"diff", shop, shop}, exitDone, "0 changes"},
		{"export", []string{"export", "pl-85", "--out", table}, exitDone, ""},
		{"import", []string{"import", table}, exitDone, "family: pl-85"},
		{"import into a catalogue", []string{"import", table, "--into", shop}, exitDone, "pl-85.yaml"},
		{"not over a file", []string{"import", table, "--into", shop}, exitCannot, "--force"},
		{"over a file", []string{"import", table, "--into", shop, "--force"}, exitDone, "pl-85.yaml"},
		{"schema", []string{"schema"}, exitDone, "https://json-schema.org/draft/2020-12/schema"},
		{"compile", []string{"compile", shop, snap}, exitDone, "shop.endfloat"},
		{"diff with a compiled one", []string{"diff", snap, shop}, exitDone, "0 changes"},
		{"bad key", []string{"new-family", "Ä"}, exitCannot, "no key for a family"},
	} {
		code, out, diag := desktop(t, row.args...)
		if code != row.code || !strings.Contains(out+diag, row.out) {
			t.Errorf("%s: exit %d, want %d with %q\n%s%s", row.name, code, row.code, row.out, out, diag)
		}
	}
}
