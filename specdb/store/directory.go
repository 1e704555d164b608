package store

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"slices"
	"strings"
	"time"

	"endfloat/specdb/snapshot"
	"endfloat/specdb/whole"
)

// Directory is an Archive of snapshot files, one a revision. Links that leave the directory are refused.
type Directory struct{ root *os.Root }

// OpenDirectory opens an archive; the directory must be there. Close it when it is no longer used.
func OpenDirectory(dir string) (*Directory, error) {
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, err
	}
	return &Directory{root}, nil
}

// Close ends the use of the directory.
func (d *Directory) Close() error { return d.root.Close() }

// Save writes a revision to a file of its own, which appears whole or not at all.
func (d *Directory) Save(c snapshot.Content) error {
	if !IsName(c.Name) {
		return fmt.Errorf("%q is no name of a revision", c.Name)
	}
	name := c.Name + snapshot.Suffix
	if _, err := d.root.Stat(name); err == nil {
		return nil
	}
	return whole.Write(d.root, name, 0, func(w io.Writer) error { return snapshot.Write(w, c) })
}

// Load reads a revision.
func (d *Directory) Load(name string) (snapshot.Content, error) {
	if !IsName(name) {
		return snapshot.Content{}, ErrUnknown
	}
	f, err := d.root.Open(name + snapshot.Suffix)
	if errors.Is(err, fs.ErrNotExist) {
		return snapshot.Content{}, ErrUnknown
	}
	if err != nil {
		return snapshot.Content{}, err
	}
	defer func() { _ = f.Close() }() // only read
	return snapshot.ReadFile(f, nil)
}

// Names lists the revisions by the time at which they were saved, newest first.
func (d *Directory) Names() ([]string, error) {
	entries, err := fs.ReadDir(d.root.FS(), ".")
	if err != nil {
		return nil, err
	}
	type saved struct {
		name string
		at   time.Time
	}
	var all []saved
	for _, e := range entries {
		name, ok := strings.CutSuffix(e.Name(), snapshot.Suffix)
		info, err := e.Info()
		if !ok || !IsName(name) || err != nil {
			continue
		}
		all = append(all, saved{name, info.ModTime()})
	}
	slices.SortFunc(all, func(a, b saved) int {
		if c := b.at.Compare(a.at); c != 0 {
			return c
		}
		return strings.Compare(a.name, b.name)
	})
	names := make([]string, len(all))
	for i, s := range all {
		names[i] = s.name
	}
	return names, nil
}
