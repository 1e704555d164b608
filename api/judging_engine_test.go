package api_test

import (
	"strings"
	"testing"
)

// The clearance of the exhaust valve of the demo differs between engines of its family where the catalogue says so; a
// spec that does not differ asks for no variant.
func TestTheEngineOfACheck(t *testing.T) {
	t.Parallel()
	h, rev := demo(t)
	const play = `"unit":"mm","readings":[{"value":0.15}],"instrument":{"standard_uncertainty":0.001}`
	differs, plain := "", ""
	for _, key := range rev.SpecKeys() {
		e, _ := rev.Entry(key)
		switch {
		case e.Base.Unit != "mm" || e.Base.Form:
		case len(e.Overrides) == 0:
			plain = string(key)
		case e.Overrides[0].Variant != "":
			differs = string(key)
		}
	}
	if differs == "" || plain == "" {
		t.Fatal("the demo has no spec that differs between variants, or none that does not")
	}
	family, _, _ := strings.Cut(differs, "/")
	f, _ := rev.Family(family)
	for _, row := range []struct{ name, top, check, because, code, pointer string }{
		{"no variant named", ``, `{"spec":"` + differs + `",` + play + `}`, "variant", "", ""},
		{"the variant at the top", `"variant":"` + f.Variants[0].ID + `",`, `{"spec":"` + differs + `",` + play + `}`, "", "", ""},
		{"a variant at the top that the family does not have", `"variant":"zz",`, `{"spec":"` + differs + `",` + play + `}`, "problem", "unknown_variant", "/variant"},
		{"the same, for a spec that does not differ", `"variant":"zz",`, `{"spec":"` + plain + `",` + play + `}`, "problem", "unknown_variant", "/variant"},
		{"a mark at the top that the family does not have", `"marks":[{"component":"zz","mark":"zz"}],`, `{"spec":"` + plain + `",` + play + `}`, "problem", "unknown_mark", "/marks/0"},
		{"a variant of the row that the family does not have", ``, `{"spec":"` + plain + `","variant":"zz",` + play + `}`, "problem", "unknown_variant", "/checks/0/variant"},
		{"a mark of the row that the family does not have", ``, `{"spec":"` + plain + `","marks":[{"component":"zz","mark":"zz"}],` + play + `}`, "problem", "unknown_mark", "/checks/0/marks/0"},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			r := evaluate(t, h, `{`+row.top+`"checks":[`+row.check+`]}`).Results[0]
			if row.because != "" && r.Because != row.because || row.because == "" && r.Verdict == "not_judged" || r.Problem.Code != row.code {
				t.Fatalf("%+v", r)
			}
			if row.code != "" && r.Problem.Errors[0].Pointer != row.pointer {
				t.Errorf("%+v", r.Problem)
			}
			if row.because == "variant" && (codes(r.Next) != "name_the_variant" || r.Action != "ask") {
				t.Errorf("%+v", r)
			}
		})
	}
}
