package keyfile_test

import (
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"

	"endfloat/specdb/keyfile"
)

const (
	sum  = "0123456789abcdef0123456789abcdef0123456789abcdef0123456789abcdef"
	good = `{"id":"abcdefghij","name":"dealer","hash":"` + sum + `","created":"2026-11-01T12:00:00Z"}`
)

func TestParse(t *testing.T) {
	t.Parallel()
	with := func(more string) string { return `{"keys":[` + strings.TrimSuffix(good, "}") + "," + more + `}]}` }
	for _, row := range []struct{ name, text, says string }{
		{"one", `{"keys":[` + good + `]}`, ""},
		{"none", `{"keys":[]}`, ""},
		{"a quota", with(`"quota":{"units":5,"seconds":60}`), ""},
		{"no limit", with(`"quota":{"unlimited":true}`), ""},
		{"a policy", with(`"policy":{"name":"strict","rule":"guarded","guard":"U","min_probability":1,"require_uncertainty":true}`), ""},
		{"no list", `{}`, "want"},
		{"a list alone", `[` + good + `]`, "line 1"},
		{"cut off", `{"keys":[` + "\n" + good, "line 2"},
		{"text behind", `{"keys":[]} x`, "line 1"},
		{"an unknown key", with(`"secret":"x"`), "/keys/0/secret"},
		{"a key in another case", with(`"Quota":{"units":5,"seconds":60}`), "/keys/0/Quota"},
		{"a key twice", with(`"name":"x"`), "/keys/0/name"},
		{"an id twice", `{"keys":[` + good + "," + good + `]}`, "keys[1] has the id of keys[0]"},
		{"an id in capitals", strings.Replace(`{"keys":[`+good+`]}`, "abcdefghij", "ABCDEFGHIJ", 1), "keys[0]: id"},
		{"a short id", strings.Replace(`{"keys":[`+good+`]}`, "abcdefghij", "abc", 1), "keys[0]: id"},
		{"a hash cut off", strings.Replace(`{"keys":[`+good+`]}`, sum, sum[:62], 1), "keys[0]: hash"},
		{"a hash in capitals", strings.Replace(`{"keys":[`+good+`]}`, sum, strings.ToUpper(sum), 1), "keys[0]: hash"},
		{"no name", strings.Replace(`{"keys":[`+good+`]}`, `"dealer"`, `""`, 1), "keys[0]: name"},
		{"a name with a line feed", strings.Replace(`{"keys":[`+good+`]}`, `"dealer"`, `"a\nb"`, 1), "keys[0]: name"},
		{"no beginning", strings.Replace(`{"keys":[`+good+`]}`, `,"created":"2026-11-01T12:00:00Z"`, "", 1), "created"},
		{"no time", strings.Replace(`{"keys":[`+good+`]}`, "2026-11-01T12:00:00Z", "yesterday", 1), "/keys/0/created"},
		{"over before it begins", with(`"expires":"2026-10-31T12:00:00Z"`), "expires"},
		{"a year that cannot be written", with(`"expires":"9999-12-31T23:59:59-01:00"`), "year"},
		{"an empty quota", with(`"quota":{}`), "quota"},
		{"a quota of nothing", with(`"quota":{"units":0,"seconds":60}`), "quota"},
		{"a quota of both kinds", with(`"quota":{"units":5,"seconds":60,"unlimited":true}`), "quota"},
		{"a window too long", with(`"quota":{"units":5,"seconds":86401}`), "quota"},
		{"a policy without a name", with(`"policy":{"rule":"simple"}`), "policy"},
		{"no such rule", with(`"policy":{"name":"x","rule":"lenient"}`), "rule"},
		{"no such guard", with(`"policy":{"name":"x","guard":"2u"}`), "guard"},
		{"no probability", with(`"policy":{"name":"x","min_probability":1.01}`), "min_probability"},
		{"too large", `{"keys":[]}` + strings.Repeat(" ", 17<<20), "larger"},
	} {
		keys, err := keyfile.Parse([]byte(row.text))
		if row.says == "" {
			if err != nil {
				t.Errorf("%s: %v", row.name, err)
				continue
			}
			text, err := keyfile.Format(keys)
			if err != nil {
				t.Fatal(err)
			}
			again, err := keyfile.Parse(text)
			if err != nil || cmp.Diff(keys, again) != "" {
				t.Errorf("%s: written and read again: %v %s", row.name, err, cmp.Diff(keys, again))
			}
			continue
		}
		if err == nil || !strings.Contains(err.Error(), row.says) || strings.Contains(err.Error(), sum) {
			t.Errorf("%s: %v", row.name, err)
		}
	}
}

