// Command generate writes the OpenAPI file anew from the annotated handlers.
//
//	go run ./openapi/generate          from the root of the module
//	go run ./openapi/generate DIR      the root of the module is DIR
package main

import (
	"fmt"
	"os"
	"path/filepath"

	"endfloat/openapi/finish"
)

func main() {
	root := "."
	if len(os.Args) > 1 {
		root = os.Args[1]
	}
	if err := generate(root); err != nil {
		fmt.Fprintln(os.Stderr, "generate:", err)
		os.Exit(1)
	}
}

func generate(root string) error {
	files, err := finish.Files(places(root))
	if err != nil {
		return err
	}
	for name, text := range files {
		// the files are public
		if err := os.WriteFile(filepath.Join(root, "openapi", name), text, 0o644); err != nil {
			return err
		}
	}
	return nil
}

func places(root string) finish.Places {
	return finish.Places{Source: filepath.Join(root, "api"), Examples: filepath.Join(root, "openapi", "examples")}
}
