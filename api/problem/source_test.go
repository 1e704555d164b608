package problem_test

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
	"endfloat/service/spec"
)

// places are the functions that make faults, with the places of the texts among their arguments.
var places = map[string][]int{"Fault": {1, 2}, "New": {2}, "BadParameter": {2, 3}, "mediaFault": {2, 3}, "shape": {1, 2}, "badTable": {1, 2}, "unread": {1, 2}, "badToken": {0}, "missing": nil}

// joined are texts that are put together where they are written, each with what comes of it.
var joined = map[string][]string{
	`7 GET 7 lists what there is.`: {`No family has the key "7". GET 7 lists what there is.`, `No spec has the key "7". The nearest is 7. GET 7 lists what there is.`,
		`No component has the key "7". GET 7 lists what there is.`, `No shim set has the key "7". The nearest is 7. GET 7 lists what there is.`},
	`7 GET /v1/families leads to the components, which list their parts.`: {`No part has the SKU "7". The nearest is 7. GET 7 leads to the components, which list their parts.`,
		`No part has the SKU "7". GET 7 leads to the components, which list their parts.`},
	`No7. 7.`:                 {`No spec has the key "7"; the nearest is 7. GET /v1/specs lists every key.`, `No spec has the key "7". GET /v1/specs lists every key.`},
	`a stiffness lies from 7`: {"a stiffness lies from 7 to 7", "a nut factor lies from 7 to 7", "a shear strength in MPa lies from 7 to 7", "an engaged length in mm lies from 7 to 7", "a coefficient of friction lies from 7 to 7"},
	`name one of:7`:           {"name one of: 7, 7"},
	`no 7 has the key "7"`:    {`no family has the key "7"`, `no component has the key "7"`},
	`the nearest is 7; 7`:     {"the nearest is 7; GET 7 lists what there is"},
}

// pieced are texts whose words come out of a table.
var pieced = []string{`"7" is no thread that is known here`, `"7" has no such pitch`, `"7" is no class that is known here`, `"7" is no class of this thread`,
	`"7" does not exist in this size`, "the table has no head, at line 7", "the table cannot be read, at line 7", "this is of the wrong JSON type", "send the JSON type that the OpenAPI file names"}

// Every text that the source writes about a fault, found by reading the source itself, can be said in every language.
func TestEveryFaultOfTheSourceIsSaidInEveryLanguage(t *testing.T) {
	t.Parallel()
	book, seen, used := text.New(), map[string]bool{}, map[string]bool{}
	for _, root := range []string{"..", "../../service"} {
		for _, english := range written(t, root) {
			if parts, is := joined[english]; is {
				used[english] = true
				for _, whole := range parts {
					seen[whole] = true
				}
			} else {
				seen[english] = true
			}
		}
	}
	for _, english := range pieced {
		seen[english] = true
	}
	for text := range joined {
		if !used[text] {
			t.Errorf("%q is not written any more", text)
		}
	}
	if len(seen) < 250 {
		t.Errorf("only %d texts were found", len(seen))
	}
	for english := range seen {
		for _, lang := range spec.Languages[1:] {
			if said, ok := book.Again(lang, english); !ok || said == english {
				t.Errorf("%q has no words in %s", english, lang)
				break
			}
		}
	}
}

// written lists the texts about faults under a directory, with a figure wherever something is filled in.
func written(t *testing.T, root string) (list []string) {
	t.Helper()
	err := fs.WalkDir(os.DirFS(root), ".", func(path string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") || strings.HasPrefix(path, "cmd/") || strings.HasPrefix(path, "picture/") {
			return err
		}
		file, err := parser.ParseFile(token.NewFileSet(), root+"/"+path, nil, 0)
		if err != nil {
			return err
		}
		ast.Inspect(file, func(n ast.Node) bool {
			for _, e := range texts(n) {
				if text, some := literal(e); some {
					list = append(list, text)
				}
			}
			return true
		})
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return list
}

// texts are the expressions of a node that say what was found or what to send.
func texts(n ast.Node) (list []ast.Expr) {
	switch x := n.(type) {
	case *ast.CallExpr:
		name := named(x.Fun)
		if name == "New" && !faultPackage(x.Fun) {
			return nil
		}
		for _, at := range places[name] {
			if most := slices.Max(places[name]); len(x.Args) > most {
				list = append(list, x.Args[at])
			}
		}
	case *ast.KeyValueExpr:
		if key := named(x.Key); key == "Fix" || key == "Detail" {
			list = append(list, x.Value)
		}
	case *ast.AssignStmt:
		if name := named(x.Lhs[0]); x.Tok != token.ADD_ASSIGN && name == "fix" {
			list = append(list, x.Rhs[0])
		}
	}
	return list
}

func faultPackage(e ast.Expr) bool {
	s, is := e.(*ast.SelectorExpr)
	return is && named(s.X) == "fault"
}

func named(e ast.Expr) string {
	switch x := e.(type) {
	case *ast.Ident:
		return x.Name
	case *ast.SelectorExpr:
		return x.Sel.Name
	}
	return ""
}

// literal is a text as it is written, with a figure for what is filled in; some is false where nothing is written.
func literal(e ast.Expr) (text string, some bool) {
	switch x := e.(type) {
	case *ast.BasicLit:
		if s, err := strconv.Unquote(x.Value); err == nil && x.Kind == token.STRING {
			return s, strings.TrimSpace(s) != ""
		}
	case *ast.BinaryExpr:
		left, some := literal(x.X)
		right, more := literal(x.Y)
		return left + right, some || more
	case *ast.CallExpr:
		switch name := named(x.Fun); {
		case strings.HasSuffix(name, "Quote"):
			return `"7"`, false
		case name == "wantedType", name == "kindName":
			return "a string", false
		}
	}
	if named(e) == "what" {
		return "a stiffness", false
	}
	return "7", false
}
