package snapshot_test

import (
	"fmt"
	"reflect"
	"testing"

	"github.com/google/go-cmp/cmp"

	"endfloat/service/catalogue"
	"endfloat/service/quantity"
	"endfloat/service/spec"
	"endfloat/specdb/manifest"
	"endfloat/specdb/snapshot"
)

// filler gives every field of a value something that is not zero and stands nowhere else.
type filler struct{ n int64 }

func (f *filler) fill(v reflect.Value) {
	f.n++
	switch x := v.Addr().Interface().(type) {
	case *quantity.Decimal:
		*x = quantity.NewDecimal(f.n, 3)
		return
	case *spec.Text:
		*x = spec.NewText([5]string{fmt.Sprint("en", f.n), "de", "", "", fmt.Sprint("es", f.n)})
		return
	}
	switch v.Kind() {
	case reflect.String:
		v.SetString(fmt.Sprint("s", f.n))
	case reflect.Bool:
		v.SetBool(true)
	case reflect.Int, reflect.Int64:
		v.SetInt(f.n)
	case reflect.Uint64:
		v.SetUint(uint64(f.n))
	case reflect.Float64:
		v.SetFloat(float64(f.n) / 8)
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		f.fill(v.Elem())
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 2, 2))
		fallthrough
	case reflect.Array:
		for i := range v.Len() {
			f.fill(v.Index(i))
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				f.fill(v.Field(i))
			}
		}
	default:
		panic("a kind that nothing fills: " + v.Kind().String())
	}
}

// A field that somebody adds to the read model and not to the codec would be lost without a word.
func TestNoFieldIsForgotten(t *testing.T) {
	t.Parallel()
	var f catalogue.Family
	(&filler{}).fill(reflect.ValueOf(&f).Elem())
	f.Digest = ""
	for _, c := range f.Components { // these stand once, at the family and at the component
		for _, e := range c.Specs {
			e.Base.FamilyName, e.Base.ComponentName = f.Name, c.Name
			for _, o := range e.Overrides {
				o.Spec.FamilyName, o.Spec.ComponentName = f.Name, c.Name
			}
		}
	}
	got, err := snapshot.DecodeFamily(snapshot.EncodeFamily(&f))
	if err != nil {
		t.Fatal(err)
	}
	got.Digest = ""
	if d := cmp.Diff(&f, got, same); d != "" {
		t.Error(d)
	}
	var h manifest.Head
	(&filler{}).fill(reflect.ValueOf(&h).Elem())
	h.Withdrawn = nil // no part of the content
	head, err := snapshot.DecodeHead(snapshot.EncodeHead(h))
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(h, head, same); d != "" {
		t.Error(d)
	}
}
