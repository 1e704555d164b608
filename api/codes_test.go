package api_test

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"endfloat/api/text"
	"endfloat/service/spec"
)

// faultCode finds the codes of faults where the source writes them.
var faultCode = regexp.MustCompile(`(?:\.Fault|shape|mediaFault|missing|badToken)\("([a-z_]+)"` +
	`|BadParameter\([^,()]+, "([a-z_]+)"|fault\.New\(fault\.[A-Za-z]+, "([a-z_]+)"|(?:Kind: fault\.[A-Za-z]+, |Violation\{\{?\s*)Code: "([a-z_]+)"`)

// The words of a result are codes too: each is listed under its field, in five languages.
func TestEveryWordOfAResultIsListed(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	for axis, words := range map[string]string{
		"verdict":           "pass conditional_pass conditional_fail fail not_judged",
		"undecided_because": "uncertainty estimated one_place_out condition angle_missing variant check_high blades_contradict few_places",
		"basis":             "measured estimated derived below_gauge above_gauge missing implausible",
		"position":          "below within above worn_out",
		"action":            "accept accept_with_note adjust machine replace measure_again ask",
		"source_class":      "maker bulletin standard shop_measured generic caller demo",
	} {
		said := map[string]map[string]bool{} // word, then text
		for _, lang := range spec.Languages {
			var list struct {
				Items []struct{ Code, Axis, Text string }
			}
			fetch(t, h, "/v1/codes?kind=note&lang="+lang, &list)
			for _, c := range list.Items {
				if c.Axis != axis {
					continue
				}
				if said[c.Code] == nil {
					said[c.Code] = map[string]bool{}
				}
				said[c.Code][c.Text] = true
			}
		}
		for word := range strings.FieldsSeq(words) {
			if len(said[word]) < 3 {
				t.Errorf("%s %s: %v", axis, word, said[word])
			}
		}
	}
}

// Every code that a fault can have is in the list of codes, in five languages.
func TestEveryFaultCodeHasItsSentence(t *testing.T) {
	t.Parallel()
	book, seen := text.New(), map[string]bool{}
	for _, root := range []string{".", filepath.Join("..", "service")} {
		err := filepath.WalkDir(root, func(path string, d os.DirEntry, err error) error {
			if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
				return err
			}
			source, err := os.ReadFile(path)
			for _, m := range faultCode.FindAllStringSubmatch(string(source), -1) {
				code := strings.Join(m[1:], "")
				seen[code] = true
				if !book.Has("fault_" + code) {
					t.Errorf("%s: the fault %s has no sentence", path, code)
				}
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if len(seen) < 60 {
		t.Errorf("only %d codes found", len(seen))
	}
}
