package judging_test

import (
	"testing"

	"endfloat/api/apitest"
	"endfloat/api/judging"
)

// What is appended is what json.Marshal writes.
func TestAppendJSON(t *testing.T) {
	t.Parallel()
	t.Run("result", apitest.SameBytes[judging.Result])
	t.Run("answer", apitest.SameBytes[judging.EvaluationAnswer])
	t.Run("size", apitest.SameBytes[judging.SizeRequest])
}
