//go:build integration

package integration_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// ran is what a command did.
type ran struct {
	code      int
	out, diag string
}

// runs runs the built program as a small client of a service.
func (s *service) runs(t *testing.T, in string, args ...string) ran {
	t.Helper()
	cmd := exec.CommandContext(t.Context(), binary(t), args...)
	cmd.Env = append(clean(), "ENDFLOAT_SERVER="+s.URL)
	cmd.Stdin = strings.NewReader(in)
	var out, diag bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &diag
	err := cmd.Run()
	var exit *exec.ExitError
	if err != nil && !errors.As(err, &exit) {
		t.Fatal(err)
	}
	return ran{cmd.ProcessState.ExitCode(), out.String(), diag.String()}
}

// readings is a table of n rows that differ, some wrong.
func readings(n int) string {
	var b strings.Builder
	b.WriteString("id,spec,unit,reading_1,reading_2,instrument\n")
	for i := range n {
		switch i % 5 {
		case 0:
			fmt.Fprintf(&b, "%d,pl-85/counter-shaft/key-bolt,N.m,%d,,click_wrench\n", i, 18+i%12)
		case 1:
			fmt.Fprintf(&b, "\"a \"\"%d\"\",\nof two lines\",pl-85/counter-shaft/axial-play,mm,0.10:free 0.15:drag 0.20:forced,,\n", i)
		case 2:
			fmt.Fprintf(&b, "%d,pl-85/counter-shaft/none,mm,0.%02d,,\n\n", i, i%90+10)
		default:
			fmt.Fprintf(&b, "%d,pl-85/counter-shaft/axial-play,mm,0.%02d,0.2,dial\n", i, i%90+10)
		}
	}
	return b.String()
}

func TestATableInPiecesIsAnsweredAsInOne(t *testing.T) {
	t.Parallel()
	s := start(t)
	table := readings(997)
	whole := send(t, http.DefaultClient, request(t, http.MethodPost, s.URL+"/v1/evaluations", table, "Content-Type", "text/csv"))
	if whole.Status != http.StatusOK {
		t.Fatalf("%d %s", whole.Status, whole.Body)
	}
	got := s.runs(t, table, "judge", "-", "--rows", "10", "--in-flight", "8")
	if got.code != 1 || got.out != string(whole.Body) {
		t.Errorf("exit code %d; the pieces are not the whole\n%s", got.code, got.diag)
	}
	if counts := whole.Header.Get("Evaluation-Summary"); strings.TrimSpace(got.diag) != counts {
		t.Errorf("%q, and the whole has %q", got.diag, counts)
	}
	doc := send(t, http.DefaultClient, request(t, http.MethodPost, s.URL+"/v1/evaluations", table, "Content-Type", "text/csv", "Accept", "application/json"))
	got = s.runs(t, table, "judge", "-", "--rows", "100", "--output", "json", "--quiet")
	var want, have map[string]any
	if err := errors.Join(json.Unmarshal(doc.Body, &want), json.Unmarshal([]byte(got.out), &have)); err != nil {
		t.Fatal(err)
	}
	for _, member := range []string{"results", "summary", "cautions", "revision", "rules", "policy"} {
		a, _ := json.Marshal(want[member]) // it was read from JSON
		b, _ := json.Marshal(have[member])
		if !bytes.Equal(a, b) {
			t.Errorf("%s: the pieces are not the whole", member)
		}
	}
	if got.diag != "" {
		t.Errorf("quiet says %q", got.diag)
	}
}

