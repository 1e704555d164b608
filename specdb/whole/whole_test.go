package whole_test

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"endfloat/specdb/whole"
)

func root(t *testing.T) *os.Root {
	t.Helper()
	dir, err := os.OpenRoot(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = dir.Close() })
	return dir
}

func says(text string) func(io.Writer) error {
	return func(w io.Writer) error {
		_, err := io.WriteString(w, text)
		return err
	}
}

// holds is what a directory has in it: names with what they hold.
func holds(t *testing.T, dir *os.Root) map[string]string {
	t.Helper()
	entries, err := fs.ReadDir(dir.FS(), ".")
	if err != nil {
		t.Fatal(err)
	}
	all := map[string]string{}
	for _, e := range entries {
		text, err := dir.ReadFile(e.Name())
		if err != nil {
			t.Fatal(err)
		}
		all[e.Name()] = string(text)
	}
	return all
}

func TestAFileIsReplacedWhole(t *testing.T) {
	t.Parallel()
	dir := root(t)
	for _, text := range []string{"a longer text", "short", ""} {
		if err := whole.Write(dir, "x", 0, says(text)); err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(map[string]string{"x": text}, holds(t, dir)); d != "" {
			t.Error(d)
		}
	}
}

func TestWhatGoesWrongChangesNothing(t *testing.T) {
	t.Parallel()
	dir, full := root(t), errors.New("no room")
	if err := whole.Write(dir, "x", 0, says("before")); err != nil {
		t.Fatal(err)
	}
	err := whole.Write(dir, "x", 0, func(w io.Writer) error { return errors.Join(says("half of")(w), full) })
	if !errors.Is(err, full) {
		t.Errorf("%v", err)
	}
	if d := cmp.Diff(map[string]string{"x": "before"}, holds(t, dir)); d != "" {
		t.Error(d)
	}
	if err := whole.Write(dir, "none/x", 0, says("")); err == nil {
		t.Error("a directory that is not there was written to")
	}
	if err := whole.Write(dir, "../x", 0, says("")); err == nil {
		t.Error("a name that leaves the directory was written")
	}
}

func TestPermissionsAreThoseAskedFor(t *testing.T) {
	t.Parallel()
	dir := root(t)
	for _, mode := range []fs.FileMode{0o600, 0o640, 0o664} {
		if err := whole.Write(dir, "x", mode, says("")); err != nil {
			t.Fatal(err)
		}
		if info, err := dir.Stat("x"); err != nil || info.Mode().Perm() != mode {
			t.Errorf("%v, want %v (%v)", info.Mode(), mode, err)
		}
	}
}

// Writers of the same file do not see each other's halves.
func TestManyWriteAtOnce(t *testing.T) {
	t.Parallel()
	dir := root(t)
	var all sync.WaitGroup
	for i := range 8 {
		all.Go(func() {
			text := fmt.Sprintf("%0*d", 100_000, i)
			if err := whole.Write(dir, "x", 0, says(text)); err != nil {
				t.Error(err)
			}
		})
	}
	all.Wait()
	if got := holds(t, dir); len(got) != 1 || len(got["x"]) != 100_000 {
		t.Errorf("%d files, %d bytes", len(got), len(got["x"]))
	}
}

func TestWhatWasAbandonedIsTakenAway(t *testing.T) {
	t.Parallel()
	dir := root(t)
	at := func(name string, ago time.Duration) {
		if err := dir.WriteFile(name, nil, 0o600); err != nil {
			t.Fatal(err)
		}
		when := time.Now().Add(-ago)
		if err := os.Chtimes(filepath.Join(dir.Name(), name), when, when); err != nil {
			t.Fatal(err)
		}
	}
	at(".x.OLD.tmp", 2*time.Hour)
	at(".x.YOUNG.tmp", time.Minute) // somebody may be writing it
	at(".y.OLD.tmp", 2*time.Hour)   // of another file
	at(".x.OLD.txt", 2*time.Hour)   // no half of anything
	if err := whole.Write(dir, "x", 0, says("")); err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(map[string]string{"x": "", ".x.YOUNG.tmp": "", ".y.OLD.tmp": "", ".x.OLD.txt": ""}, holds(t, dir)); d != "" {
		t.Error(d)
	}
}

func ExampleWrite() {
	dir, err := os.OpenRoot(os.TempDir())
	if err != nil {
		fmt.Println(err)
		return
	}
	defer func() { _ = dir.Close() }()
	defer func() { _ = dir.Remove("whole-example") }()
	err = whole.Write(dir, "whole-example", 0o600, func(w io.Writer) error {
		_, err := io.WriteString(w, "all of it")
		return err
	})
	text, _ := dir.ReadFile("whole-example")
	fmt.Println(string(text), err)
	// Output: all of it <nil>
}
