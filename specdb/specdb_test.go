package specdb_test

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"endfloat/service/catalogue"
	"endfloat/specdb"
	"endfloat/specdb/data"
	"endfloat/specdb/snapshot"
	"endfloat/specdb/yamlfile"
)

const small = `family: small
name: Small
source: {class: demo, title: t, reviewed: 2026-11-01}
components:
  - id: shaft
    name: Shaft
    specs:
      - {id: play, kind: dimension, name: Play, unit: mm, band: {lower: 0.10, upper: UPPER}, cautions: [circlip_eye_protection]}
`

func put(t testing.TB, dir, name, text string) {
	t.Helper()
	half := filepath.Join(dir, "."+name)
	if err := os.WriteFile(half, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Rename(half, filepath.Join(dir, name)); err != nil {
		t.Fatal(err)
	}
}

func shop(t testing.TB, upper string) string {
	t.Helper()
	dir := t.TempDir()
	put(t, dir, "small.yaml", strings.Replace(small, "UPPER", upper, 1))
	return dir
}

func TestEmbedded(t *testing.T) {
	t.Parallel()
	s, err := specdb.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	rev := s.Current()
	if len(rev.Families) != 3 || rev.Date == "" || !strings.HasPrefix(rev.Name, "r-") {
		t.Errorf("%s of %q with %d families", rev.Name, rev.Date, len(rev.Families))
	}
	if len(s.Held()) != 2 {
		t.Errorf("held %v", s.Held())
	}
	for _, name := range s.Held() {
		if at, ok := s.At(name); !ok || at.Name != name {
			t.Errorf("%s is named and not held", name)
		}
	}
	if changed, err := s.Reload(); changed || err != nil {
		t.Errorf("what is built in changed: %v", err)
	}
}

// The demo has one change with a reason: the exhaust clearance of QB-270.
func TestEmbeddedRevisionsDiffer(t *testing.T) {
	t.Parallel()
	s, err := specdb.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	before, ok := s.At(s.Held()[1])
	if !ok {
		t.Fatal("the earlier one is gone")
	}
	changes := catalogue.Diff(before, s.Current(), "")
	if len(changes) != 1 || changes[0].Key != "qb-270/valves/exhaust" || !strings.Contains(changes[0].Reason.In("de"), "0.02") ||
		changes[0].Fields[0] != (catalogue.Field{Name: "band.upper", From: "0.25", To: "0.23"}) {
		t.Errorf("%+v", changes)
	}
	if one, _ := before.Family("pl-85"); one != s.Current().Families[1] {
		t.Error("an unchanged family is in memory twice")
	}
}

func TestDirectoryTakesTheBuiltInDefaults(t *testing.T) {
	t.Parallel()
	s, err := specdb.Open(shop(t, "0.30"), specdb.Options{})
	if err != nil {
		t.Fatal(err)
	}
	rev := s.Current()
	if rev.Date != "2026-11-01" || rev.Defaults.Severity("circlip_eye_protection") != 2 || rev.Defaults.Policy.Guard != "U" {
		t.Errorf("%q %+v", rev.Date, rev.Defaults.Policy)
	}
}

func TestCommentsAndOrderChangeNoName(t *testing.T) {
	t.Parallel()
	a, b := shop(t, "0.30"), t.TempDir()
	text := strings.Replace(small, "UPPER", "0.30", 1)
	lines := strings.SplitAfter(text, "\n")
	lines[0], lines[1] = lines[1], lines[0]
	put(t, b, "other-name.yaml", "# a comment\n"+strings.Join(lines, ""))
	one, err := specdb.ReadPath(a, nil)
	if err != nil {
		t.Fatal(err)
	}
	two, err := specdb.ReadPath(b, nil)
	if err != nil || one.Name != two.Name {
		t.Errorf("%s and %s: %v", one.Name, two.Name, err)
	}
}

func TestReload(t *testing.T) {
	t.Parallel()
	dir, archive := shop(t, "0.30"), t.TempDir()
	s, err := specdb.Open(dir, specdb.Options{Archive: archive, Keep: 2})
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = s.Close() }()
	first := s.Current().Name
	if changed, err := s.Reload(); changed || err != nil || len(s.Held()) != 1 {
		t.Fatalf("nothing changed, yet %v %v %v", changed, err, s.Held())
	}
	put(t, dir, "small.yaml", strings.Replace(small, "UPPER", "0.05", 1)) // lower over upper
	var faults yamlfile.Faults
	if changed, err := s.Reload(); changed || !errors.As(err, &faults) || s.Current().Name != first || s.Status().Err == nil {
		t.Fatalf("a bad file: %v %v", changed, err)
	}
	put(t, dir, "small.yaml", strings.Replace(small, "UPPER", "0.28", 1))
	if changed, err := s.Reload(); !changed || err != nil || s.Status().Err != nil {
		t.Fatalf("a better file: %v %v", changed, err)
	}
	second := s.Current().Name
	put(t, dir, "small.yaml", strings.Replace(small, "UPPER", "0.27", 1))
	if _, err := s.Reload(); err != nil {
		t.Fatal(err)
	}
	third := s.Current().Name
	if held := s.Held(); len(held) != 3 || held[0] != third || held[1] != second || held[2] != first {
		t.Errorf("held %v, want %v", held, []string{third, second, first})
	}
	old, ok := s.At(first)
	if !ok {
		t.Fatal("the archive does not answer")
	}
	if e, _ := old.Entry("small/shaft/play"); e.Base.Band.Upper.String() != "0.30" {
		t.Errorf("replayed as %v", e.Base.Band.Upper)
	}
	if _, ok := s.At("r-../../etc/x"); ok {
		t.Error("a name that is none")
	}
	put(t, dir, "catalogue.yaml", "revision_date: 2026-12-01\nwithdrawn:\n  - {revision: "+first+", reason: band misread}\n")
	if _, err := s.Reload(); err != nil {
		t.Fatal(err)
	}
	if old, ok := s.At(first); !ok || !old.Withdrawn || old.WithdrawnReason.In("en") != "band misread" {
		t.Errorf("%v %+v", ok, old)
	}
	if s.Current().Withdrawn {
		t.Error("the one in use is withdrawn")
	}
}

