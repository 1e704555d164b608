package yamlfile

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"path"
	"runtime"
	"slices"
	"strings"
	"sync"

	"go.yaml.in/yaml/v3"

	"endfloat/service/catalogue"
	"endfloat/service/spec"
	"endfloat/specdb/manifest"
)

// Loaded is a catalogue as read from files.
type Loaded struct {
	manifest.Head
	Families []*catalogue.Family // in the order of their files
	Files    []string            // beside Families; empty for those of LoadOver that were not read
	// Places are where families, components, specs and shim sets (by key), variants (family:id) and parts
	// (SKU @ component) stand. Only LoadWithProgress fills it.
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

// LoadWithProgress is Load on all processors, remembers where everything stands and tells after each file how many of how many are read.
// The calls come one at a time.
func LoadWithProgress(dir fs.FS, defaults catalogue.Defaults, told func(done, of int)) (*Loaded, error) {
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

func load(dir fs.FS, defaults catalogue.Defaults, beside []*catalogue.Family, told func(done, of int)) (*Loaded, error) {
	names, faults := list(dir)
	files := make([]file, len(names))
	s := newShapes()
	var wait sync.WaitGroup
	var count sync.Mutex
	next := make(chan int)
	done := 0
	workers := max(1, runtime.GOMAXPROCS(0)/2)
	if told != nil {
		workers = runtime.GOMAXPROCS(0) // a tool has the machine to itself
	}
	for range min(workers, max(1, len(names))) {
		wait.Go(func() {
			for i := range next {
				files[i] = readFile(dir, names[i], s, defaults, told != nil)
				count.Lock()
				if done++; told != nil {
					told(done, len(names))
				}
				count.Unlock()
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
func readFile(dir fs.FS, name string, s *shapes, defaults catalogue.Defaults, places bool) (f file) {
	f = file{name: name, reader: &reader{shapes: s, file: name}}
	defer func() {
		if p := recover(); p != nil {
			f.root, f.head, f.family = nil, nil, nil
			f.reader.fault(&yaml.Node{Line: 1, Column: 1}, "unreadable", fmt.Sprint("the reader gave up: ", p), "leave out what was changed last; it is a fault of the program")
		}
	}()
	if places {
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
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err.Error()
	}
	return err.Error()
}

// join gathers the files and checks what lies between them.
func join(files []file, defaults catalogue.Defaults, beside []*catalogue.Family) (*Loaded, Faults) {
	out := &Loaded{Head: manifest.Head{Defaults: defaults}, Places: map[string]Place{}}
	owner := map[string]string{}
	for _, f := range files {
		maps.Copy(out.Places, f.reader.placed)
		switch {
		case f.head != nil:
			out.Head = *f.head
		case f.family == nil || f.family.Key == "":
		case owner[f.family.Key] != "":
			f.reader.fault(f.root, "duplicate_id", "the family "+f.family.Key+" stands in "+owner[f.family.Key]+" too", "give each family its own id")
		default:
			owner[f.family.Key] = f.name
			out.Families = append(out.Families, f.family)
			out.Files = append(out.Files, f.name)
		}
	}
	for _, f := range beside {
		if owner[f.Key] == "" {
			out.Families, out.Files = append(out.Families, f), append(out.Files, "")
		}
	}
	between(files, out)
	var faults Faults
	for _, f := range files {
		faults = append(faults, f.reader.faults...)
	}
	return out, faults[:min(len(faults), most)]
}

// between checks the part numbers and caution codes that files name.
func between(files []file, l *Loaded) {
	next := map[string]string{}
	known := skus(l.Families, next)
	for _, f := range files {
		for _, x := range f.reader.skus {
			if !known[string(x.key)] {
				f.reader.fault(x.at, "dangling_reference", "nothing has the part number "+string(x.key), "list the part, or the size in a ladder")
			} else if circular(string(x.key), next) {
				f.reader.fault(x.at, "circular_supersession", string(x.key)+" is in the end superseded by itself", "let the chain end at the part that is sold")
			}
		}
		for _, x := range f.reader.codes {
			code := string(x.key)
			if !slices.ContainsFunc(l.Defaults.Cautions, func(c spec.Caution) bool { return c.Code == code }) {
				f.reader.fault(x.at, "unknown_caution", fmt.Sprintf("the caution %q has no severity", code), "list it under cautions in "+HeadFile+", or use a known one")
			}
		}
	}
}

// skus is every part number that a part or a size has, and who replaces whom.
func skus(families []*catalogue.Family, next map[string]string) map[string]bool {
	known := map[string]bool{}
	add := func(sku, by string) {
		known[sku] = true
		if by != "" {
			next[sku] = by
		}
	}
	for _, f := range families {
		for _, c := range f.Components {
			for _, p := range c.Parts {
				add(p.SKU, p.SupersededBy)
			}
			for _, e := range c.Shims {
				for _, g := range e.Base.Ladder {
					add(g.SKU, g.SupersededBy)
				}
				for _, o := range e.Overrides {
					for _, g := range o.Shims.Ladder {
						add(g.SKU, g.SupersededBy)
					}
				}
			}
		}
	}
	return known
}

// circular follows a chain until it ends or comes back.
func circular(sku string, next map[string]string) bool {
	at := sku
	for range len(next) {
		if at = next[at]; at == "" {
			return false
		}
		if at == sku {
			return true
		}
	}
	return false
}

// LoadHead reads catalogue.yaml alone.
func LoadHead(dir fs.FS) (manifest.Head, error) {
	f := readFile(dir, HeadFile, newShapes(), catalogue.Defaults{}, false)
	if len(f.reader.faults) > 0 {
		return manifest.Head{}, f.reader.faults
	}
	return *f.head, nil
}

// ReadNode reads a family from nodes that somebody else made; a fault names the line and column that they carry. known
// are part numbers that stand elsewhere. The family is nil where there is a fault.
func ReadNode(name string, root *yaml.Node, defaults catalogue.Defaults, known []string) (*catalogue.Family, Faults) {
	f := file{name: name, root: root, reader: &reader{shapes: newShapes(), file: name}}
	f.family = f.reader.family(root)
	f.reader.skus = slices.DeleteFunc(f.reader.skus, func(x ref) bool { return slices.Contains(known, string(x.key)) })
	_, faults := join([]file{f}, defaults, nil)
	if len(faults) > 0 {
		faults.sort()
		return nil, faults
	}
	return f.family, nil
}

// Document is the one plain document of a file, for tools that show or turn it into another form.
func Document(name string, data []byte) (*yaml.Node, error) {
	r := &reader{shapes: newShapes(), file: name}
	root, ok := r.parse(data)
	if !ok {
		return nil, r.faults
	}
	return root, nil
}
