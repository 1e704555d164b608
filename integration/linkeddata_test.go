//go:build integration

package integration_test

import (
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// productPages are addresses that answer as pages of a shop need it, with what each is in the vocabulary of schema.org.
var productPages = map[string]string{
	"/v1/families/pl-85/components/counter-shaft/specs/key-bolt?unit_system=imperial": "WithContext<PropertyValue>",
	"/v1/families/ov-120/components/wheel-carrier/specs/ring-bolts":                   "WithContext<PropertyValue>",
	"/v1/families/qb-270/components/camshaft?unit_system=imperial&lang=fr":            "WithContext<ProductModel>",
	"/v1/parts/PL-SH-110": "WithContext<Product>",
	"/v1/lookups?key=pl-85/counter-shaft/key-bolt&sku=PL-SH-110,no-such&component=pl-85/case": "Graph",
}

// What is said as JSON-LD is typed by schema-dts, the published types of schema.org: an unknown property, a property of
// another type or a wrong kind of value does not compile.
func TestLinkedDataIsInTheVocabulary(t *testing.T) {
	t.Parallel()
	s := start(t)
	dir := t.TempDir()
	modules, err := filepath.Abs("node_modules")
	if err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(modules, filepath.Join(dir, "node_modules")); err != nil {
		t.Fatal(err)
	}
	typed := func(file, kind, doc string) error {
		text := "import type { Graph, Product, ProductModel, PropertyValue, WithContext } from 'schema-dts';\nexport const doc: " + kind + " = " + doc +
			";\nexport type Used = Graph | Product | ProductModel | PropertyValue | WithContext<Product>;\n"
		if err := os.WriteFile(filepath.Join(dir, file), []byte(text), 0o600); err != nil {
			return err
		}
		cmd := exec.CommandContext(t.Context(), filepath.Join(modules, ".bin", "tsc"), "--noEmit", "--strict", "--skipLibCheck", "--module", "nodenext", "--moduleResolution", "nodenext", file)
		cmd.Dir = dir
		out, err := cmd.CombinedOutput()
		if err != nil {
			t.Logf("%s", out)
		}
		return err
	}
	var one string
	for path, kind := range productPages {
		a := send(t, s.caller(t), request(t, http.MethodGet, s.URL+path, "", "Accept", "application/ld+json"))
		if a.Status != http.StatusOK || a.Header.Get("Content-Type") != "application/ld+json" {
			t.Fatalf("%s: %d %v", path, a.Status, a.Header)
		}
		if err := typed("doc.ts", kind, string(a.Body)); err != nil {
			t.Errorf("%s: %v\n%s", path, err, a.Body)
		}
		if strings.Contains(kind, "PropertyValue") {
			one = string(a.Body)
		}
	}
	for _, wrong := range []string{strings.Replace(one, `"minValue"`, `"smallest"`, 1), strings.Replace(one, "PropertyValue", "Property", 1)} {
		if typed("wrong.ts", "WithContext<PropertyValue>", wrong) == nil {
			t.Errorf("this compiles although it is wrong: %s", wrong)
		}
	}
}

// A fragment is valid HTML wherever a page puts it.
func TestFragmentsAreValidHTML(t *testing.T) {
	t.Parallel()
	s := start(t)
	dir := t.TempDir()
	rules := filepath.Join(dir, ".htmlvalidate.json")
	if err := os.WriteFile(rules, []byte(`{"root":true,"extends":["html-validate:standard"],"rules":{"no-trailing-whitespace":"off","doctype-style":"off"}}`), 0o600); err != nil {
		t.Fatal(err)
	}
	page := "<!doctype html>\n<html lang=\"en\">\n<head><meta charset=\"utf-8\"><title>A shop</title></head>\n<body>\n<main>\n<h1>A shop</h1>\n"
	for path := range productPages {
		a := send(t, s.caller(t), request(t, http.MethodGet, s.URL+path, "", "Accept", "text/html"))
		page += string(a.Body)
	}
	file := filepath.Join(dir, "shop.html")
	validate := func(page string) ([]byte, error) {
		if err := os.WriteFile(file, []byte(page+"</main>\n</body>\n</html>\n"), 0o600); err != nil {
			t.Fatal(err)
		}
		return exec.CommandContext(t.Context(), "node_modules/.bin/html-validate", "--config", rules, file).CombinedOutput()
	}
	if out, err := validate(page); err != nil {
		t.Errorf("%s", out)
	}
	if _, err := validate(page + "<p><div></p>"); err == nil {
		t.Error("nothing was said about a page that is wrong")
	}
}
