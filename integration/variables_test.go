package integration_test

import (
	"go/ast"
	"go/token"
)

// packageVars are the names of the variables that a file declares at the top.
func packageVars(file *ast.File) []string {
	var names []string
	for _, decl := range file.Decls {
		gen, ok := decl.(*ast.GenDecl)
		if !ok || gen.Tok != token.VAR {
			continue
		}
		for _, s := range gen.Specs {
			if v, ok := s.(*ast.ValueSpec); ok {
				for _, n := range v.Names {
					names = append(names, n.Name)
				}
			}
		}
	}
	return names
}

// written are the places in functions where one of vars is assigned to, in whole or in part, where no parameter or
// local of the same name hides it.
func written(file *ast.File, vars map[string]bool) []token.Pos {
	var at []token.Pos
	for _, decl := range file.Decls {
		fn, ok := decl.(*ast.FuncDecl)
		if !ok || fn.Body == nil {
			continue
		}
		hidden := locals(fn)
		note := func(target ast.Expr) {
			if id := root(target); id != nil && vars[id.Name] && !hidden[id.Name] {
				at = append(at, id.Pos())
			}
		}
		ast.Inspect(fn.Body, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.AssignStmt:
				if n.Tok != token.DEFINE {
					for _, target := range n.Lhs {
						note(target)
					}
				}
			case *ast.IncDecStmt:
				note(n.X)
			case *ast.CallExpr:
				if id, ok := n.Fun.(*ast.Ident); ok && (id.Name == "delete" || id.Name == "clear") && len(n.Args) > 0 {
					note(n.Args[0])
				}
			}
			return true
		})
	}
	return at
}

// locals are the names that a function declares itself, anywhere in it.
func locals(fn *ast.FuncDecl) map[string]bool {
	names := map[string]bool{}
	ast.Inspect(fn, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.Field:
			for _, id := range n.Names {
				names[id.Name] = true
			}
		case *ast.AssignStmt:
			if n.Tok == token.DEFINE {
				for _, target := range n.Lhs {
					if id, ok := target.(*ast.Ident); ok {
						names[id.Name] = true
					}
				}
			}
		case *ast.RangeStmt:
			for _, e := range []ast.Expr{n.Key, n.Value} {
				if id, ok := e.(*ast.Ident); ok && n.Tok == token.DEFINE {
					names[id.Name] = true
				}
			}
		case *ast.ValueSpec:
			for _, id := range n.Names {
				names[id.Name] = true
			}
		}
		return true
	})
	return names
}

// root is the variable at the bottom of an expression that is assigned to.
func root(e ast.Expr) *ast.Ident {
	for {
		switch x := e.(type) {
		case *ast.Ident:
			return x
		case *ast.SelectorExpr:
			e = x.X
		case *ast.IndexExpr:
			e = x.X
		case *ast.StarExpr:
			e = x.X
		case *ast.ParenExpr:
			e = x.X
		default:
			return nil
		}
	}
}
