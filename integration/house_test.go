// Package integration_test looks at the project from outside: its layers, and the built binary over HTTP.
package integration_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"go/ast"
	"go/parser"
	"go/token"
	"io"
	"os/exec"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

const module = "endfloat"

// listed is a package as go list describes it.
type listed struct {
	ImportPath   string
	Dir          string
	Standard     bool
	GoFiles      []string
	Imports      []string
	TestImports  []string
	XTestImports []string
	Deps         []string
}

func list(t *testing.T, args ...string) []listed {
	t.Helper()
	cmd := exec.CommandContext(t.Context(), "go", append([]string{"list", "-json=ImportPath,Dir,Standard,GoFiles,Imports,TestImports,XTestImports,Deps"}, args...)...)
	cmd.Dir = ".."
	var diag bytes.Buffer
	cmd.Stderr = &diag
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("go list: %v\n%s", err, diag.String())
	}
	var all []listed
	for dec := json.NewDecoder(bytes.NewReader(out)); ; {
		var p listed
		if err := dec.Decode(&p); err != nil {
			if errors.Is(err, io.EOF) {
				return all
			}
			t.Fatal(err)
		}
		all = append(all, p)
	}
}

// within reports whether an import path is that of a package or lies below it.
func within(importPath, tree string) bool {
	return importPath == tree || strings.HasPrefix(importPath, tree+"/")
}

// ban is a row of the rules of the layers: no package below From has anything below To among its dependencies.
// Through names the packages that may link it all the same, because a library of theirs does.
type ban struct {
	From, To, Because string
	Through           []string
}

// bans hold for everything a package links, directly or not, tests aside.
func bans() []ban {
	const api, service, specdb, openapi = module + "/api", module + "/service", module + "/specdb", module + "/openapi"
	return []ban{
		{service, "net/http", "the trade knows no transport", nil},
		{service, "encoding/json", "JSON belongs to api", nil},
		{service, "github.com/go-json-experiment/json", "JSON belongs to api", nil},
		{service, "log/slog", "the trade returns errors and writes no log", nil},
		{service, api, "dependencies run from api to service", nil},
		{service, specdb, "dependencies run from specdb to service", nil},
		{service, openapi, "the trade does not know how it is described", nil},
		{specdb, api, "the catalogue does not know the HTTP side", nil},
		// The library that reads spreadsheets tells the types of pictures with it.
		{specdb, "net/http", "the catalogue knows no transport", []string{specdb + "/spreadsheet", specdb + "/authoring"}},
		{specdb, openapi, "the catalogue does not know how it is described", nil},
		{api + "/client", service, "the client knows HTTP alone", nil},
		{api + "/client", specdb, "the client knows HTTP alone", nil},
		{api + "/client", openapi, "the client knows HTTP alone", nil},
		{api + "/client", api + "/wire", "the client shares no code with the service", nil},
		{api + "/client", api + "/text", "every sentence is the service's own", nil},
		{api + "/client", "github.com/gin-gonic/gin", "the client serves nothing", nil},
		{openapi, api, "the description is made from source text and links nothing it describes", nil},
		{openapi, service, "the description is made from source text and links nothing it describes", nil},
		{openapi, specdb, "the description is made from source text and links nothing it describes", nil},
		{api + "/cmd", "github.com/swaggo/swag", "generators are no part of the service", nil},
		{api + "/cmd", "github.com/evanw/esbuild", "generators are no part of the service", nil},
		{api + "/cmd", "github.com/getkin/kin-openapi", "validators are no part of the service", nil},
		{api + "/cmd", "github.com/google/go-cmp", "test libraries are no part of the service", nil},
		{api + "/cmd", "pgregory.net/rapid", "test libraries are no part of the service", nil},
		{api + "/cmd", "github.com/alicebob/miniredis/v2", "test libraries are no part of the service", nil},
		{api + "/cmd", "github.com/dunglas/httpsfv", "the parser that reads our header fields is for tests", nil},
		{api + "/cmd", "golang.org/x/time/rate", "the limiter that ours is held against is for tests", nil},
		{api + "/quota", specdb, "who is counted does not know where", nil},
		{api + "/quota", "github.com/redis/go-redis/v9", "who is counted does not know where", nil},
		{api + "/quota", "github.com/gin-gonic/gin", "a limiter knows no router", nil},
		{specdb + "/keyfile", "github.com/redis/go-redis/v9", "keys are granted by files alone", nil},
		{specdb + "/publication", "github.com/redis/go-redis/v9", "how a sealed revision travels is none of its business", nil},
		{specdb + "/store", "github.com/redis/go-redis/v9", "what is held is found without a network", nil},
		{api + "/cmd", "testing", "the service is no test", nil},
		{api + "/cmd", module + "/api/apitest", "the validator of tests is no part of the service", nil},
	}
}

