package integration_test

import (
	"regexp"
	"strings"
	"testing"
)

// snippet is a shell block of a document with the output that stands behind it.
type snippet struct {
	line   int    // of the first line of the script
	script string // what is run
	kind   string // json, text or csv; empty where no output stands behind the block
	output string
}

// snippets reads a Markdown document. Blocks marked sh are run; the block behind one, when it is marked json, text or
// csv and only blank lines or one short line ending in a colon stand between, is what the script prints. Blocks marked
// console start or build something that does not end, and are not run.
func snippets(document string) (run []snippet, console []string) {
	lines := strings.Split(document, "\n")
	open := false // the last block was a script without output so far
	for i := 0; i < len(lines); i++ {
		kind, fenced := strings.CutPrefix(lines[i], "```")
		if !fenced {
			text := strings.TrimSpace(lines[i])
			open = open && (text == "" || strings.HasSuffix(text, ":") && len(text) < 100)
			continue
		}
		start := i + 1
		for i++; i < len(lines) && !strings.HasPrefix(lines[i], "```"); i++ {
		}
		block := strings.Join(lines[start:min(i, len(lines))], "\n")
		switch {
		case kind == "sh":
			run, open = append(run, snippet{line: start + 1, script: block}), true
			continue
		case kind == "console":
			console = append(console, block)
		case open && (kind == "json" || kind == "text" || kind == "csv"):
			last := &run[len(run)-1]
			last.kind, last.output = kind, block
		}
		open = false
	}
	return run, console
}

// leftOut is the one placeholder: it stands for whatever was left out there.
const leftOut = "…"

// printed reports whether a script printed what the document says: JSON whatever its white space, other text line by
// line.
func printed(s snippet, got string) bool {
	want := s.output
	if s.kind == "json" {
		want, got = compact(want), compact(got)
	} else {
		want, got = strings.TrimRight(want, "\n"), strings.TrimRight(strings.ReplaceAll(got, "\r\n", "\n"), "\n")
	}
	parts := strings.Split(want, leftOut)
	for i := range parts {
		parts[i] = regexp.QuoteMeta(parts[i])
	}
	return regexp.MustCompile(`(?s)\A` + strings.Join(parts, `.*?`) + `\z`).MatchString(got)
}

// compact takes white space outside strings out of JSON, whole or with parts left out.
func compact(text string) string {
	var b strings.Builder
	within, escaped := false, false
	for _, r := range text {
		if !within && strings.ContainsRune(" \t\r\n", r) {
			continue
		}
		b.WriteRune(r)
		switch {
		case escaped:
			escaped = false
		case within && r == '\\':
			escaped = true
		case r == '"':
			within = !within
		}
	}
	return b.String()
}

func TestSnippetsAreFoundWithTheirOutput(t *testing.T) {
	t.Parallel()
	const document = "Text\n```console\nserve\n```\n```sh\none\n```\n\nanswers:\n\n```json\n{\"a\": 1}\n```\n\n```sh\ntwo\n```\nNot its output.\n```text\nother\n```\n```sh\nthree\n```\n```text\n3\n```\n"
	run, console := snippets(document)
	if len(run) != 3 || len(console) != 1 || console[0] != "serve" {
		t.Fatalf("%+v %q", run, console)
	}
	for i, want := range []snippet{{6, "one", "json", `{"a": 1}`}, {16, "two", "", ""}, {23, "three", "text", "3"}} {
		if run[i] != want {
			t.Errorf("got %+v, want %+v", run[i], want)
		}
	}
}

func TestPrintedToleratesNothingButThePlaceholder(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name, kind, want, got string
		same                  bool
	}{
		{"JSON laid out", "json", "{\n  \"a\": \"b c\"\n}", `{"a":"b c"}`, true},
		{"white space in a string", "json", `{"a":"b  c"}`, `{"a":"b c"}`, false},
		{"a zero more", "json", `{"a":0.1}`, `{"a":0.10}`, false},
		{"a member more", "json", `{"a":1}`, `{"a":1,"b":2}`, false},
		{"members left out", "json", `{"a":1,…}`, `{"a":1,"b":2}`, true},
		{"quotes in a string", "json", `{"a":"\" "}`, `{"a":"\" "}`, true},
		{"text", "text", "pass 0.15 mm", "pass 0.15 mm\n", true},
		{"a line more", "text", "pass", "pass\nfail\n", false},
		{"a word left out", "text", "revision … is held", "revision r-1 is held", true},
		{"a dot is a dot", "text", "0.15", "0x15", false},
		{"CSV with its line ends", "csv", "a,b\n1,2", "a,b\r\n1,2\r\n", true},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			if got := printed(snippet{kind: row.kind, output: row.want}, row.got); got != row.same {
				t.Errorf("%q for %q: %v", row.got, row.want, got)
			}
		})
	}
}
