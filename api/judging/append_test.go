package judging_test

import (
	"testing"

	"endfloat/api/apitest"
	"endfloat/api/judging"
)

// What is appended is what json.Marshal writes.
func TestAppendJSON(t *testing.T) {
	t.Parallel()
	for name, same := range map[string]func(*testing.T){
		"result": apitest.SameBytes[judging.Result],
		"answer": apitest.SameBytes[judging.EvaluationAnswer],
		"size":   apitest.SameBytes[judging.SizeRequest],
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			same(t)
		})
	}
}
