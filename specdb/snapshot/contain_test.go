package snapshot_test

import (
	"strings"
	"testing"

	"endfloat/specdb/manifest"
	"endfloat/specdb/snapshot"
)

// A fault of the reader is an error of that reading: what serves goes on.
func TestAPanicWhileReadingIsAnError(t *testing.T) {
	t.Parallel()
	r := snapshot.NewRecord(demo(t))
	calls := from(pieces(demo(t)))
	_, err := r.Load(nil, func(wanted []manifest.Piece) ([][]byte, error) {
		if wanted[0].Digest != r.Head.Digest {
			panic("a fault of ours")
		}
		return calls(wanted)
	})
	if err == nil || !strings.Contains(err.Error(), "a fault of ours") {
		t.Error(err)
	}
}
