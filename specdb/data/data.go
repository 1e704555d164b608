// Package data holds the demo catalogue that is built in. Every name and number in it is invented.
package data

import "embed"

// Files are the demo families and catalogue.yaml.
//
//go:embed *.yaml
var Files embed.FS
