package text_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"endfloat/api/text"
)

// faultKeys begin the keys of the sentences about faults.
var faultKeys = []string{"found_", "fix_", "absent_"}

func ofFault(key string) bool {
	return slices.ContainsFunc(faultKeys, func(begin string) bool { return strings.HasPrefix(key, begin) })
}

// made is a note about a fault as the source makes it: a key, or what is put behind that of another note, with the names
// of its values; pieced says that more is put behind the key, listed that all values are written there.
type made struct {
	key    string
	behind bool
	pieced bool
	names  []string
	listed bool
	where  string
}

// What the source says about faults and what the book has are the same, found by reading the source: every key has its
// sentence, which shows each value that it is given and no other, and no sentence is left over.
func TestEveryFaultOfTheSourceHasItsSentence(t *testing.T) {
	t.Parallel()
	book, used := text.New(), map[string]bool{}
	all := notes(t, "..", "../../service")
	if len(all) < 400 {
		t.Errorf("only %d notes about faults were found", len(all))
	}
	for _, m := range all {
		if m.pieced {
			t.Errorf("%s: the key %s… is not written whole", m.where, m.key)
		}
		if m.behind || m.pieced {
			continue
		}
		used[m.key] = true
		if !book.Has(m.key) {
			t.Errorf("%s: %s has no sentence", m.where, m.key)
			continue
		}
		_, params := book.Template("en", m.key)
		slices.Sort(params)
		slices.Sort(m.names)
		if m.listed && !slices.Equal(params, m.names) {
			t.Errorf("%s: %s is given %v and shows %v", m.where, m.key, m.names, params)
		}
	}
	for _, m := range all {
		if m.behind {
			addTo(used, book.Codes(), m.key)
		}
	}
	for _, key := range book.Codes() {
		if ofFault(key) && !used[key] {
			t.Errorf("nothing says %s", key)
		}
	}
}

// addTo marks the keys that are a used one with more behind it.
func addTo(used map[string]bool, keys []string, behind string) {
	for _, key := range keys {
		if first, is := strings.CutSuffix(key, behind); is && ofFault(key) && used[first] {
			used[key] = true
		}
	}
}

// notes lists every note about a fault that the source under some directories makes.
func notes(t *testing.T, roots ...string) (list []made) {
	t.Helper()
	for _, root := range roots {
		err := fs.WalkDir(os.DirFS(root), ".", func(path string, entry fs.DirEntry, err error) error {
			if err != nil || entry.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
				return err
			}
			files := token.NewFileSet()
			file, err := parser.ParseFile(files, root+"/"+path, nil, 0)
			if err != nil {
				return err
			}
			ast.Inspect(file, func(n ast.Node) bool {
				if call, is := n.(*ast.CallExpr); is && called(call, "note", "New") {
					if m, of := noteOf(call); of {
						m.where = files.Position(call.Pos()).String()
						list = append(list, m)
					}
				}
				return true
			})
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	return list
}

// noteOf reads a call of note.New; of is false where it is not about a fault.
func noteOf(call *ast.CallExpr) (m made, of bool) {
	switch key := call.Args[0].(type) {
	case *ast.BasicLit:
		m.key = written(key)
	case *ast.BinaryExpr:
		m.key, m.behind = written(key.Y), true
		if front := written(key.X); front != "" {
			m.key, m.behind, m.pieced = front, false, true
		}
	}
	m.listed = call.Ellipsis == token.NoPos
	for _, arg := range call.Args[1:] {
		param, is := arg.(*ast.CallExpr)
		if !is || !called(param, "note", "Str") && !called(param, "note", "Count") && !called(param, "note", "Qty") {
			m.listed = false
			continue
		}
		m.names = append(m.names, written(param.Args[0]))
	}
	return m, ofFault(m.key) || m.behind && strings.HasPrefix(m.key, "_")
}

// written is a text as it stands in the source; empty where it is put together.
func written(e ast.Expr) string {
	if x, is := e.(*ast.BasicLit); is {
		s, _ := strconv.Unquote(x.Value)
		return s
	}
	return ""
}

// called reports whether a call is of a function of a package.
func called(call *ast.CallExpr, pkg, name string) bool {
	s, is := call.Fun.(*ast.SelectorExpr)
	if !is || s.Sel.Name != name {
		return false
	}
	x, is := s.X.(*ast.Ident)
	return is && x.Name == pkg
}
