// Package data holds the demo catalogue that is built in. Every name and number in it is invented.
//
// FORMAT.md beside it says how such files are written.
package data

import (
	"embed"
	"io/fs"
	"slices"
)

// Files are the demo families and catalogue.yaml as they are now.
//
//go:embed *.yaml
var Files embed.FS

//go:embed earlier
var earlier embed.FS

// Earlier are the states that the demo had before, newest first; each holds only the files that were different then.
func Earlier() []fs.FS {
	var states []fs.FS
	dirs, _ := fs.ReadDir(earlier, "earlier") // what is embedded is there
	for _, d := range dirs {
		if then, err := fs.Sub(earlier, "earlier/"+d.Name()); err == nil {
			states = append(states, then)
		}
	}
	slices.Reverse(states) // the names are dates
	return states
}
