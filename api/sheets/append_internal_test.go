package sheets

import (
	"testing"

	"endfloat/api/apitest"
)

// What is appended is what json.Marshal writes, of answers and of what is signed.
func TestAppendJSON(t *testing.T) {
	t.Parallel()
	for name, same := range map[string]func(*testing.T){
		"answer":  apitest.SameBytes[SheetAnswer],
		"payload": apitest.SameBytes[payload],
		"request": apitest.SameBytes[SheetRequest],
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			same(t)
		})
	}
}
