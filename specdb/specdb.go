// Package specdb fills the read model from files and gives out its revisions.
//
// It decides where a catalogue comes from and how a revision is named. It refuses to know how one is shown or judged.
//
//	source, err := specdb.Open("shop")
//	rev := source.Current()
package specdb

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io/fs"
	"os"
	"slices"
	"sync/atomic"

	"endfloat/service/catalogue"
	"endfloat/specdb/data"
	"endfloat/specdb/yamlfile"
)

// Store holds the revision in use. It is safe for concurrent use.
type Store struct {
	current atomic.Pointer[catalogue.Revision]
}

// Embedded is the demo catalogue that is built in.
func Embedded() (*Store, error) { return load(data.Files) }

// Open reads a directory. Links that leave it are refused. Without catalogue.yaml the built-in defaults apply.
// Errors: yamlfile.Faults with everything that is wrong, or an error of reading.
func Open(dir string) (*Store, error) {
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, err
	}
	defer func() { _ = root.Close() }() // only read
	return load(root.FS())
}

func load(files fs.FS) (*Store, error) {
	rev, err := Build(files)
	if err != nil {
		return nil, err
	}
	s := &Store{}
	s.current.Store(rev)
	return s, nil
}

// Build reads files and indexes them as a revision.
func Build(files fs.FS) (*catalogue.Revision, error) {
	l, err := yamlfile.Load(files)
	if err != nil {
		return nil, err
	}
	if !l.HasHead {
		if err := builtInHead(l); err != nil {
			return nil, err
		}
	}
	return catalogue.New(name(l), l.Date, l.Families, l.Defaults)
}

// builtInHead takes policy, instruments and cautions from the demo; the date is the latest of the families.
func builtInHead(l *yamlfile.Loaded) error {
	demo, err := yamlfile.Load(data.Files)
	if err != nil {
		return fmt.Errorf("built-in defaults: %w", err)
	}
	l.Defaults, l.Digest, l.Date = demo.Defaults, demo.Digest, ""
	for _, f := range l.Families {
		for _, c := range f.Components {
			for _, e := range c.Specs {
				l.Date = max(l.Date, e.Base.RevisionDate)
			}
		}
	}
	return nil
}

// name is made from the content alone: the digests of the families, in order of their keys, and of the defaults.
func name(l *yamlfile.Loaded) string {
	digests := map[string]string{}
	keys := make([]string, 0, len(l.Families))
	for _, f := range l.Families {
		digests[f.Key] = f.Digest
		keys = append(keys, f.Key)
	}
	sum := sha256.New()
	fmt.Fprintln(sum, "defaults", l.Digest)
	slices.Sort(keys)
	for _, k := range keys {
		fmt.Fprintln(sum, k, digests[k])
	}
	return "r-" + hex.EncodeToString(sum.Sum(nil)[:6])
}

// Current is the revision in use.
func (s *Store) Current() *catalogue.Revision { return s.current.Load() }

// At is the revision with that name while it is held.
func (s *Store) At(name string) (*catalogue.Revision, bool) {
	rev := s.Current()
	return rev, rev.Name == name
}

// Held names the revisions that At knows.
func (s *Store) Held() []string { return []string{s.Current().Name} }
