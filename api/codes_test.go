package api_test

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"endfloat/api/text"
)

// faultCode finds the codes of faults where the source writes them.
var faultCode = regexp.MustCompile(`(?:\.Fault|shape|mediaFault|missing|badToken)\("([a-z_]+)"` +
	`|BadParameter\([^,()]+, "([a-z_]+)"|fault\.New\(fault\.[A-Za-z]+, "([a-z_]+)"|(?:Kind: fault\.[A-Za-z]+, |Violation\{\{?\s*)Code: "([a-z_]+)"`)

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
