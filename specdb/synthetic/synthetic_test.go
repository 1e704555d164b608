package synthetic_test

import (
	"testing"

	"endfloat/service/catalogue"
	"endfloat/service/spec"
	"endfloat/specdb"
	"endfloat/specdb/store"
	"endfloat/specdb/synthetic"
)

func TestWhatIsMadeLoads(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	if err := synthetic.Write(dir, 5, 45, 0); err != nil {
		t.Fatal(err)
	}
	c, err := specdb.ReadPath(dir, nil)
	if err != nil {
		t.Fatal(err)
	}
	rev, err := store.Build(c)
	if err != nil || len(rev.SpecKeys()) != 5*45 {
		t.Fatal(len(rev.SpecKeys()), err)
	}
	for _, i := range []int{0, 9, 44} {
		if _, ok := rev.Entry(spec.Key(synthetic.SpecKey(4, i))); !ok {
			t.Error(synthetic.SpecKey(4, i))
		}
	}
	if id := rev.Identify("S3 5000"); id.Outcome != catalogue.Match || id.Candidates[0].Family.Key != synthetic.Key(3) {
		t.Errorf("%s", id.Outcome)
	}
}

func TestAnotherEditionChangesOneBandOfAFamily(t *testing.T) {
	t.Parallel()
	before, after := t.TempDir(), t.TempDir()
	if err := synthetic.Write(before, 2, 20, 0); err != nil {
		t.Fatal(err)
	}
	if err := synthetic.Write(after, 2, 20, 1); err != nil {
		t.Fatal(err)
	}
	var revs [2]*catalogue.Revision
	for i, dir := range []string{before, after} {
		c, err := specdb.ReadPath(dir, nil)
		if err != nil {
			t.Fatal(err)
		}
		if revs[i], err = store.Build(c); err != nil {
			t.Fatal(err)
		}
	}
	if changes := catalogue.Diff(revs[0], revs[1], ""); len(changes) != 2 || changes[0].Fields[0].Name != "band.upper" {
		t.Errorf("%+v", changes)
	}
}
