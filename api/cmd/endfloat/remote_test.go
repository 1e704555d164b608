package main

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func endfloat(t *testing.T, env map[string]string, args ...string) (code int, out, diag string) {
	t.Helper()
	var o, d bytes.Buffer
	code = command(t.Context(), args, func(name string) string { return env[name] }, &o, &d)
	return code, o.String(), d.String()
}

func TestEveryCommandExplainsItself(t *testing.T) {
	t.Parallel()
	for _, name := range []string{"ask", "judge", "catalogue", "completion"} {
		code, out, diag := endfloat(t, nil, name, "--help")
		if code != exitDone || !strings.HasPrefix(out, "endfloat "+name) || diag != "" {
			t.Errorf("%s: %d %q %q", name, code, out, diag)
		}
		if name != "ask" && name != "judge" {
			continue
		}
		for _, v := range verbs() {
			if v.name != name {
				continue
			}
			for _, flag := range offered(t.Context(), []string{name, "-"}, noEnv) {
				if !strings.Contains(out, "  "+flag+" ") {
					t.Errorf("%s: %s is not explained", name, flag)
				}
			}
		}
	}
}

func TestWhatCannotBeAskedIsSaidAtOnce(t *testing.T) {
	t.Parallel()
	empty := filepath.Join(t.TempDir(), "key")
	if err := os.WriteFile(empty, []byte("\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, row := range []struct{ args, says string }{
		{"ask", "want one KEY"},
		{"ask a b", "want one KEY"},
		{"ask a --output xml", "want one of"},
		{"ask a --server nowhere", "no address"},
		{"ask a --key secret", "not defined: -key"},
		{"ask a --key-file " + empty, "no key in"},
		{"ask a/../b", "no key"},
		{"judge", "want one FILE"},
		{"judge x --rows 0", "want 1 to 10000"},
		{"judge x --rows 10001", "want 1 to 10000"},
		{"judge x --in-flight 33", "want 1 to 32"},
		{"judge x --output xml", "want one of"},
		{"judge nofile.csv", "no such file"},
		{"completion tcsh", "want one of bash, fish, zsh"},
	} {
		code, out, diag := endfloat(t, nil, strings.Fields(row.args)...)
		if code != exitCannot || out != "" || !strings.Contains(diag, row.says) {
			t.Errorf("%s: %d %q %q", row.args, code, out, diag)
		}
	}
}

func TestTheFormOfTheOutput(t *testing.T) {
	t.Parallel()
	for _, row := range []struct{ args, want string }{
		{"", "csv"}, {"-o x.json", "json"}, {"-o x.JSON", "json"}, {"-o x.csv", "csv"}, {"-o x.json --output csv", "csv"}, {"--output table", "table"},
	} {
		j := newJudging(noEnv, &bytes.Buffer{}, &bytes.Buffer{})
		if _, err := readWords(j.flags, strings.Fields(row.args)); err != nil {
			t.Fatal(err)
		}
		if j.choose(); j.output != row.want {
			t.Errorf("%q: %s, want %s", row.args, j.output, row.want)
		}
	}
}

func TestAFileIsThereWholeOrNotAtAll(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	name := filepath.Join(dir, "out.csv")
	left := func(want ...string) {
		t.Helper()
		entries, err := os.ReadDir(dir)
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, e := range entries {
			got = append(got, e.Name())
		}
		if strings.Join(got, " ") != strings.Join(want, " ") {
			t.Errorf("there is %q, want %q", got, want)
		}
	}
	write := func(text string, good bool) {
		t.Helper()
		o, err := create(name, nil)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := o.Write([]byte(text)); err != nil {
			t.Fatal(err)
		}
		if err := o.close(good); err != nil {
			t.Fatal(err)
		}
	}
	write("half", false)
	left()
	write("whole", true)
	left("out.csv")
	if err := os.Chmod(name, 0o600); err != nil {
		t.Fatal(err)
	}
	write("half of another", false)
	write("another", true)
	left("out.csv")
	text, err := os.ReadFile(name)
	st, err2 := os.Stat(name)
	if err := errors.Join(err, err2); err != nil || string(text) != "another" || st.Mode().Perm() != 0o600 {
		t.Errorf("%q %v %v", text, st.Mode(), err)
	}
	if err := os.Symlink("out.csv", filepath.Join(dir, "link")); err != nil {
		t.Fatal(err)
	}
	name = filepath.Join(dir, "link")
	write("through a link", true)
	left("link", "out.csv")
	if text, err := os.ReadFile(filepath.Join(dir, "out.csv")); err != nil || string(text) != "through a link" {
		t.Errorf("%q %v", text, err)
	}
	if _, err := create(dir, nil); err == nil {
		t.Error("a directory is written to")
	}
}

func TestWordsAreCompleted(t *testing.T) {
	t.Parallel()
	for _, row := range []struct{ words, want string }{
		{"j", "judge"},
		{"--trusted", "--trusted-proxies"},
		{"--log-level w", "warn"},
		{"judge --de", "--decimal --delimiter"},
		{"judge x.csv --decimal ", "point comma"},
		{"judge ", ":file"},
		{"judge x.csv -o ", ":file"},
		{"judge --rows ", ""},
		{"judge --quiet ", ":file"},
		{"ask --lang ", "en de fr it es"},
		{"ask --ser", "--server"},
		{"completion ", "bash fish zsh"},
		{"catalogue ch", "check"},
		{"catalogue check ", ":file"},
		{"nonsense ", ""},
	} {
		words := strings.Split(row.words, " ")
		if got := strings.Join(offered(t.Context(), words, noEnv), " "); got != row.want {
			t.Errorf("%q: %q, want %q", row.words, got, row.want)
		}
	}
}
