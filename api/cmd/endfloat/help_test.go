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
