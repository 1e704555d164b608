package store_test

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"

	"endfloat/service/catalogue"
	"endfloat/service/spec"
	"endfloat/specdb/manifest"
	"endfloat/specdb/snapshot"
	"endfloat/specdb/store"
)

// content is a revision of two families, of which the first is always the same.
func content(date string) snapshot.Content {
	return snapshot.NewContent(manifest.Head{Date: date}, []*catalogue.Family{
		{Key: "a", Name: spec.English("A")}, {Key: "b", Name: spec.English("B " + date)}}, nil)
}

func build(t testing.TB, c snapshot.Content) *catalogue.Revision {
	t.Helper()
	rev, err := store.Build(c)
	if err != nil {
		t.Fatal(err)
	}
	return rev
}

// shelf is an archive that keeps nothing on disk.
type shelf struct {
	lock sync.Mutex
	kept []snapshot.Content
}

func (s *shelf) Save(c snapshot.Content) error {
	s.lock.Lock()
	defer s.lock.Unlock()
	if !slices.ContainsFunc(s.kept, func(o snapshot.Content) bool { return o.Name == c.Name }) {
		s.kept = slices.Insert(s.kept, 0, c)
	}
	return nil
}

func (s *shelf) Load(name string) (snapshot.Content, error) {
	s.lock.Lock()
	defer s.lock.Unlock()
	for _, c := range s.kept {
		if c.Name == name {
			return c, nil
		}
	}
	return snapshot.Content{}, store.ErrUnknown
}

func (s *shelf) Names() ([]string, error) {
	s.lock.Lock()
	defer s.lock.Unlock()
	var names []string
	for _, c := range s.kept {
		names = append(names, c.Name)
	}
	return names, nil
}

// archives are all that one suite holds to the same behaviour.
func archives(t *testing.T) map[string]store.Archive {
	t.Helper()
	dir, err := store.OpenDirectory(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = dir.Close() })
	return map[string]store.Archive{"directory": dir, "memory": &shelf{}}
}

func TestEveryArchive(t *testing.T) {
	t.Parallel()
	for name, a := range archives(t) {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			one, two := content("2026-01-01"), content("2026-02-01")
			for _, c := range []snapshot.Content{one, two, one} { // the last is there already
				if err := a.Save(c); err != nil {
					t.Fatal(err)
				}
			}
			names, err := a.Names()
			slices.Sort(names)
			want := []string{one.Name, two.Name}
			slices.Sort(want)
			if d := cmp.Diff(want, names); d != "" || err != nil {
				t.Error(d, err)
			}
			got, err := a.Load(one.Name)
			if err != nil || got.Name != one.Name || got.Families[1].Name.In("en") != "B 2026-01-01" {
				t.Errorf("%+v %v", got.Manifest, err)
			}
			if _, err := a.Load("r-000000000000"); !errors.Is(err, store.ErrUnknown) {
				t.Errorf("%v", err)
			}
			held := store.Hold(build(t, content("2026-03-01")), 1, a)
			if rev, ok := held.At(two.Name); !ok || rev.Date != "2026-02-01" {
				t.Error("what is archived does not answer")
			}
			if n := held.Held(); len(n) != 3 || n[0] != held.Current().Name {
				t.Error(n)
			}
		})
	}
}

func TestThreeAreHeld(t *testing.T) {
	t.Parallel()
	revs := make([]*catalogue.Revision, 5)
	for i := range revs {
		revs[i] = build(t, content(fmt.Sprintf("2026-0%d-01", i+1)))
	}
	held := store.Hold(revs[0], 0, nil)
	for _, r := range revs[1:] {
		held.Swap(r, nil)
	}
	want := []string{revs[4].Name, revs[3].Name, revs[2].Name}
	if d := cmp.Diff(want, held.Held()); d != "" {
		t.Error(d)
	}
	if _, ok := held.At(revs[1].Name); ok {
		t.Error("the fourth is still held")
	}
	held.Swap(revs[3], nil) // back to one that is held: it stands once
	if d := cmp.Diff([]string{revs[3].Name, revs[4].Name, revs[2].Name}, held.Held()); d != "" {
		t.Error(d)
	}
}

