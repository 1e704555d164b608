package keyfile_test

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"endfloat/specdb/keyfile"
)

var noon = time.Date(2026, 11, 1, 12, 0, 0, 0, time.UTC)

// add appends a key to a file.
func add(path string, e keyfile.Entry) error {
	return keyfile.Update(path, func(keys []keyfile.Entry) ([]keyfile.Entry, error) { return append(keys, e), nil })
}

func Example() {
	dir, err := os.MkdirTemp("", "keys")
	if err != nil {
		return
	}
	defer os.RemoveAll(dir)
	path := filepath.Join(dir, "keys.json")
	made := keyfile.Issue(keyfile.Entry{Name: "dealer"}, time.Now())
	if err := keyfile.Update(path, func(keys []keyfile.Entry) ([]keyfile.Entry, error) { return append(keys, made.Entry), nil }); err != nil {
		return
	}
	store, err := keyfile.Open(path)
	if err != nil {
		return
	}
	entry, ok := store.Find(made.Secret)
	fmt.Println(entry.Name, ok, len(made.Secret))
	_, ok = store.Find("ef_somebody")
	fmt.Println(ok)
	// Output:
	// dealer true 66
	// false
}

// opened is a store over a file with one key, the clock of which the test sets.
func opened(t *testing.T, e keyfile.Entry) (store *keyfile.Store, made keyfile.Made, path string, now *time.Time) {
	t.Helper()
	path = filepath.Join(t.TempDir(), "keys.json")
	made = keyfile.Issue(e, noon)
	if err := add(path, made.Entry); err != nil {
		t.Fatal(err)
	}
	at := noon
	store, err := keyfile.OpenAt(path, func() time.Time { return at })
	if err != nil {
		t.Fatal(err)
	}
	return store, made, path, &at
}

func TestOnlyTheKeyItselfIsFound(t *testing.T) {
	t.Parallel()
	store, made, path, _ := opened(t, keyfile.Entry{Name: "dealer"})
	if e, ok := store.Find(made.Secret); !ok || e.Name != "dealer" || e.ID != made.Entry.ID {
		t.Errorf("%+v %v", e, ok)
	}
	for at := range made.Secret { // every letter counts
		for _, c := range []string{"a", "b", "_", "A", "\x00"} {
			if wrong := made.Secret[:at] + c + made.Secret[at+1:]; wrong != made.Secret {
				if _, ok := store.Find(wrong); ok {
					t.Fatalf("letter %d is another, and yet it is found", at)
				}
			}
		}
	}
	for _, wrong := range []string{"", "ef_", made.Secret + "a", made.Secret[1:], made.Secret[:len(made.Secret)-1], made.Entry.Hash, made.Entry.ID,
		strings.ToUpper(made.Secret), " " + made.Secret, keyfile.Issue(keyfile.Entry{Name: "dealer"}, noon).Secret} {
		if _, ok := store.Find(wrong); ok {
			t.Errorf("%q is found", wrong)
		}
	}
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	rest := made.Secret[strings.LastIndex(made.Secret, "_")+1:]
	if sum := sha256.Sum256([]byte(made.Secret)); bytes.Contains(text, []byte(rest)) || !bytes.Contains(text, []byte(hex.EncodeToString(sum[:]))) {
		t.Errorf("the file holds the key, or not its SHA-256:\n%s", text)
	}
	if info, err := os.Stat(path); err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("%v %v", info.Mode(), err)
	}
}

func TestAKeyIsGoodInItsTime(t *testing.T) {
	t.Parallel()
	store, made, path, now := opened(t, keyfile.Entry{Name: "dealer", Expires: noon.Add(time.Hour)})
	for _, row := range []struct {
		name  string
		after time.Duration
		good  bool
	}{
		{"before it was made", -time.Nanosecond, false}, {"when it was made", 0, true}, {"1 ns before it runs out", time.Hour - 1, true},
		{"when it runs out", time.Hour, false}, {"long after", 1000 * time.Hour, false},
	} {
		*now = noon.Add(row.after)
		if _, ok := store.Find(made.Secret); ok != row.good {
			t.Errorf("%s: %v", row.name, ok)
		}
	}
	*now = noon.Add(time.Minute)
	if err := keyfile.Revoke(path, []string{made.Entry.ID}, *now); err != nil {
		t.Fatal(err)
	}
	if _, ok := store.Find(made.Secret); !ok {
		t.Error("the file was not read again yet")
	}
	if changed, err := store.Reload(); !changed || err != nil {
		t.Fatalf("%v %v", changed, err)
	}
	if _, ok := store.Find(made.Secret); ok {
		t.Error("a key that was revoked is found")
	}
}

func TestTwoKeysOfOneOwnerStandBesideEachOther(t *testing.T) {
	t.Parallel()
	store, first, path, now := opened(t, keyfile.Entry{Name: "dealer"})
	second := keyfile.Issue(keyfile.Entry{Name: "dealer"}, noon)
	if err := add(path, second.Entry); err != nil {
		t.Fatal(err)
	}
	good := func() (a, b bool) {
		if _, err := store.Reload(); err != nil {
			t.Fatal(err)
		}
		ea, a := store.Find(first.Secret)
		eb, b := store.Find(second.Secret)
		if a && b && ea.Name != eb.Name {
			t.Errorf("%q and %q", ea.Name, eb.Name)
		}
		return a, b
	}
	if a, b := good(); !a || !b || store.Len() != 2 {
		t.Errorf("%v %v, %d keys", a, b, store.Len())
	}
	if err := keyfile.Revoke(path, []string{first.Entry.ID}, *now); err != nil {
		t.Fatal(err)
	}
	if a, b := good(); a || !b {
		t.Errorf("%v %v", a, b)
	}
}

func TestWithdrawnElsewhere(t *testing.T) {
	t.Parallel()
	store, made, _, _ := opened(t, keyfile.Entry{Name: "dealer"})
	store.Withdraw([]string{"aaaaaaaaaa", made.Entry.ID})
	if _, ok := store.Find(made.Secret); ok {
		t.Error("withdrawn, and yet found")
	}
	if _, err := store.Reload(); err != nil {
		t.Fatal(err)
	}
	if _, ok := store.Find(made.Secret); ok {
		t.Error("the file brings back what was withdrawn elsewhere")
	}
	store.Withdraw(nil)
	if _, ok := store.Find(made.Secret); !ok {
		t.Error("nothing is withdrawn any more")
	}
}

func TestABadFileLeavesTheKeysAsTheyWere(t *testing.T) {
	t.Parallel()
	store, made, path, _ := opened(t, keyfile.Entry{Name: "dealer"})
	before, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	for _, text := range []string{"", "{", `{"keys":[{}]}`, string(before[:len(before)/2]), "\x00"} {
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		if changed, err := store.Reload(); changed || err == nil || store.Err() == nil {
			t.Errorf("%q: %v %v", text, changed, err)
		}
		if _, ok := store.Find(made.Secret); !ok {
			t.Errorf("%q: the key is gone", text)
		}
	}
	if err := os.Remove(path); err != nil {
		t.Fatal(err)
	}
	if _, err := store.Reload(); err == nil {
		t.Error("no file, and no error")
	}
	if err := os.WriteFile(path, before, 0o600); err != nil {
		t.Fatal(err)
	}
	if changed, err := store.Reload(); changed || err != nil || store.Err() != nil {
		t.Errorf("the same again: %v %v %v", changed, err, store.Err())
	}
}
