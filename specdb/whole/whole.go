// Package whole writes files that are there whole or not at all, whatever ends the program or the power meanwhile.
//
// It decides how: beside its place, under a name that nobody else writes to, flushed to the disk, renamed, and the
// directory flushed too. It refuses to know what stands in a file.
//
//	err := whole.Write(dir, "keys.json", 0o600, func(w io.Writer) error {
//		_, err := w.Write(text)
//		return err
//	})
package whole

import (
	"cmp"
	"crypto/rand"
	"errors"
	"io"
	"io/fs"
	"os"
	"runtime"
	"strings"
	"time"
)

// suffix ends the name of a file that is not whole yet.
const suffix = ".tmp"

// abandoned is how old such a file is when nobody can be writing it any more.
const abandoned = time.Hour

// Write has a file of a directory hold what write writes, in place of what it held. Its permissions are those of mode,
// or those that the umask leaves where mode is 0. Several may write the same file at once: the last one stands. What
// a program that was killed left of an earlier try is taken away. Errors: those of write and of the disk; the file is
// then as it was.
func Write(dir *os.Root, name string, mode fs.FileMode, write func(io.Writer) error) error {
	begins := "." + name + "."
	sweep(dir, begins)
	half := begins + rand.Text() + suffix
	f, err := dir.OpenFile(half, os.O_WRONLY|os.O_CREATE|os.O_EXCL, cmp.Or(mode, 0o666))
	if err != nil {
		return err
	}
	if err = fill(f, mode, write); err == nil {
		err = dir.Rename(half, name)
	}
	if err != nil {
		return errors.Join(err, dir.Remove(half))
	}
	return flush(dir)
}

func fill(f *os.File, mode fs.FileMode, write func(io.Writer) error) error {
	var err error
	if mode != 0 {
		err = f.Chmod(mode) // whatever the umask is
	}
	if err == nil {
		err = write(f)
	}
	if err == nil {
		err = f.Sync()
	}
	return errors.Join(err, f.Close())
}

// flush makes a rename last. Windows has no such thing.
func flush(dir *os.Root) error {
	if runtime.GOOS == "windows" {
		return nil
	}
	f, err := dir.Open(".")
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}

// sweep takes away what was abandoned. That it cannot is no fault: it takes room and does no harm.
func sweep(dir *os.Root, begins string) {
	entries, err := fs.ReadDir(dir.FS(), ".")
	if err != nil {
		return
	}
	for _, e := range entries {
		if !strings.HasPrefix(e.Name(), begins) || !strings.HasSuffix(e.Name(), suffix) {
			continue
		}
		if info, err := e.Info(); err == nil && info.Mode().IsRegular() && time.Since(info.ModTime()) > abandoned {
			_ = dir.Remove(e.Name()) // somebody else may have been quicker
		}
	}
}
