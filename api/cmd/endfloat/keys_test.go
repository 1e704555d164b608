package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/alicebob/miniredis/v2"
)

// at runs endfloat keys with a file of keys.
func at(t *testing.T, file string, args ...string) (code int, out, diag string) {
	t.Helper()
	env := func(name string) string {
		if name == "ENDFLOAT_KEYS" {
			return file
		}
		return ""
	}
	var o, d bytes.Buffer
	code = keysCommand(t.Context(), args, env, &o, &d)
	return code, o.String(), d.String()
}

// issues makes a key and returns it with its id.
func issues(t *testing.T, file string, args ...string) (secret, id string) {
	t.Helper()
	code, out, diag := at(t, file, append([]string{"new"}, args...)...)
	secret = strings.TrimSpace(out)
	if code != 0 || !strings.HasPrefix(secret, "ef_") || strings.Count(out, "\n") != 1 || strings.Contains(diag, secret) {
		t.Fatalf("%d %q %q", code, out, diag)
	}
	return secret, strings.Split(secret, "_")[1]
}

func TestKeysAreIssuedListedAndRevoked(t *testing.T) {
	t.Parallel()
	file := filepath.Join(t.TempDir(), "keys.json")
	secret, id := issues(t, file, "--name", "dealer", "--quota", "100/1m", "--policy", "strict", "--rule", "guarded", "--min-probability", "0.99", "--require-uncertainty", "--expires", "2999-12-31")
	_, second := issues(t, file, "--replaces", id, "--grace", "1h")
	code, out, _ := at(t, file, "list")
	for _, want := range []string{id + "  dealer  good", "100/1m", "strict guarded p≥0.99 uncertainty", second + "  dealer  good"} {
		if code != 0 || !strings.Contains(out, want) {
			t.Errorf("%d, no %q in\n%s", code, want, out)
		}
	}
	if strings.Contains(out, strings.Split(secret, "_")[2]) || strings.Contains(out, "3000") {
		t.Errorf("the list shows a key, or the old one stays good for ever:\n%s", out)
	}
	if code, out, _ := at(t, file, "revoke", id); code != 0 || !strings.Contains(out, id) {
		t.Errorf("%d %s", code, out)
	}
	if _, out, _ := at(t, file, "list"); !strings.Contains(out, id+"  dealer  revoked ") || !strings.Contains(out, second+"  dealer  good") {
		t.Errorf("%s", out)
	}
	if code, _, diag := at(t, file, "new", "--replaces", id); code != 2 || !strings.Contains(diag, "not good any more") {
		t.Errorf("%d %s", code, diag)
	}
}

func TestKeysCommandSaysWhatIsWrong(t *testing.T) {
	t.Parallel()
	file := filepath.Join(t.TempDir(), "keys.json")
	_, id := issues(t, file, "--name", "dealer")
	before, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range []struct {
		args string
		code int
		says string
	}{
		{"", 0, "endfloat keys new"}, {"--help", 0, "Exit codes"}, {"new --help", 0, "Exit codes"}, {"list -h", 0, "Exit codes"},
		{"make", 2, "there is no"}, {"new", 2, "--name"}, {"new --owner x", 2, "owner"}, {"new dealer", 2, `"dealer"`},
		{"new --name dealer --quota 5", 2, "--quota"}, {"new --name dealer --expires 2001-01-01", 2, "--expires"}, {"new --name dealer --expires soon", 2, "--expires"}, {"new --name dealer --expires 3000-01-01", 2, "--expires"},
		{"new --name dealer --rule simple", 2, "--policy"}, {"new --name dealer --policy p --rule strict", 2, "rule"}, {"new --name dealer --policy p --guard 3u", 2, "guard"},
		{"new --name dealer --policy p --min-probability 2", 2, "min_probability"}, {"new --name dealer --policy p --min-probability x", 2, "--min-probability"},
		{"new --replaces aaaaaaaaaa", 2, "no such key"}, {"new --replaces " + id + " --name x", 2, "--replaces"}, {"new --replaces " + id + " --grace -1h", 2, "--grace"},
		{"revoke", 2, "which"}, {"revoke aaaaaaaaaa", 2, "no such key"}, {"revoke " + id + " aaaaaaaaaa", 2, "no such key"},
		{"revoke " + id + " --redis http://x", 2, "--redis"}, {"list more", 2, `"more"`},
	} {
		code, out, diag := at(t, file, strings.Fields(row.args)...)
		if code != row.code || !strings.Contains(out+diag, row.says) {
			t.Errorf("keys %s: %d %s%s", row.args, code, out, diag)
		}
	}
	if after, err := os.ReadFile(file); err != nil || !bytes.Equal(before, after) {
		t.Errorf("a command that could not be done changed the file: %v", err)
	}
	if code, _, diag := at(t, "", "list"); code != 2 || !strings.Contains(diag, "ENDFLOAT_KEYS") {
		t.Errorf("%d %s", code, diag)
	}
	if code, _, diag := at(t, filepath.Join(t.TempDir(), "none"), "list"); code != 2 || !strings.Contains(diag, "no such file") {
		t.Errorf("%d %s", code, diag)
	}
}

func TestRevokingTellsRedisToo(t *testing.T) {
	t.Parallel()
	file := filepath.Join(t.TempDir(), "keys.json")
	_, id := issues(t, file, "--name", "dealer")
	m := miniredis.RunT(t)
	if code, out, diag := at(t, file, "revoke", id, "--redis", "redis://"+m.Addr()); code != 0 || !strings.Contains(out, "told redis://"+m.Addr()) {
		t.Errorf("%d %s%s", code, out, diag)
	}
	if ok, err := m.SIsMember("endfloat:keys:revoked", id); err != nil || !ok {
		t.Errorf("%v %v", ok, err)
	}
	addr := m.Addr()
	m.Close()
	_, other := issues(t, file, "--name", "dealer")
	if code, out, diag := at(t, file, "revoke", other, "--redis", "redis://"+addr); code != 1 || !strings.Contains(out, other) || !strings.Contains(diag, "not told") {
		t.Errorf("revoked in the file alone: %d %s%s", code, out, diag)
	}
}
