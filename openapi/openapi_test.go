package openapi_test

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"io/fs"
	"regexp"
	"strings"
	"testing"

	"endfloat/openapi"
)

// What others wrote is here as they published it, with its licence.
func TestVendoredFilesAreUnmodified(t *testing.T) {
	t.Parallel()
	ui := openapi.UI()
	list, err := fs.ReadFile(ui, "SHA256SUMS")
	if err != nil {
		t.Fatal(err)
	}
	listed := map[string]bool{}
	lines := bufio.NewScanner(bytes.NewReader(list))
	for lines.Scan() {
		want, name, ok := strings.Cut(lines.Text(), "  ")
		if !ok {
			t.Fatalf("line %q", lines.Text())
		}
		listed[name] = true
		b, err := fs.ReadFile(ui, name)
		if err != nil {
			t.Error(err)
			continue
		}
		sum := sha256.Sum256(b)
		if got := hex.EncodeToString(sum[:]); got != want {
			t.Errorf("%s is %s, published was %s", name, got, want)
		}
	}
	for _, name := range []string{"LICENSE", "NOTICE", "swagger-ui-bundle.js", "swagger-ui.css"} {
		if !listed[name] {
			t.Errorf("%s is not in the list", name)
		}
	}
}

// The page works under its policy only if nothing of it stands inline and nothing comes from elsewhere.
func TestPageKeepsToItsPolicy(t *testing.T) {
	t.Parallel()
	page, err := fs.ReadFile(openapi.UI(), "index.html")
	if err != nil {
		t.Fatal(err)
	}
	inline := regexp.MustCompile(`(?i)<script>|<script[^>]*>[^<]|<style|\son[a-z]+=|\sstyle=|https?:`)
	if found := inline.Find(page); found != nil {
		t.Errorf("the page has %q", found)
	}
	for _, m := range regexp.MustCompile(`/docs/([a-z.-]+)`).FindAllSubmatch(page, -1) {
		if _, err := fs.Stat(openapi.UI(), string(m[1])); err != nil {
			t.Error(err)
		}
	}
	if strings.Contains(openapi.Policy, "unsafe") {
		t.Errorf("policy %s", openapi.Policy)
	}
}