func FuzzParse(f *testing.F) {
	f.Add([]byte(`{"keys":[` + good + `]}`))
	f.Add([]byte(`{"keys":[{"id":"abcdefghij","quota":{"unlimited":true},"policy":{"min_probability":1e400}}]}`))
	f.Add([]byte("{\"keys\":[\n\n{]}"))
	f.Fuzz(func(t *testing.T, text []byte) {
		keys, err := keyfile.Parse(text)
		if err != nil {
			return
		}
		out, err := keyfile.Format(keys)
		if err != nil {
			t.Fatalf("read and not written: %v", err)
		}
		if again, err := keyfile.Parse(out); err != nil || len(again) != len(keys) {
			t.Fatalf("%s is not read again: %v", out, err)
		}
	})
}

func FuzzFind(f *testing.F) {
	path := filepath.Join(f.TempDir(), "keys.json")
	made := keyfile.Issue(keyfile.Entry{Name: "dealer"}, noon)
	if err := add(path, made.Entry); err != nil {
		f.Fatal(err)
	}
	store, err := keyfile.Open(path)
	if err != nil {
		f.Fatal(err)
	}
	f.Add("ef_abcdefghij_" + strings.Repeat("a", 52))
	f.Add("ef__")
	f.Add("")
	f.Fuzz(func(t *testing.T, secret string) {
		if _, ok := store.Find(secret); ok && secret != made.Secret {
			t.Errorf("%q is found", secret)
		}
		if _, ok := store.Find(made.Secret[:14] + secret); ok && secret != made.Secret[14:] {
			t.Errorf("%q behind the name is found", secret)
		}
	})
}

func TestUpdatesWaitForEachOther(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "keys.json")
	var group sync.WaitGroup
	for range 20 {
		group.Go(func() {
			if err := add(path, keyfile.Issue(keyfile.Entry{Name: "dealer"}, noon).Entry); err != nil {
				t.Error(err)
			}
		})
	}
	group.Wait()
	keys, err := keyfile.Read(path)
	if err != nil || len(keys) != 20 {
		t.Errorf("%d keys, %v", len(keys), err)
	}
	left, err := os.ReadDir(filepath.Dir(path))
	if err != nil || len(left) != 2 { // the file and its lock
		t.Errorf("%v %v", left, err)
	}
}

func TestALinkStaysALink(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	kept, link := filepath.Join(dir, "real.json"), filepath.Join(dir, "keys.json")
	if err := add(kept, keyfile.Issue(keyfile.Entry{Name: "a"}, noon).Entry); err != nil {
		t.Fatal(err)
	}
	if err := os.Chmod(kept, 0o640); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(kept, link); err != nil {
		t.Fatal(err)
	}
	if err := add(link, keyfile.Issue(keyfile.Entry{Name: "b"}, noon).Entry); err != nil {
		t.Fatal(err)
	}
	info, err := os.Lstat(link)
	if err != nil || info.Mode()&os.ModeSymlink == 0 {
		t.Errorf("%v %v", info.Mode(), err)
	}
	if info, err := os.Stat(link); err != nil || info.Mode().Perm() != 0o640 {
		t.Errorf("%v %v", info.Mode(), err)
	}
	if keys, err := keyfile.Read(kept); err != nil || len(keys) != 2 {
		t.Errorf("%d keys, %v", len(keys), err)
	}
}
