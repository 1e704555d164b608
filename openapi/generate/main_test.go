package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"

	"endfloat/openapi/finish"
)

// The files in the tree are what the handlers say now, and the same source gives the same bytes twice.
func TestFilesAreCurrent(t *testing.T) {
	t.Parallel()
	files, err := finish.Files(places(filepath.Join("..", "..")))
	if err != nil {
		t.Fatal(err)
	}
	again, err := finish.Files(places(filepath.Join("..", "..")))
	if err != nil {
		t.Fatal(err)
	}
	if len(files) != 4 {
		t.Errorf("%d files", len(files))
	}
	for name, text := range files {
		if string(again[name]) != string(text) {
			t.Errorf("%s differs from one run to the next", name)
		}
		held, err := os.ReadFile(filepath.Join("..", name))
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(string(held), string(text)); diff != "" {
			t.Errorf("%s is not current: go run ./openapi/generate (-held +generated)\n%.2000s", name, diff)
		}
	}
}
