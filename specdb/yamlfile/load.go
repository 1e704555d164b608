package yamlfile

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"runtime"
	"strings"
	"sync"

	"go.yaml.in/yaml/v3"

	"endfloat/service/catalogue"
	"endfloat/specdb/manifest"
)

// Loaded is a catalogue as read from files.
type Loaded struct {
	manifest.Head
	Families []*catalogue.Family // in the order of their files
	Files    []string            // beside Families; empty for those of LoadOver that were not read
	// Places are where families, components, specs and shim sets (by key), variants (family:id) and parts
	// (SKU @ component) stand. Only LoadPlaced fills it.
	Places map[string]Place
}

// Load reads every *.yaml file of a directory, several at a time on half the processors. The defaults stand for what
// catalogue.yaml leaves out. The error is a Faults with all that is wrong; nothing is returned beside it.
func Load(dir fs.FS, defaults catalogue.Defaults) (*Loaded, error) {
	return load(dir, defaults, nil, nil)
}

// LoadOver is Load for a directory that holds only the files that differ: families that it does not have are taken
// from beside, as they are.
func LoadOver(dir fs.FS, defaults catalogue.Defaults, beside []*catalogue.Family) (*Loaded, error) {
	return load(dir, defaults, beside, nil)
}

// LoadPlaced is Load for a tool, which has the machine to itself: it reads on all processors and remembers where
// everything stands. told hears after each file how many of how many are read, one call at a time; it may be nil.
func LoadPlaced(dir fs.FS, defaults catalogue.Defaults, told func(done, of int)) (*Loaded, error) {
	if told == nil {
		told = func(int, int) {}
	}
	return load(dir, defaults, nil, told)
}

// file is one file of a catalogue once it is read.
type file struct {
	name   string
	reader *reader
	root   *yaml.Node
	family *catalogue.Family
	head   *manifest.Head
}

// load reads a directory. Where told is not nil a tool wants to know where everything stands and how far it is.
func load(dir fs.FS, defaults catalogue.Defaults, beside []*catalogue.Family, told func(done, of int)) (*Loaded, error) {
	names, faults := list(dir)
	files := make([]file, len(names))
	s := newShapes()
	placed, workers := told != nil, max(1, runtime.GOMAXPROCS(0)/2)
	if placed {
		workers = runtime.GOMAXPROCS(0)
	}
	var wait sync.WaitGroup
	var count sync.Mutex
	next := make(chan int)
	done := 0
	for range min(workers, max(1, len(names))) {
		wait.Go(func() {
			for i := range next {
				files[i] = readFile(dir, names[i], s, defaults, placed)
				if placed {
					count.Lock()
					done++
					told(done, len(names))
					count.Unlock()
				}
			}
		})
	}
	for i := range names {
		next <- i
	}
	close(next)
	wait.Wait()
	out, more := join(files, defaults, beside)
	if faults = append(faults, more...); len(faults) > 0 {
		faults.sort()
		return nil, faults
	}
	return out, nil
}

// list names the files to read and faults those that somebody probably meant to be read.
func list(dir fs.FS) ([]string, Faults) {
	entries, err := fs.ReadDir(dir, ".")
	if err != nil {
		return nil, Faults{{File: ".", Line: 1, Column: 1, Rule: "unreadable", Detail: reason(err), Remedy: "name a directory with one YAML file a family"}}
	}
	var names []string
	var faults Faults
	for _, e := range entries {
		switch ext := strings.ToLower(path.Ext(e.Name())); {
		case strings.HasPrefix(e.Name(), "."):
		case path.Ext(e.Name()) == ".yaml":
			names = append(names, e.Name())
		case ext == ".yml" || ext == ".yaml":
			faults = append(faults, Fault{File: e.Name(), Line: 1, Column: 1, Rule: "file_name", Detail: "only names that end in .yaml are read", Remedy: "rename it"})
		}
	}
	if len(names) == 0 && len(faults) == 0 || len(names) == 1 && names[0] == HeadFile {
		faults = append(faults, Fault{File: ".", Line: 1, Column: 1, Rule: "no_family", Detail: "there is no family in this directory",
			Remedy: "write one YAML file a family, its name ending in .yaml"})
	}
	return names, faults
}

// readFile never panics: files are read while the revision before them serves, and it must go on.
func readFile(dir fs.FS, name string, s *shapes, defaults catalogue.Defaults, placed bool) (f file) {
	f = file{name: name, reader: &reader{shapes: s, file: name}}
	defer func() {
		if p := recover(); p != nil {
			f.root, f.head, f.family = nil, nil, nil
			f.reader.fault(&yaml.Node{Line: 1, Column: 1}, "unreadable", fmt.Sprint("the reader gave up: ", p), "leave out what was changed last; it is a fault of the program")
		}
	}()
	if placed {
		f.reader.placed = map[string]Place{}
	}
	data, err := read(dir, name)
	if err != nil {
		f.reader.fault(&yaml.Node{Line: 1, Column: 1}, "unreadable", reason(err), "make it a plain file inside the directory that may be read")
		return f
	}
	root, ok := f.reader.parse(data)
	if !ok {
		return f
	}
	f.root = root
	if name == HeadFile {
		h := f.reader.head(root, defaults)
		f.head = &h
		return f
	}
	f.family = f.reader.family(root)
	return f
}

// read takes one byte more than is allowed, so that parse can tell.
func read(dir fs.FS, name string) ([]byte, error) {
	f, err := dir.Open(name)
	if err != nil {
		return nil, err
	}
	defer func() { _ = f.Close() }() // only read
	info, err := f.Stat()
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() {
		return nil, errors.New("it is no plain file")
	}
	return io.ReadAll(io.LimitReader(f, maxBytes+1))
}

// reason is an error without the operation and path that the fault already shows.
func reason(err error) string {
	if p, ok := errors.AsType[*fs.PathError](err); ok {
		return p.Err.Error()
	}
	return err.Error()
}

// LoadHead reads catalogue.yaml alone.
func LoadHead(dir fs.FS) (manifest.Head, error) {
	f := readFile(dir, HeadFile, newShapes(), catalogue.Defaults{}, false)
	if len(f.reader.faults) > 0 {
		return manifest.Head{}, f.reader.faults
	}
	return *f.head, nil
}
