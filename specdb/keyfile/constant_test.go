package keyfile_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"strings"
	"testing"
)

// A hash is compared in one place alone, and there in constant time: nowhere else in the package does a comparison, a
// switch or a map look at one.
func TestHashesAreComparedInConstantTimeAlone(t *testing.T) {
	t.Parallel()
	files, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	fset, constant := token.NewFileSet(), 0
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(fset, name, nil, parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(file, func(n ast.Node) bool {
			var compared []ast.Expr
			switch n := n.(type) {
			case *ast.BinaryExpr:
				if n.Op == token.EQL || n.Op == token.NEQ {
					compared = []ast.Expr{n.X, n.Y}
				}
			case *ast.SwitchStmt:
				compared = []ast.Expr{n.Tag}
			case *ast.IndexExpr:
				compared = []ast.Expr{n.Index}
			case *ast.CallExpr:
				switch called(n) {
				case "subtle.ConstantTimeCompare":
					constant++
				case "strings.EqualFold", "strings.Compare", "bytes.Equal", "bytes.Compare", "cmp.Compare", "slices.Contains", "slices.Equal":
					compared = n.Args
				}
			}
			for _, e := range compared {
				if id := hashIn(e); id != "" {
					t.Errorf("%s: %s is compared as anything else is", fset.Position(e.Pos()), id)
				}
			}
			return true
		})
	}
	if constant != 1 {
		t.Errorf("there are %d comparisons in constant time, want 1", constant)
	}
}

func called(c *ast.CallExpr) string {
	if s, ok := c.Fun.(*ast.SelectorExpr); ok {
		if x, ok := s.X.(*ast.Ident); ok {
			return x.Name + "." + s.Sel.Name
		}
	}
	return ""
}

// hashIn is the name of a hash or a secret that an expression is.
func hashIn(e ast.Expr) string {
	name := ""
	switch e := e.(type) {
	case *ast.Ident:
		name = e.Name
	case *ast.SelectorExpr:
		name = e.Sel.Name
	}
	if n := strings.ToLower(name); n == "hash" || n == "secret" {
		return name
	}
	return ""
}
