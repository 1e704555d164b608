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

// made is a note about a fault as the source makes it: a key, or the part of it that is written where the rest is
// filled in, with the names of its values; names is nil where they are not written there.
type made struct {
	key    string
	part   bool
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
		if m.part {
			found := false
			for _, key := range book.Codes() {
				if ofFault(key) && (strings.HasPrefix(key, m.key) || strings.HasSuffix(key, m.key)) {
					used[key], found = true, true
				}
			}
			if !found && ofFault(m.key) {
				t.Errorf("%s: no sentence has %q in its key", m.where, m.key)
			}
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
	for _, key := range book.Codes() {
		if ofFault(key) && !used[key] {
			t.Errorf("nothing says %s", key)
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
		m.key, _ = strconv.Unquote(key.Value)
	case *ast.BinaryExpr: // what is in front, else what is behind
		m.part = true
		for e := ast.Expr(key); m.key == ""; {
			switch x := e.(type) {
			case *ast.BasicLit:
				m.key, _ = strconv.Unquote(x.Value)
			case *ast.BinaryExpr:
				if _, is := x.X.(*ast.BasicLit); !is {
					if _, deeper := x.X.(*ast.BinaryExpr); !deeper {
						e = x.Y
						continue
					}
				}
				e = x.X
			default:
				return m, false
			}
		}
	}
	m.listed = call.Ellipsis == token.NoPos
	for _, arg := range call.Args[1:] {
		param, is := arg.(*ast.CallExpr)
		if !is || !called(param, "note", "Str") && !called(param, "note", "Count") && !called(param, "note", "Qty") {
			m.listed = false
			continue
		}
		if name, is := param.Args[0].(*ast.BasicLit); is {
			s, _ := strconv.Unquote(name.Value)
			m.names = append(m.names, s)
		}
	}
	return m, ofFault(m.key) || m.part && strings.HasPrefix(m.key, "_")
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
