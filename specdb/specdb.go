// Package specdb fills the read model from files and gives out its revisions.
//
// It decides where a catalogue comes from, how a revision is named and when one replaces another. It refuses to know
// how one is shown or judged.
//
//	source, err := specdb.Open("shop", specdb.Options{})
//	rev := source.Current()
package specdb

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"

	"endfloat/service/catalogue"
	"endfloat/specdb/data"
	"endfloat/specdb/snapshot"
	"endfloat/specdb/store"
	"endfloat/specdb/yamlfile"
)

// Embedded is the demo catalogue that is built in, with the revisions that came before it.
func Embedded() (*Store, error) { return EmbeddedWith(Options{}) }

// EmbeddedWith is Embedded with an archive of others; the demo is not added to it.
func EmbeddedWith(o Options) (*Store, error) {
	now, err := yamlfile.Load(data.Files, catalogue.Defaults{})
	if err != nil {
		return nil, err
	}
	states := []snapshot.Content{Compile(now, nil)}
	for _, files := range data.Earlier() {
		then, err := yamlfile.LoadOver(files, now.Defaults, now.Families)
		if err != nil {
			return nil, err
		}
		states = append(states, Compile(then, nil))
	}
	var s *Store
	for _, c := range slices.Backward(states) {
		rev, err := store.Build(c)
		if err != nil {
			return nil, err
		}
		if s != nil {
			s.Swap(rev, c.Withdrawn)
			continue
		}
		if s, err = hold(rev, c, o); err != nil {
			return nil, err
		}
	}
	return s, nil
}

// Options say what is kept of a catalogue. The zero value keeps a few revisions in memory and none on disk.
type Options struct {
	// Archive is a directory of snapshots, to which every revision in use is added; empty: none.
	Archive string
	// Keep is how many revisions stay in memory; 0: store.DefaultKeep.
	Keep int
}

// Open reads a directory of YAML files or one snapshot file. Links that leave the directory are refused.
// Errors: yamlfile.Faults with everything that is wrong, an error of reading, an archive that cannot be used.
func Open(path string, o Options) (*Store, error) {
	seen := fingerprint(path) // before reading, so that what changes meanwhile is noticed
	content, err := ReadPath(path, nil)
	if err != nil {
		return nil, err
	}
	s, err := Hold(content, o)
	if err != nil {
		return nil, err
	}
	s.path, s.seen = path, seen
	if err := s.Keep(content); err != nil {
		return nil, errors.Join(err, s.Close())
	}
	return s, nil
}

// Hold holds a revision that came from elsewhere than files; whoever brings others swaps them. Errors: content that is
// none, an archive that cannot be opened.
func Hold(content snapshot.Content, o Options) (*Store, error) {
	rev, err := store.Build(content)
	if err != nil {
		return nil, err
	}
	s, err := hold(rev, content, o)
	if err == nil {
		s.warming.Go(rev.Warm)
	}
	return s, err
}

func hold(rev *catalogue.Revision, content snapshot.Content, o Options) (*Store, error) {
	s := &Store{}
	var archive store.Archive
	if o.Archive != "" {
		var err error
		if s.archive, err = store.OpenDirectory(o.Archive); err != nil {
			return nil, fmt.Errorf("archive: %w", err)
		}
		archive = s.archive
	}
	s.Revisions = store.Hold(rev, o.Keep, archive)
	s.Swap(rev, content.Withdrawn)
	return s, nil
}

// ReadPath reads a directory of YAML files over the built-in defaults, or a snapshot file. held are the families that are
// in memory already, by their digest; it may be nil.
func ReadPath(path string, held map[string]*catalogue.Family) (snapshot.Content, error) {
	info, err := os.Stat(path)
	if err != nil {
		return snapshot.Content{}, err
	}
	if !info.IsDir() {
		return readSnapshot(path, held)
	}
	root, err := os.OpenRoot(path)
	if err != nil {
		return snapshot.Content{}, err
	}
	defer func() { _ = root.Close() }() // only read
	defaults, err := Defaults()
	if err != nil {
		return snapshot.Content{}, err
	}
	return Read(root.FS(), defaults, held)
}

func readSnapshot(path string, held map[string]*catalogue.Family) (snapshot.Content, error) {
	f, err := os.Open(filepath.Clean(path))
	if err != nil {
		return snapshot.Content{}, err
	}
	defer func() { _ = f.Close() }() // only read
	return snapshot.ReadFile(f, held)
}

// Defaults are the instruments, the policy and the severities that are built in.
func Defaults() (catalogue.Defaults, error) {
	l, err := yamlfile.LoadHead(data.Files)
	if err != nil {
		return catalogue.Defaults{}, fmt.Errorf("built-in defaults: %w", err)
	}
	return l.Defaults, nil
}

// Read reads YAML files and names what they hold. Without catalogue.yaml the date is the latest of the values.
func Read(files fs.FS, defaults catalogue.Defaults, held map[string]*catalogue.Family) (snapshot.Content, error) {
	l, err := yamlfile.Load(files, defaults)
	if err != nil {
		return snapshot.Content{}, err
	}
	return Compile(l, held), nil
}

// Compile names what was read; without a date of its own it has that of its youngest value. What held has stands in for
// a family of the same content.
func Compile(l *yamlfile.Loaded, held map[string]*catalogue.Family) snapshot.Content {
	head := l.Head
	if head.Date == "" {
		head.Date = latest(l.Families)
	}
	return snapshot.NewContent(head, l.Families, held)
}

// latest is the date of the youngest value.
func latest(families []*catalogue.Family) (date string) {
	for _, f := range families {
		for _, c := range f.Components {
			for _, e := range c.Specs {
				date = max(date, e.Base.RevisionDate)
			}
			for _, e := range c.Shims {
				date = max(date, e.Base.RevisionDate)
			}
		}
	}
	return date
}