func TestWithdrawnRevisionsStillAnswer(t *testing.T) {
	t.Parallel()
	one, two := build(t, content("2026-01-01")), build(t, content("2026-02-01"))
	held := store.Hold(one, 0, nil)
	held.Swap(two, []manifest.Withdrawn{{Revision: one.Name, Reason: spec.English("misread")}})
	if rev, ok := held.At(one.Name); !ok || !rev.Withdrawn || rev.WithdrawnReason.In("en") != "misread" || held.Current().Withdrawn {
		t.Errorf("%v %+v", ok, rev)
	}
	if one.Withdrawn {
		t.Error("a revision that others hold was changed")
	}
	held.Swap(held.Current(), nil)
	if rev, _ := held.At(one.Name); rev.Withdrawn {
		t.Error("it is no longer withdrawn, and says so still")
	}
}

func TestBrokenFilesOfAnArchiveAreNoRevisions(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	a, err := store.OpenDirectory(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = a.Close() }()
	c := content("2026-01-01")
	if err := a.Save(c); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(dir, c.Name+snapshot.Suffix)
	blob, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	blob[len(blob)-1] ^= 1
	for name, text := range map[string][]byte{path: blob, filepath.Join(dir, "r-0123456789ab"+snapshot.Suffix): []byte("text"), filepath.Join(dir, "notes.txt"): nil} {
		if err := os.WriteFile(name, text, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Symlink("/etc/hostname", filepath.Join(dir, "r-ffffffffffff"+snapshot.Suffix)); err != nil {
		t.Fatal(err)
	}
	held := store.Hold(build(t, content("2026-03-01")), 0, a)
	for _, name := range []string{c.Name, "r-0123456789ab", "r-ffffffffffff", "notes.txt", "../" + c.Name, ""} {
		if _, ok := held.At(name); ok {
			t.Errorf("%q answers", name)
		}
	}
	if err := a.Save(snapshot.Content{Manifest: manifest.Manifest{Name: "../escape"}}); err == nil {
		t.Error("a name that is none was saved")
	}
}

func TestArchivedRevisionsShareTheirFamilies(t *testing.T) {
	t.Parallel()
	a := archives(t)["directory"]
	one, two := content("2026-01-01"), content("2026-02-01")
	if err := a.Save(one); err != nil {
		t.Fatal(err)
	}
	held := store.Hold(build(t, two), 0, a)
	rev, ok := held.At(one.Name)
	if !ok || rev.Families[0] != held.Current().Families[0] || rev.Families[1] == held.Current().Families[1] {
		t.Errorf("%v", ok)
	}
	if again, _ := held.At(one.Name); again != rev {
		t.Error("it was read twice")
	}
	all := held.Families() // the first one, and two that were second
	if len(all) != 3 || all[rev.Families[1].Digest] != rev.Families[1] || all[held.Current().Families[1].Digest] != held.Current().Families[1] {
		t.Errorf("%d families", len(all))
	}
}

// Many ask for archived revisions while others are swapped in.
func TestHoldIsSafe(t *testing.T) {
	t.Parallel()
	a := archives(t)["directory"]
	names := make([]string, 6)
	for i := range names {
		c := content(fmt.Sprintf("2026-0%d-01", i+1))
		names[i] = c.Name
		if err := a.Save(c); err != nil {
			t.Fatal(err)
		}
	}
	held := store.Hold(build(t, content("2026-09-01")), 2, a)
	var wait sync.WaitGroup
	for g := range 4 {
		wait.Go(func() {
			for i := range 30 {
				if rev, ok := held.At(names[(g+i)%len(names)]); !ok || rev.Name != names[(g+i)%len(names)] {
					t.Error("another revision answered")
				}
			}
		})
	}
	for i := range 9 {
		held.Swap(build(t, content(fmt.Sprintf("2027-0%d-01", i+1))), nil)
	}
	wait.Wait()
}

func TestIsName(t *testing.T) {
	t.Parallel()
	for s, want := range map[string]bool{"r-0123456789ab": true, "r-0123456789aB": false, "r-0123456789a": false, "r-0123456789abc": false, "0123456789ab": false, "": false, "r-../../../../": false} {
		if store.IsName(s) != want {
			t.Errorf("%q", s)
		}
	}
}

func ExampleHold() {
	first, _ := store.Build(content("2026-01-01"))
	second, _ := store.Build(content("2026-02-01"))
	held := store.Hold(first, store.DefaultKeep, nil)
	held.Swap(second, nil)
	old, ok := held.At(first.Name)
	fmt.Println(held.Current().Date, old.Date, ok)
	// Output: 2026-02-01 2026-01-01 true
}
