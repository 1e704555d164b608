package yamlfile_test

import (
	"io/fs"
	"strings"
	"testing"
	"testing/fstest"

	"endfloat/service/catalogue"
	"endfloat/specdb/yamlfile"
)

// trap is a directory in which one file cannot be opened without a panic.
type trap struct{ fstest.MapFS }

func (d trap) Open(name string) (fs.File, error) {
	if name == "x.yaml" {
		panic("a fault of ours")
	}
	return d.MapFS.Open(name)
}

// A fault of the reader is a fault of that file: what serves goes on.
func TestAPanicWhileReadingIsAFaultOfItsFile(t *testing.T) {
	t.Parallel()
	_, err := yamlfile.Load(trap{fstest.MapFS{"x.yaml": {Data: []byte("family: x\n")}}}, catalogue.Defaults{})
	if err == nil || !strings.Contains(err.Error(), "x.yaml:1:1: unreadable") || !strings.Contains(err.Error(), "a fault of ours") {
		t.Error(err)
	}
}
