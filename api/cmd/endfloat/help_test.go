package main

import (
	"slices"
	"strings"
	"testing"
)

// Every command explains itself on its standard output and ends well, whatever stands beside --help; a flag that it does
// not know ends with 2 and one line that names the remedy.
func TestEveryCommandHasHelpAndKnowsItsFlags(t *testing.T) {
	t.Parallel()
	lines := [][]string{{}}
	for _, v := range verbs() {
		lines = append(lines, []string{v.name})
		if v.words != nil {
			for _, w := range v.words() {
				lines = append(lines, []string{v.name, w})
			}
		}
	}
	if len(lines) < 20 {
		t.Errorf("only %d commands", len(lines))
	}
	for _, line := range lines {
		name := strings.Join(append([]string{"endfloat"}, line...), " ")
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			for _, ask := range []string{"--help", "-h"} {
				var out, diag strings.Builder
				code := command(t.Context(), append(slices.Clip(line), ask), noEnv, &out, &diag)
				if said := out.String(); code != exitDone || diag.Len() > 0 || !strings.Contains(said, name) && !strings.Contains(said, "endfloat completion SHELL") || !strings.Contains(said, "\n  endfloat ") && !strings.Contains(said, "<(endfloat") {
					t.Errorf("%s: exit code %d, %q %q", ask, code, said, diag.String())
				}
			}
			var out, diag strings.Builder
			code := command(t.Context(), append(slices.Clip(line), "--nonsense"), noEnv, &out, &diag)
			if said := diag.String(); code != exitCannot || out.Len() > 0 || strings.Count(said, "\n") != 1 || !strings.Contains(said, "--help") {
				t.Errorf("exit code %d, %q %q", code, out.String(), said)
			}
		})
	}
}

// Every command below endfloat catalogue has a page of its own, which names each of its flags and no other command's.
func TestEveryVerbOfTheCatalogueHasItsOwnPage(t *testing.T) {
	t.Parallel()
	flags := map[string]string{"check": "strict today", "show": "", "diff": "family", "export": "format out", "import": "force into", "new-family": "", "schema": "head",
		"compile": "", "publish": "keep publisher-key redis unsigned wait", "rollback": "publisher-key redis wait", "revisions": "publisher-key redis"}
	pages := cataloguePages()
	for _, v := range verbs() {
		if v.name != "catalogue" {
			continue
		}
		for _, verb := range v.words() {
			page := pages[verb]
			if !strings.HasPrefix(page, "endfloat catalogue "+verb) {
				t.Errorf("%s: %q", verb, page)
			}
			var named []string
			for line := range strings.Lines(page) {
				if name, is := strings.CutPrefix(line, "    --"); is {
					named = append(named, strings.Fields(name)[0])
				}
			}
			slices.Sort(named)
			if got := strings.Join(named, " "); got != flags[verb] {
				t.Errorf("%s explains %q, it takes %q", verb, got, flags[verb])
			}
			for _, name := range named {
				var out, diag strings.Builder
				if command(t.Context(), []string{"catalogue", verb, "--" + name}, noEnv, &out, &diag); strings.Contains(diag.String(), "not defined") {
					t.Errorf("%s has no --%s: %s", verb, name, diag.String())
				}
			}
		}
	}
}

// A record that a table may have is named on the page of import.
func TestTheColumnsOfATableAreNamed(t *testing.T) {
	t.Parallel()
	var out, diag strings.Builder
	if code := command(t.Context(), []string{"catalogue", "export", "pl-85"}, noEnv, &out, &diag); code != exitDone {
		t.Fatalf("%d %s", code, diag.String())
	}
	for line := range strings.Lines(out.String()) {
		record, _, _ := strings.Cut(strings.TrimPrefix(line, "\ufeff"), ",")
		if !strings.Contains(importHelp, record) {
			t.Errorf("the page says nothing of the record %q", record)
		}
	}
}