func TestExitCodesOfScripts(t *testing.T) {
	t.Parallel()
	s := start(t)
	const head = "id,spec,unit,reading_1,reading_2,reading_3,standard_uncertainty\n"
	for _, row := range []struct {
		name, in string
		args     []string
		code     int
		says     string
	}{
		{"every row passes", head + "1,pl-85/counter-shaft/axial-play,mm,0.20,0.20,0.20,0.01\n", []string{"judge", "-"}, 0, ",pass,true,"},
		{"undecided", head + "1,pl-85/counter-shaft/axial-play,mm,0.34,0.34,0.34,0.01\n", []string{"judge", "-"}, 1, ",conditional_pass,false,"},
		{"outside", head + "1,pl-85/counter-shaft/axial-play,mm,0.44,0.44,0.44,0.01\n", []string{"judge", "-"}, 1, ",fail,true,"},
		{"no rows", head, []string{"judge", "-"}, 0, "row,id,"},
		{"an unknown column", "id,colour\n1,red\n", []string{"judge", "-"}, 2, "unknown_column"},
		{"decimal commas", "id;spec;reading_1\n1;pl-85/counter-shaft/axial-play;0,20\n", []string{"judge", "-", "--delimiter", "semicolon", "--decimal", "comma", "--unit", "mm"}, 0, ";0,20;"},
		{"in a language that is none", head + "1,pl-85/counter-shaft/axial-play,mm,0.20,0.20,0.20,0.01\n", []string{"judge", "-", "--lang", "xx"}, 2, "bad_language"},
		{"a look-up in a language that is none", "", []string{"ask", "pl-85", "--lang", "de-AT"}, 2, "bad_language"},
		{"in French", head + "1,pl-85/counter-shaft/axial-play,mm,0.20,0.20,0.20,0.01\n", []string{"judge", "-", "--lang", "fr", "--output", "table"}, 0, "lunettes"},
		{"a spec", "", []string{"ask", "pl-85/counter-shaft/key-bolt"}, 0, "LEFT-HAND THREAD"},
		{"a part in inches", "", []string{"ask", "PL-SH-110", "--unit", "in"}, 0, "0.0032–0.0137 in"},
		{"rows of a component", "", []string{"ask", "pl-85/counter-shaft", "--output", "csv"}, 0, "\npl-85/counter-shaft/key-bolt,torque,"},
		{"no such thing", "", []string{"ask", "pl-85/counter-shaft/nothing"}, 2, "unknown_spec"},
		{"nobody there", "", []string{"ask", "pl-85", "--server", "http://127.0.0.1:1", "--retry-for", "0"}, 2, "refused"},
	} {
		got := s.runs(t, row.in, row.args...)
		if got.code != row.code || !strings.Contains(got.out+got.diag, row.says) {
			t.Errorf("%s: %d\n%s%s", row.name, got.code, got.out, got.diag)
		}
	}
}

func TestAFirstLineHasItsWarnings(t *testing.T) {
	t.Parallel()
	s := start(t)
	for key, codes := range map[string][]string{"pl-85/counter-shaft/key-bolt": {"left_hand_thread", "demo_values", "LEFT-HAND"}, "pl-85/counter-shaft": {"left_hand_thread", "circlip_eye_protection"},
		"PL-KEY-08": {"left_hand_thread"}, "pl-85/counter-shaft/stack-shims": {"circlip_eye_protection"}} {
		first, _, _ := strings.Cut(s.runs(t, "", "ask", key).out, "\n")
		for _, code := range codes {
			if !strings.Contains(first, code) {
				t.Errorf("%s: %q stands not in %q", key, code, first)
			}
		}
	}
}

