package catalogue_test

import (
	"reflect"
	"slices"
	"testing"

	"endfloat/service/catalogue"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// silent are fields of a spec that are no value of their own: where it stands, when and why it was changed.
func silent() []string {
	return []string{"Key", "FamilyName", "ComponentName", "DecidedBy", "RevisionDate", "Reason"}
}

// A field that somebody adds to a spec and not to the comparison would change without anybody being told. A field and
// the Has… that belongs to it change together.
func TestEveryFieldOfASpecIsCompared(t *testing.T) {
	t.Parallel()
	of := func(s spec.Spec) *catalogue.Revision {
		s.Key = "f/c/s"
		r, err := catalogue.New("r", "", []*catalogue.Family{{Key: "f", Components: []*catalogue.Component{{Key: "c", Specs: []*catalogue.Entry{{Base: &s}}}}}}, catalogue.Defaults{})
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	kind := reflect.TypeFor[spec.Spec]()
	for i := range kind.NumField() {
		name := kind.Field(i).Name
		if slices.Contains(silent(), name) {
			continue
		}
		var s spec.Spec
		touch(reflect.ValueOf(&s).Elem().Field(i))
		whole := reflect.ValueOf(&s).Elem()
		for k := range kind.NumField() { // a number counts where its Has… is set, and the other way round
			if whole.Field(k).Kind() == reflect.Bool && len(kind.Field(k).Name) > 3 && kind.Field(k).Name[:3] == "Has" {
				whole.Field(k).SetBool(true)
			}
		}
		before := spec.Spec{HasTarget: s.HasTarget && name[:3] != "Has", HasPolicy: s.HasPolicy && name[:3] != "Has",
			HasTurnAngle: s.HasTurnAngle && name[:3] != "Has", HasAngleTolerance: s.HasAngleTolerance && name[:3] != "Has"}
		if len(catalogue.Diff(of(before), of(s), "")) != 1 {
			t.Errorf("nobody is told when %s changes", name)
		}
	}
}

// touch makes a value something that is not its zero.
func touch(v reflect.Value) {
	switch x := v.Addr().Interface().(type) {
	case *quantity.Decimal:
		*x = quantity.NewDecimal(7, 0)
		return
	case *spec.Text:
		*x = spec.English("text")
		return
	}
	switch v.Kind() {
	case reflect.String:
		v.SetString("word")
	case reflect.Bool:
		v.SetBool(true)
	case reflect.Int, reflect.Int64:
		v.SetInt(7)
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		touch(v.Elem())
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 1, 1))
		touch(v.Index(0))
	case reflect.Struct:
		for _, field := range v.Fields() {
			touch(field)
		}
	default:
		panic("a kind that nothing touches: " + v.Kind().String())
	}
}
