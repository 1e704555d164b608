package client_test

import (
	"bytes"
	"net/http"
	"strings"
	"testing"

	"endfloat/api/client"
)

func TestAKeySaysWhereItIs(t *testing.T) {
	t.Parallel()
	for _, row := range []struct{ key, paths string }{
		{"pl-85", "/v1/families/pl-85 /v1/parts/pl-85"},
		{"PL-SH-110", "/v1/parts/PL-SH-110 /v1/families/pl-sh-110"},
		{"a/b", "/v1/families/a/components/b"},
		{"a/b/c", "/v1/families/a/components/b/specs/c /v1/families/a/components/b/shims/c"},
		{"", ""}, {"a/b/c/d", ""}, {"a//c", ""}, {"../x", ""}, {"a/..", ""}, {"a/B", ""}, {"a/b?x=1", ""}, {"..", ""},
		{"x?y", "/v1/parts/x%3Fy"},
	} {
		var asked []string
		c := open(t, func(r *http.Request) *http.Response {
			asked = append(asked, r.URL.EscapedPath())
			return says(404, problem, `{"title":"None","code":"none"}`)
		}, 0)
		if err := c.Ask(t.Context(), &bytes.Buffer{}, client.Question{Key: row.key}); err == nil {
			t.Errorf("%q: it was found", row.key)
		}
		if got := strings.Join(asked, " "); got != row.paths {
			t.Errorf("%q: asked %q, want %q", row.key, got, row.paths)
		}
	}
}

// A key in capitals is no key, and the one that is meant is named.
func TestCapitalsAreNamed(t *testing.T) {
	t.Parallel()
	c := open(t, func(r *http.Request) *http.Response {
		if r.URL.Path == "/v1/families/pl-85" {
			return says(200, "application/json", `{"key":"pl-85"}`)
		}
		return says(404, problem, `{"title":"None","code":"unknown_part","detail":"No part has the SKU."}`)
	}, 0)
	for key, want := range map[string]string{
		"PL-85":       `"PL-85" is no part number; keys of families have small letters: write pl-85`,
		"PL-85/Crank": `"PL-85/Crank" is no key, since keys have small letters: write pl-85/crank`,
		"pl-sh-11":    `"pl-sh-11" is neither a family nor a part number: No part has the SKU. No part has the SKU`,
		"PL-86":       "None (404 unknown_part): No part has the SKU",
		"a/B?":        `"a/B?" is no key: write family, family/component, family/component/spec or a part number`,
	} {
		if err := c.Ask(t.Context(), &bytes.Buffer{}, client.Question{Key: key}); err == nil || err.Error() != want {
			t.Errorf("%s: %v, want %s", key, err, want)
		}
	}
}

const boltAnswer = `{"revision":"r-1","spec":{"key":"a/b/c","name":"Bolt","component_name":"Shaft","family_name":"A","cautions":["left_hand_thread","demo_values"],` +
	`"display":{"summary":"LEFT-HAND THREAD: 22–26 N·m"},"source":{"title":"Demo"}},` +
	`"cautions":[{"code":"left_hand_thread","severity":1,"text":"Left-hand thread."},{"code":"demo_values","severity":7,"text":"DEMO."}]}`

func TestTheFirstLineIsWhatIsNeeded(t *testing.T) {
	t.Parallel()
	c := open(t, func(*http.Request) *http.Response { return says(200, "application/json", boltAnswer) }, 0)
	var out bytes.Buffer
	if err := c.Ask(t.Context(), &out, client.Question{Key: "a/b/c"}); err != nil {
		t.Fatal(err)
	}
	const want = "! left_hand_thread, demo_values | LEFT-HAND THREAD: 22–26 N·m\na/b/c; Bolt; Shaft; A\nDemo\n! Left-hand thread.\n! DEMO.\nr-1\n"
	if out.String() != want {
		t.Errorf("got\n%s\nwant\n%s", out.String(), want)
	}
}

func TestATextSteersNoTerminal(t *testing.T) {
	t.Parallel()
	if got := client.Plain("a\x1b[2Jb\nc\u202ed\u009b"); got != "a\ufffd[2Jb c\ufffdd\ufffd" {
		t.Errorf("%q", got)
	}
}

func TestATableHasOnlyTheRowsAskedFor(t *testing.T) {
	t.Parallel()
	const all = "key,summary\na/b/c,\"one\nline\"\na/b/cd,other\n"
	for key, want := range map[string]string{"a/b/c": "key,summary\na/b/c,\"one\nline\"\n", "a/b": all, "a/b/x": ""} {
		var query string
		c := open(t, func(r *http.Request) *http.Response {
			query = r.URL.RawQuery
			return says(200, "text/csv", all)
		}, 0)
		var out bytes.Buffer
		err := c.Ask(t.Context(), &out, client.Question{Key: key, Output: "csv", Unit: "imperial"})
		if out.String() != want || (err == nil) != (want != "") || query != "component=b&family=a&unit_system=imperial" {
			t.Errorf("%s: %q %v %s", key, out.String(), err, query)
		}
	}
}
