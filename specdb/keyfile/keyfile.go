// Package keyfile holds the keys that were issued to callers, in one file that never holds a key itself.
//
// It decides what a key looks like, what the file keeps of it, and whether one that is shown is good now. It refuses to
// know how a key travels and what is done with it.
//
// A key is ef_, a name of 10 letters by which it is found, and 52 letters of 256 random bits. The file keeps the SHA-256 of
// the whole. A slow hash is for secrets that people choose: nobody tries 2^256, and a slow one would let whoever sends
// nonsense keep the processors busy. The name is part of what is hashed, so that no two keys share a hash.
//
//	made, err := keyfile.Issue(keyfile.Entry{Name: "dealer"}, now)    // made.Secret is shown once
//	store, err := keyfile.Open("keys.json")
//	entry, ok := store.Find(secret)
package keyfile

import (
	"crypto/rand"
	"crypto/sha256"
	"crypto/subtle"
	"encoding/base32"
	"encoding/hex"
	"strings"
	"time"
)

// Form of a key.
const (
	mark       = "ef_"
	idLength   = 10
	restLength = 52 // 256 bits in letters of 5
	keyLength  = len(mark) + idLength + 1 + restLength
)

// alphabet has no capitals and no digits that look like letters.
const alphabet = "abcdefghijklmnopqrstuvwxyz234567"

// Entry is what the file keeps of a key. Its owner is Name: several keys of one name are one owner's, as while one key
// takes the place of another.
type Entry struct {
	ID      string    `json:"id"`
	Name    string    `json:"name"`
	Hash    string    `json:"hash"`             // SHA-256 of the key, in hexadecimal
	Created time.Time `json:"created,omitzero"` // at which it begins to be good
	Expires time.Time `json:"expires,omitzero"` // from which on it is not good; zero: never
	Revoked time.Time `json:"revoked,omitzero"` // from which on it is not good; zero: it stands
	Quota   *Quota    `json:"quota,omitzero"`   // nil: that of all keys
	Policy  *Policy   `json:"policy,omitzero"`  // nil: that of the catalogue
}

// Quota is what a key may ask for: so many units in so many seconds, or all it likes.
type Quota struct {
	Units     int64 `json:"units,omitzero"`
	Seconds   int64 `json:"seconds,omitzero"`
	Unlimited bool  `json:"unlimited,omitzero"`
}

// Policy is the strictness to which whoever has the key is held.
type Policy struct {
	Name               string   `json:"name"`
	Rule               string   `json:"rule,omitzero"`
	Guard              string   `json:"guard,omitzero"`
	MinProbability     *float64 `json:"min_probability,omitzero"`
	RequireUncertainty bool     `json:"require_uncertainty,omitzero"`
}

// Made is a key that was just made. Secret is kept nowhere.
type Made struct {
	Entry  Entry
	Secret string
}

// Issue makes a key for what e says beside ID, Hash and Created.
func Issue(e Entry, now time.Time) Made {
	var b [40]byte
	_, _ = rand.Read(b[:]) // never fails
	text := base32.NewEncoding(alphabet).WithPadding(base32.NoPadding)
	e.ID = text.EncodeToString(b[32:])[:idLength]
	secret := mark + e.ID + "_" + text.EncodeToString(b[:32])
	e.Hash = hashOf(secret)
	e.Created = now.UTC().Truncate(time.Second)
	return Made{Entry: e, Secret: secret}
}

// idOf is the name in a key; ok is false for what has not the form of one.
func idOf(secret string) (id string, ok bool) {
	if len(secret) != keyLength || !strings.HasPrefix(secret, mark) || secret[len(mark)+idLength] != '_' {
		return "", false
	}
	for i := len(mark); i < len(secret); i++ {
		if i != len(mark)+idLength && !isLetter(secret[i]) {
			return "", false
		}
	}
	return secret[len(mark) : len(mark)+idLength], true
}

func isLetter(c byte) bool { return c >= 'a' && c <= 'z' || c >= '2' && c <= '7' }

func isID(s string) bool {
	for i := range len(s) {
		if !isLetter(s[i]) {
			return false
		}
	}
	return len(s) == idLength
}

func hashOf(secret string) string {
	sum := sha256.Sum256([]byte(secret))
	return hex.EncodeToString(sum[:])
}

// is compares a hash without telling by its time how much of it agrees.
func (e *Entry) is(hash string) bool {
	return subtle.ConstantTimeCompare([]byte(e.Hash), []byte(hash)) == 1
}

// Good reports whether the key stands at a moment: begun, not run out and not revoked.
func (e *Entry) Good(now time.Time) bool {
	return !now.Before(e.Created) && (e.Expires.IsZero() || now.Before(e.Expires)) && (e.Revoked.IsZero() || now.Before(e.Revoked))
}
