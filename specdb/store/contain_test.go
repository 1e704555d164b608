package store_test

import (
	"testing"

	"endfloat/service/catalogue"
	"endfloat/specdb/snapshot"
	"endfloat/specdb/store"
)

// A fault of the index is an error of that revision: what serves goes on.
func TestAPanicWhileIndexingIsAnError(t *testing.T) {
	t.Parallel()
	if rev, err := store.Build(snapshot.Content{Families: []*catalogue.Family{nil}}); err == nil || rev != nil {
		t.Errorf("%v %v", rev, err)
	}
}
