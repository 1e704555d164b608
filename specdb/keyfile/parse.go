package keyfile

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"
)

// Bounds of a file.
const (
	maxBytes = 16 << 20
	maxKeys  = 50_000
	maxName  = 100
	maxUnits = 1_000_000_000
	maxTime  = 24 * 60 * 60
	maxYear  = 9000
)

// file is what the file says.
type file struct {
	Keys []Entry `json:"keys"`
}

// Parse reads a file. Errors: it is no JSON of that shape, or a key of it cannot stand; they name the place and never a
// hash.
func Parse(text []byte) ([]Entry, error) {
	if len(text) > maxBytes {
		return nil, fmt.Errorf("the file is larger than %d bytes", maxBytes)
	}
	var f file
	if err := json.Unmarshal(text, &f, json.RejectUnknownMembers(true)); err != nil {
		return nil, unreadable(text, err)
	}
	if f.Keys == nil {
		return nil, errors.New(`want {"keys": […]}`)
	}
	if len(f.Keys) > maxKeys {
		return nil, fmt.Errorf("more than %d keys", maxKeys)
	}
	seen := map[string]int{}
	for i := range f.Keys {
		e := &f.Keys[i]
		if err := e.check(); err != nil {
			return nil, fmt.Errorf("keys[%d]: %w", i, err)
		}
		if at, twice := seen[e.ID]; twice {
			return nil, fmt.Errorf("keys[%d] has the id of keys[%d]", i, at)
		}
		seen[e.ID] = i
	}
	return f.Keys, nil
}

// unreadable says where JSON cannot be read, and not what stands there.
func unreadable(text []byte, err error) error {
	var syntax *jsontext.SyntacticError
	var meaning *json.SemanticError
	at, pointer := int64(0), ""
	switch {
	case errors.As(err, &syntax):
		at, pointer = syntax.ByteOffset, string(syntax.JSONPointer)
	case errors.As(err, &meaning):
		at, pointer = meaning.ByteOffset, string(meaning.JSONPointer)
	}
	line := 1 + strings.Count(string(text[:min(max(at, 0), int64(len(text)))]), "\n")
	return fmt.Errorf("line %d cannot be read, at %q", line, strings.ToValidUTF8(pointer[:min(200, len(pointer))], "?"))
}

// check says what of an entry cannot stand.
func (e *Entry) check() error {
	switch {
	case !isID(e.ID):
		return errors.New("id is 10 of the letters a to z and 2 to 7")
	case !isSum(e.Hash):
		return errors.New("hash is 64 hexadecimal digits")
	case CheckName(e.Name) != nil:
		return CheckName(e.Name)
	case e.Created.IsZero():
		return errors.New("created is missing")
	case e.Created.Year() > maxYear || e.Expires.Year() > maxYear || e.Revoked.Year() > maxYear:
		return fmt.Errorf("no time is after the year %d", maxYear)
	case !e.Expires.IsZero() && e.Expires.Before(e.Created):
		return errors.New("it expires before it is created")
	}
	if err := e.Quota.check(); err != nil {
		return fmt.Errorf("quota: %w", err)
	}
	if err := e.Policy.check(); err != nil {
		return fmt.Errorf("policy: %w", err)
	}
	return nil
}

// isSum reports whether a text has the form of a hash.
func isSum(s string) bool {
	return len(s) == 64 && strings.Trim(s, "0123456789abcdef") == ""
}

// CheckName says whether an owner may be called that.
func CheckName(name string) error {
	if name == "" || utf8.RuneCountInString(name) > maxName || !utf8.ValidString(name) || strings.TrimSpace(name) != name ||
		strings.ContainsFunc(name, func(r rune) bool { return !unicode.IsPrint(r) }) {
		return fmt.Errorf("name is from 1 to %d characters that can be printed, without blanks around them", maxName)
	}
	return nil
}

func (q *Quota) check() error {
	switch {
	case q == nil:
		return nil
	case q.Unlimited && (q.Units != 0 || q.Seconds != 0):
		return errors.New("units and seconds, or unlimited")
	case !q.Unlimited && (q.Units < 1 || q.Units > maxUnits || q.Seconds < 1 || q.Seconds > maxTime):
		return fmt.Errorf("units are from 1 to %d, seconds from 1 to %d", maxUnits, maxTime)
	}
	return nil
}

func (p *Policy) check() error {
	switch {
	case p == nil:
		return nil
	case CheckName(p.Name) != nil:
		return CheckName(p.Name)
	case !slices.Contains([]string{"", "guarded", "simple"}, p.Rule):
		return errors.New("rule is guarded or simple")
	case !slices.Contains([]string{"", "U", "1.65u"}, p.Guard):
		return errors.New("guard is U or 1.65u")
	case p.MinProbability != nil && !(*p.MinProbability >= 0 && *p.MinProbability <= 1):
		return errors.New("min_probability is from 0 to 1")
	}
	return nil
}

// Format writes a file that Parse reads: the oldest key first.
func Format(keys []Entry) ([]byte, error) {
	sorted := slices.Clone(keys)
	slices.SortStableFunc(sorted, func(a, b Entry) int { return a.Created.Compare(b.Created) })
	for i := range sorted {
		for _, t := range []*time.Time{&sorted[i].Created, &sorted[i].Expires, &sorted[i].Revoked} {
			*t = t.UTC()
		}
	}
	text, err := json.Marshal(file{Keys: sorted}, jsontext.Multiline(true), json.Deterministic(true))
	return append(text, '\n'), err
}
