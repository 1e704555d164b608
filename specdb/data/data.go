// Package data holds the demo catalogue that is built in. Every name and number in it is invented.
package data

import (
	"embed"
	"io/fs"
)

// Files are the demo families and catalogue.yaml. FORMAT.md says how such files are written.
//
//go:embed *.yaml
var Files embed.FS

// States are the demo as it was and is, oldest first; the last is in use.
func States() []fs.FS { return []fs.FS{Files} }