func TestSnapshotFileIsTheSameRevision(t *testing.T) {
	t.Parallel()
	dir := shop(t, "0.30")
	c, err := specdb.ReadPath(dir, nil)
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), c.Name+snapshot.Suffix)
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(snapshot.Write(f, c), f.Close()); err != nil {
		t.Fatal(err)
	}
	s, err := specdb.Open(path, specdb.Options{})
	if err != nil || s.Current().Name != c.Name {
		t.Fatalf("%v", err)
	}
}

func TestWatch(t *testing.T) {
	t.Parallel()
	dir := shop(t, "0.30")
	s, err := specdb.Open(dir, specdb.Options{})
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
	defer cancel()
	heard := make(chan specdb.Status, 8)
	var wait sync.WaitGroup
	wait.Go(func() { s.Watch(ctx, 5*time.Millisecond, func(st specdb.Status) { heard <- st }) })
	put(t, dir, "small.yaml", strings.Replace(small, "UPPER", "0.2900", 1)) // another size as well
	select {
	case st := <-heard:
		if !st.Changed || st.Err != nil {
			t.Errorf("%+v", st)
		}
	case <-ctx.Done():
		t.Error("nobody noticed")
	}
	cancel()
	wait.Wait()
}

// A swap while others read: nobody sees anything but a whole revision.
func TestSwapUnderLoad(t *testing.T) {
	t.Parallel()
	dir := shop(t, "0.30")
	s, err := specdb.Open(dir, specdb.Options{})
	if err != nil {
		t.Fatal(err)
	}
	stop := make(chan struct{})
	var wait sync.WaitGroup
	for range 4 {
		wait.Go(func() {
			for {
				select {
				case <-stop:
					return
				default:
				}
				rev := s.Current()
				if _, ok := rev.Entry("small/shaft/play"); !ok {
					t.Error("a revision without its spec")
					return
				}
				_ = s.Held()
			}
		})
	}
	for i := range 20 {
		put(t, dir, "small.yaml", strings.Replace(small, "UPPER", fmt.Sprintf("0.3%02d", i), 1))
		if _, err := s.Reload(); err != nil {
			t.Error(err)
		}
	}
	close(stop)
	wait.Wait()
}

func TestPathsThatAreNone(t *testing.T) {
	t.Parallel()
	file := filepath.Join(t.TempDir(), "x.endfloat")
	put(t, filepath.Dir(file), "x.endfloat", "no snapshot")
	for _, path := range []string{"/no/such/directory", file, os.DevNull} {
		if _, err := specdb.Open(path, specdb.Options{}); err == nil {
			t.Errorf("%s was opened", path)
		}
	}
}

func BenchmarkEmbedded(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := specdb.Embedded(); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkLookUp(b *testing.B) {
	s, err := specdb.Embedded()
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		e, ok := s.Current().Entry("pl-85/crank/side-clearance")
		if !ok || e.Resolve(catalogue.Selection{Variant: "b"}).Undecided {
			b.Fatal("not found")
		}
	}
}

func ExampleRead() {
	c, err := specdb.Read(data.Files, catalogue.Defaults{}, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, f := range c.Families {
		fmt.Println(f.Key, len(f.Components) > 0, len(f.Digest))
	}
	// Output:
	// ov-120 true 64
	// pl-85 true 64
	// qb-270 true 64
}

func TestContentFromElsewhereIsHeld(t *testing.T) {
	t.Parallel()
	archive := t.TempDir()
	c, err := specdb.ReadPath(shop(t, "0.40"), nil)
	if err != nil {
		t.Fatal(err)
	}
	s, err := specdb.Hold(c, specdb.Options{Archive: archive})
	if err != nil || s.Current().Name != c.Name {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = s.Close() })
	if changed, err := s.Reload(); changed || err != nil {
		t.Errorf("there is nothing to read again: %v %v", changed, err)
	}
	if err := s.Keep(c); err != nil {
		t.Error(err)
	}
	demo, err := specdb.EmbeddedWith(specdb.Options{Archive: archive})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = demo.Close() })
	if _, ok := demo.At(c.Name); !ok {
		t.Error("what is archived does not answer beside the demo")
	}
	if _, err := specdb.Hold(c, specdb.Options{Archive: archive + "/none"}); err == nil {
		t.Error("an archive that is not there is none")
	}
}
