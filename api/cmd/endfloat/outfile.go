package main

import (
	"errors"
	"io"
	"os"
	"path/filepath"
)

// outfile is a file that is there whole or not at all, or a stream.
type outfile struct {
	io.Writer
	file *os.File // under its name for the time being; nil for a stream
	name string
}

// create begins to write to a name; an empty one is the stream. What is no regular file, such as a pipe, is written as it
// comes.
func create(name string, stream io.Writer) (*outfile, error) {
	if name == "" || name == "-" {
		return &outfile{Writer: stream}, nil
	}
	mode := os.FileMode(0o644)
	st, err := os.Stat(name)
	switch {
	case err == nil && st.IsDir():
		return nil, errors.New(name + " is a directory")
	case err == nil && !st.Mode().IsRegular():
		f, err := os.OpenFile(filepath.Clean(name), os.O_WRONLY, 0)
		return &outfile{Writer: f, file: f}, err
	case err == nil:
		mode = st.Mode().Perm()
	}
	if file, err := filepath.EvalSymlinks(name); err == nil {
		name = file // the file that a link names is replaced, not the link
	}
	f, err := os.CreateTemp(filepath.Dir(name), "."+filepath.Base(name)+".*")
	if err != nil {
		return nil, err
	}
	o := &outfile{Writer: f, file: f, name: name}
	if err := f.Chmod(mode); err != nil {
		return nil, errors.Join(err, o.close(false))
	}
	return o, nil
}

// close puts the file in its place where everything went well, and takes it away where not.
func (o *outfile) close(good bool) error {
	if o.file == nil {
		return nil
	}
	if o.name == "" {
		return o.file.Close()
	}
	var err error
	if good {
		err = o.file.Sync()
	}
	err = errors.Join(err, o.file.Close())
	if good && err == nil {
		err = os.Rename(o.file.Name(), o.name)
	}
	if !good || err != nil {
		err = errors.Join(err, os.Remove(o.file.Name()))
	}
	return err
}
