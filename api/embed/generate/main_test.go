package main

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"
)

func TestTheFilesAreMadeFromTheSource(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	if err := run("../source", dir); err != nil {
		t.Fatal(err)
	}
	made, err := filepath.Glob(filepath.Join(dir, "*"))
	if err != nil || len(made) != 2 {
		t.Fatal(made, err)
	}
	for _, f := range made {
		want, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		got, err := os.ReadFile(filepath.Join("..", "files", filepath.Base(f)))
		if err != nil || !bytes.Equal(want, got) {
			t.Errorf("%s is not what the source makes: run go run ./generate in api/embed (%v)", filepath.Base(f), err)
		}
	}
}

func TestASourceThatIsBrokenIsRefused(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	for name, text := range map[string]string{"spec-card.css": "p { margin: 0 }", "spec-card.js": "const = ;"} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if err := run(dir, dir); err == nil {
		t.Error("a script that does not parse was built")
	}
}
