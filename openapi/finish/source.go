package finish

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"strconv"
	"strings"
)

// source is what the Go source says about schemas and the annotations do not carry: by schema, then by property.
type source map[string]shape

type shape struct {
	about  string
	fields map[string]field
}

type field struct {
	example string // as written in the tag
	always  bool   // written even where it is empty
	demand  bool   // marked as required in a request
}

// readSource reads the struct types under dir. Files of tests are left out.
func readSource(dir string) (source, error) {
	src := source{}
	fset := token.NewFileSet()
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, err
	}
	defer root.Close()
	err = fs.WalkDir(root.FS(), ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || filepath.Ext(path) != ".go" || strings.HasSuffix(path, "_test.go") {
			return err
		}
		text, err := fs.ReadFile(root.FS(), path)
		if err != nil {
			return err
		}
		file, err := parser.ParseFile(fset, path, text, parser.ParseComments)
		if err != nil {
			return err
		}
		for _, decl := range file.Decls {
			if gen, ok := decl.(*ast.GenDecl); ok && gen.Tok == token.TYPE {
				src.types(file.Name.Name, gen)
			}
		}
		return nil
	})
	return src, err
}

func (src source) types(pkg string, gen *ast.GenDecl) {
	for _, s := range gen.Specs {
		t, ok := s.(*ast.TypeSpec)
		if !ok {
			continue
		}
		st, ok := t.Type.(*ast.StructType)
		if !ok {
			continue
		}
		doc := t.Doc
		if doc == nil {
			doc = gen.Doc
		}
		src[schemaName(pkg, t)] = shape{about: oneLine(doc.Text()), fields: fields(st)}
	}
}

// schemaName is the name of the schema of a type: what @name says behind it, else package and type.
func schemaName(pkg string, t *ast.TypeSpec) string {
	if t.Comment != nil {
		for _, c := range t.Comment.List {
			if _, name, ok := strings.Cut(c.Text, "@name "); ok {
				return strings.TrimSpace(name)
			}
		}
	}
	return pkg + "." + t.Name.Name
}

func fields(st *ast.StructType) map[string]field {
	all := map[string]field{}
	for _, f := range st.Fields.List {
		if f.Tag == nil {
			continue
		}
		text, err := strconv.Unquote(f.Tag.Value)
		if err != nil {
			continue
		}
		tag := reflect.StructTag(text)
		name, options, _ := strings.Cut(tag.Get("json"), ",")
		if name == "" || name == "-" {
			continue
		}
		all[name] = field{example: tag.Get("example"), always: !strings.Contains(options, "omit"),
			demand: strings.Contains(tag.Get("validate"), "required")}
	}
	return all
}

func oneLine(text string) string { return strings.Join(strings.Fields(text), " ") }
