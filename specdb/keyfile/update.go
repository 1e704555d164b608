package keyfile

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"endfloat/specdb/whole"
)

// ErrNoKey says that the file has no such key.
var ErrNoKey = errors.New("there is no such key")

// Update changes the file at path, or begins it: change is given the keys and returns them as they shall be. The file is
// replaced whole, so that nobody reads half of one, and other updates wait meanwhile. Only its owner may read it, unless
// it was there before with other permissions.
func Update(path string, change func([]Entry) ([]Entry, error)) error {
	if target, err := filepath.EvalSymlinks(path); err == nil {
		path = target // the link stays
	}
	release, err := lock(path + ".lock")
	if err != nil {
		return err
	}
	defer release()
	mode := fs.FileMode(0o600)
	var keys []Entry
	switch text, err := read(path); {
	case err == nil:
		if keys, err = Parse(text); err != nil {
			return fmt.Errorf("%s: %w", path, err)
		}
		if info, err := os.Stat(path); err == nil {
			mode = info.Mode().Perm()
		}
	case !errors.Is(err, fs.ErrNotExist):
		return err
	}
	if keys, err = change(keys); err != nil {
		return err
	}
	text, err := Format(keys)
	if err != nil {
		return err
	}
	if _, err := Parse(text); err != nil {
		return err
	}
	dir, err := os.OpenRoot(filepath.Dir(path))
	if err != nil {
		return err
	}
	defer func() { _ = dir.Close() }() // the file is written by then
	return whole.Write(dir, filepath.Base(path), mode, func(w io.Writer) error {
		_, err := w.Write(text)
		return err
	})
}

// Revoke ends keys from now on; one that is revoked already stays as it was. Errors: ErrNoKey, and then none is changed.
func Revoke(path string, ids []string, now time.Time) error {
	return Update(path, func(keys []Entry) ([]Entry, error) {
		for _, id := range ids {
			e, err := Of(keys, id)
			if err != nil {
				return nil, err
			}
			if e.Revoked.IsZero() {
				e.Revoked = now.UTC().Truncate(time.Second)
			}
		}
		return keys, nil
	})
}

// Of is the key with that id among keys. Errors: ErrNoKey.
func Of(keys []Entry, id string) (*Entry, error) {
	for i := range keys {
		if keys[i].ID == id {
			return &keys[i], nil
		}
	}
	return nil, fmt.Errorf("%q: %w", id, ErrNoKey)
}

// Read is what the file at path says.
func Read(path string) ([]Entry, error) {
	text, err := read(path)
	if err != nil {
		return nil, err
	}
	keys, err := Parse(text)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return keys, nil
}
