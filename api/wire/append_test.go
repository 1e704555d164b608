package wire_test

import (
	"testing"

	"endfloat/api/apitest"
	"endfloat/api/wire"
)

// What is appended is what json.Marshal writes.
func TestAppendJSON(t *testing.T) {
	t.Parallel()
	t.Run("note", apitest.SameBytes[wire.Note])
	t.Run("caution", apitest.SameBytes[wire.Caution])
	t.Run("alternative", apitest.SameBytes[wire.Alternative])
	t.Run("mark", apitest.SameBytes[wire.MarkRequest])
	t.Run("reading", apitest.SameBytes[wire.ReadingRequest])
	t.Run("number", apitest.SameBytes[wire.Number])
}