func TestLayersDependOneWay(t *testing.T) {
	t.Parallel()
	all := list(t, "./...")
	if len(all) < 10 {
		t.Fatalf("only %d packages", len(all))
	}
	for _, b := range bans() {
		from := 0
		for _, p := range all {
			if !within(p.ImportPath, b.From) || slices.Contains(b.Through, p.ImportPath) {
				continue
			}
			from++
			for _, dep := range p.Deps {
				if within(dep, b.To) {
					t.Errorf("%s links %s: %s", p.ImportPath, dep, b.Because)
				}
			}
		}
		if from == 0 {
			t.Errorf("no package below %s: the rule looks at nothing", b.From)
		}
	}
}

// What is imported directly is held to more: the standard library itself reaches os almost everywhere.
func TestTheTradeImportsLittle(t *testing.T) {
	t.Parallel()
	outside := []string{"gonum.org/v1/gonum/stat/distuv", "gonum.org/v1/gonum/mathext", module + "/service"}
	never := map[string]string{
		"os": "files belong to specdb", "log": "the trade writes no log", "io/fs": "files belong to specdb", "embed": "data belongs to specdb",
		"net": "the trade knows no transport", "net/url": "the trade knows no transport", "flag": "settings belong to main",
		"database/sql": "storage belongs to specdb", "os/exec": "the trade starts nothing", "time/tzdata": "the trade knows no clock of a place",
	}
	for _, p := range list(t, "./service/...") {
		for _, dep := range p.Imports {
			if because, bad := never[dep]; bad {
				t.Errorf("%s imports %s: %s", p.ImportPath, dep, because)
			}
			if strings.Contains(strings.SplitN(dep, "/", 2)[0], ".") || within(dep, module) {
				if !slices.ContainsFunc(outside, func(tree string) bool { return within(dep, tree) }) {
					t.Errorf("%s imports %s: the trade stands on the standard library and distributions alone", p.ImportPath, dep)
				}
			}
		}
	}
}

// Only main brings the three layers together; black-box tests never look inside the trade.
func TestOnlyMainKnowsAllThree(t *testing.T) {
	t.Parallel()
	for _, p := range list(t, "-tags", "integration", "./...") {
		for _, dep := range p.Imports {
			if within(p.ImportPath, module+"/api") && p.ImportPath != module+"/api/cmd/endfloat" && within(dep, module+"/specdb") {
				t.Errorf("%s imports %s: only api/cmd/endfloat knows specdb", p.ImportPath, dep)
			}
		}
		if !within(p.ImportPath, module+"/integration") {
			continue
		}
		const validator = module + "/api/apitest" // it reads the OpenAPI file and no handler
		for _, dep := range slices.Concat(p.Imports, p.TestImports, p.XTestImports) {
			if within(dep, module+"/service") || within(dep, module+"/specdb") || within(dep, module+"/api") && dep != validator {
				t.Errorf("%s imports %s: it looks from outside", p.ImportPath, dep)
			}
		}
	}
}

// A package says what it is for; its name says no more than it must.
func TestPackagesAreDescribed(t *testing.T) {
	t.Parallel()
	dull := []string{"util", "utils", "common", "helpers", "models", "misc", "shared", "base"}
	for _, p := range list(t, "./...") {
		if slices.Contains(dull, path.Base(p.ImportPath)) {
			t.Errorf("%s: a name that says nothing", p.ImportPath)
		}
		if len(p.GoFiles) == 0 {
			continue
		}
		described := false
		for _, name := range p.GoFiles {
			file, err := parser.ParseFile(token.NewFileSet(), filepath.Join(p.Dir, name), nil, parser.PackageClauseOnly|parser.ParseComments)
			if err != nil {
				t.Fatal(err)
			}
			described = described || file.Doc != nil
		}
		if !described {
			t.Errorf("%s has no doc comment", p.ImportPath)
		}
	}
}

// Whoever carries the project on finds every package in the layout of DEVELOPERS.md.
func TestTheLayoutNamesEveryPackage(t *testing.T) {
	t.Parallel()
	_, rest, _ := strings.Cut(string(content(t, "DEVELOPERS.md")), "## Layout")
	layout, _, _ := strings.Cut(rest, "## One direction")
	for _, p := range list(t, "./api/...", "./service/...", "./specdb/...") {
		parts := strings.Split(strings.TrimPrefix(p.ImportPath, module+"/"), "/")
		if len(parts) > 1 && !strings.Contains(layout, " "+parts[1]+"/") {
			t.Errorf("%s is not in the layout", p.ImportPath)
		}
	}
}

// Nothing a package holds in a variable is written after the start: no assignment, increment or address of a package
// variable stands in any function.
func TestNoPackageVariableIsWritten(t *testing.T) {
	t.Parallel()
	for _, p := range list(t, "./...") {
		fset := token.NewFileSet()
		var files []*ast.File
		vars := map[string]bool{}
		for _, name := range p.GoFiles {
			file, err := parser.ParseFile(fset, filepath.Join(p.Dir, name), nil, parser.SkipObjectResolution)
			if err != nil {
				t.Fatal(err)
			}
			files = append(files, file)
			for _, v := range packageVars(file) {
				vars[v] = true
			}
		}
		for _, file := range files {
			for _, at := range written(file, vars) {
				t.Errorf("%s: a package variable is written", fset.Position(at))
			}
		}
	}
}