// An interrupted run leaves what was there before, and nothing half done.
func TestAnInterruptedRunLeavesNoHalfFile(t *testing.T) {
	t.Parallel()
	s := start(t)
	dir := t.TempDir()
	name := filepath.Join(dir, "verdicts.csv")
	if err := os.WriteFile(name, []byte("before"), 0o600); err != nil {
		t.Fatal(err)
	}
	cmd := exec.CommandContext(t.Context(), binary(t), "judge", "-", "-o", name, "--rows", "1", "--server", s.URL)
	cmd.Env = clean()
	in, err := cmd.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	if _, err := in.Write([]byte(readings(50))); err != nil {
		t.Fatal(err)
	}
	// It has begun when the file for the time being is no longer empty; more would come.
	begun := func() bool {
		found, err := filepath.Glob(filepath.Join(dir, ".verdicts.csv.*"))
		if err != nil || len(found) != 1 {
			return false
		}
		st, err := os.Stat(found[0])
		return err == nil && st.Size() > 0
	}
	for limit := time.Now().Add(patience); !begun(); {
		if time.Now().After(limit) {
			t.Fatal("nothing was written")
		}
	}
	if err := cmd.Process.Signal(syscall.SIGINT); err != nil {
		t.Fatal(err)
	}
	err = cmd.Wait()
	var exit *exec.ExitError
	if !errors.As(err, &exit) || exit.ExitCode() != 2 {
		t.Errorf("it ended with %v", err)
	}
	entries, err := os.ReadDir(dir)
	if err != nil || len(entries) != 1 {
		t.Errorf("%v %v", entries, err)
	}
	if text, err := os.ReadFile(name); err != nil || string(text) != "before" {
		t.Errorf("%q %v", text, err)
	}
}

// The shells' own completion, with what the running service knows.
func TestShellsComplete(t *testing.T) {
	t.Parallel()
	s := start(t)
	dir := filepath.Dir(binary(t))
	for _, row := range []struct{ shell, script string }{
		{"bash", `source <(endfloat completion bash); shopt -s extglob
			try() { COMP_WORDS=("$@"); COMP_CWORD=$(($# - 1)); COMPREPLY=(); _endfloat; printf '%s ' "${COMPREPLY[@]}"; echo; }
			try endfloat ju; try endfloat judge --decimal ''; try endfloat ask pl-; try endfloat ask pl-85/counter-shaft/key`},
		{"zsh", `compdef() { :; }; compadd() { local w; for w in "$@"; do [[ $w == -* || -z $w ]] || printf '%s ' $w; done; echo; }
			source <(endfloat completion zsh)
			try() { words=("$@"); CURRENT=$#; _endfloat; }
			try endfloat ju; try endfloat judge --decimal ''; try endfloat ask pl-; try endfloat ask pl-85/counter-shaft/key`},
		{"fish", `endfloat completion fish | source
			for line in "endfloat ju" "endfloat judge --decimal " "endfloat ask pl-" "endfloat ask pl-85/counter-shaft/key"
				echo (complete -C "$line")
			end`},
	} {
		cmd := exec.CommandContext(t.Context(), row.shell, "-c", row.script)
		cmd.Env = append(clean(), "PATH="+dir+":"+os.Getenv("PATH"), "ENDFLOAT_SERVER="+s.URL, "HOME="+t.TempDir())
		out, err := cmd.CombinedOutput()
		var lines []string
		for line := range strings.Lines(string(out)) {
			lines = append(lines, strings.Join(strings.Fields(line), " "))
		}
		want := "judge|point comma|pl-85/|pl-85/counter-shaft/key-bolt"
		if got := strings.ReplaceAll(strings.Join(lines, "|"), "comma point", "point comma"); err != nil || got != want {
			t.Errorf("%s: %v\n%q, want %q", row.shell, err, got, want)
		}
	}
}

// A program of spreadsheets reads what is written; see also the tables of the service itself.
func TestWhatIsWrittenIsATable(t *testing.T) {
	t.Parallel()
	s := start(t)
	rows, err := csv.NewReader(strings.NewReader(s.runs(t, readings(40), "judge", "-", "--rows", "7").out)).ReadAll()
	if err != nil || len(rows) != 41 {
		t.Fatalf("%v, %d rows", err, len(rows))
	}
	for i, cells := range rows[1:] {
		if cells[0] != fmt.Sprint(i+1) {
			t.Errorf("row %d is numbered %s", i+1, cells[0])
		}
	}
}
