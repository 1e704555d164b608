package wire_test

import (
	"testing"

	"endfloat/api/apitest"
	"endfloat/api/wire"
)

// What is appended is what json.Marshal writes.
func TestAppendJSON(t *testing.T) {
	t.Parallel()
	for name, same := range map[string]func(*testing.T){
		"note":        apitest.SameBytes[wire.Note],
		"caution":     apitest.SameBytes[wire.Caution],
		"alternative": apitest.SameBytes[wire.Alternative],
		"mark":        apitest.SameBytes[wire.MarkRequest],
		"reading":     apitest.SameBytes[wire.ReadingRequest],
		"number":      apitest.SameBytes[wire.Number],
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			same(t)
		})
	}
}
