// Command generate builds the product-page card from its source: one file without spaces, comments and long names,
// under a name made from its content, and the manifest that says which one is current. A file that was published stays,
// since pages name it.
//
// It runs in the directory of the package embed:
//
//	go run ./generate
package main

import (
	"crypto/sha512"
	"encoding/base64"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"github.com/evanw/esbuild/pkg/api"
)

func main() {
	if err := run("source", "files"); err != nil {
		fmt.Fprintln(os.Stderr, "generate:", err)
		os.Exit(1)
	}
}

// manifest says where the current card is and what it is made of.
type manifest struct {
	Element   string `json:"element"`
	File      string `json:"file"`
	Integrity string `json:"integrity"`
	Bytes     int    `json:"bytes"`
}

func run(source, files string) error {
	card, err := build(source)
	if err != nil {
		return err
	}
	sum := sha512.Sum384(card)
	m := manifest{Element: "endfloat-spec", File: "spec-card." + hex.EncodeToString(sum[:6]) + ".js",
		Integrity: "sha384-" + base64.StdEncoding.EncodeToString(sum[:]), Bytes: len(card)}
	text, err := json.MarshalIndent(m, "", "  ")
	if err != nil {
		return err
	}
	return errors.Join(os.WriteFile(filepath.Join(files, m.File), card, 0o600), os.WriteFile(filepath.Join(files, "manifest.json"), append(text, '\n'), 0o600))
}

func build(source string) ([]byte, error) {
	css, err := os.ReadFile(filepath.Join(source, "spec-card.css"))
	if err != nil {
		return nil, err
	}
	style := api.Transform(string(css), api.TransformOptions{Loader: api.LoaderCSS, MinifyWhitespace: true, MinifySyntax: true})
	if len(style.Errors) > 0 {
		return nil, fmt.Errorf("spec-card.css: %s", style.Errors[0].Text)
	}
	quoted, err := json.Marshal(string(style.Code[:len(style.Code)-1]))
	if err != nil {
		return nil, err
	}
	script, err := os.ReadFile(filepath.Join(source, "spec-card.js"))
	if err != nil {
		return nil, err
	}
	out := api.Transform(string(script), api.TransformOptions{Loader: api.LoaderJS, Format: api.FormatESModule, Target: api.ES2022, Charset: api.CharsetUTF8,
		MinifyWhitespace: true, MinifySyntax: true, MinifyIdentifiers: true, MangleProps: "_$", Define: map[string]string{"STYLE": string(quoted)}})
	if len(out.Errors) > 0 {
		return nil, fmt.Errorf("spec-card.js: %s", out.Errors[0].Text)
	}
	return out.Code, nil
}
