package api_test

import (
	"encoding/csv"
	"slices"
	"strings"
	"testing"
)

// A row that cannot be judged says what its spec cautions of, the left-hand thread first, whatever is wrong with it.
func TestNoFaultDropsACaution(t *testing.T) {
	t.Parallel()
	h, _ := demo(t)
	const bolt = "pl-85/counter-shaft/key-bolt"
	for _, row := range []struct{ name, check, code string }{
		{"two specs", `{"spec":"` + bolt + `","caller_spec":{"kind":"torque","unit":"N·m","band":{"upper":1}},"unit":"N·m","readings":[{"value":24}]}`, "two_specs"},
		{"a decimal comma", `{"spec":"` + bolt + `","unit":"N·m","readings":[{"value":"24,0"}]}`, "decimal_comma"},
		{"another engine", `{"spec":"` + bolt + `","variant":"zz","unit":"N·m","readings":[{"value":24}]}`, "unknown_variant"},
	} {
		r := judgeOne(t, h, row.check)
		if r.Problem.Code != row.code || !slices.Contains(r.Cautions, "left_hand_thread") || !strings.HasPrefix(r.Text, "LEFT-HAND THREAD") {
			t.Errorf("%s: %q %v %s", row.name, r.Problem.Code, r.Cautions, r.Text)
		}
	}
	for name, table := range map[string]string{
		"decimal_point":  "?delimiter=semicolon&decimal=comma id;spec;unit;reading_1\n1;" + bolt + ";Nm;24.0\n",
		"too_many_cells": " id,spec,unit,reading_1\n1," + bolt + ",Nm,24,0\n",
	} {
		query, body, _ := strings.Cut(table, " ")
		w := sendCSV(h, "/v1/evaluations"+query, body)
		in := csv.NewReader(strings.NewReader(w.Body.String()))
		if query != "" {
			in.Comma = ';'
		}
		cells, err := in.ReadAll()
		if err != nil || len(cells) != 2 {
			t.Fatalf("%s: %v %s", name, err, w.Body)
		}
		at := func(column string) string { return cells[1][slices.Index(cells[0], column)] }
		if at("problem_code") != name || !strings.Contains(at("cautions"), "left_hand_thread") || !strings.HasPrefix(at("text"), "LEFT-HAND THREAD") {
			t.Errorf("%s: %v", name, cells[1])
		}
	}
}
