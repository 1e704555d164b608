package sheets

import (
	"testing"

	"endfloat/api/apitest"
)

// What is appended is what json.Marshal writes, of answers and of what is signed.
func TestAppendJSON(t *testing.T) {
	t.Parallel()
	t.Run("answer", apitest.SameBytes[SheetAnswer])
	t.Run("payload", apitest.SameBytes[payload])
	t.Run("request", apitest.SameBytes[SheetRequest])
}
