package wire

import (
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"endfloat/service/fault"
	"endfloat/service/note"
)

// At is the place of what is being converted: a JSON Pointer (RFC 6901), of which the empty one is the document, a query
// parameter as Query makes it, a cell of a table as Cell does, or Unplaced.
type At string

// Unplaced is no place: a conversion that is expected to find nothing wrong keeps track of none, and is done anew with
// the true place where it does.
const Unplaced At = "!"

// Query is the place of a query parameter.
func Query(name string) At { return At("?" + name) }

// Cell is the place of a CSV cell; rows count from 1 below the header.
func Cell(row int, column string) At { return At("#" + strconv.Itoa(row) + ":" + column) }

// Key is the member of an object; at a query parameter or a cell it stays where it is.
func (a At) Key(name string) At {
	if a.flat() {
		return a
	}
	if strings.ContainsAny(name, "~/") {
		return a + At(fault.Pointer(name))
	}
	return a + "/" + At(name)
}

// Index is the element of an array.
func (a At) Index(i int) At {
	if a.flat() {
		return a
	}
	return a + "/" + At(strconv.Itoa(i))
}

func (a At) flat() bool {
	return a != "" && (a[0] == '?' || a[0] == '#' || a[0] == '!')
}

// Place is a as faults name places.
func (a At) Place() fault.Place {
	s := string(a)
	switch {
	case strings.HasPrefix(s, "?"):
		return fault.Place{Parameter: s[1:]}
	case strings.HasPrefix(s, "#"):
		row, column, _ := strings.Cut(s[1:], ":")
		n, _ := strconv.Atoi(row)
		return fault.Place{Row: n, Column: column}
	case s == "":
		return fault.Place{Root: true}
	}
	return fault.Place{Pointer: s}
}

// Fault is a violation here.
func (a At) Fault(code string, detail, fix note.Note) fault.Violation {
	return fault.Violation{Code: code, Detail: detail, Fix: fix, At: a.Place()}
}

// Word checks that s is one of the words; the empty word is allowed and means that nothing was said.
func Word[T ~string](s T, at At, bad *fault.List, words ...T) (T, bool) {
	if s == "" {
		return s, true
	}
	if slices.Contains(words, s) {
		return s, true
	}
	list := make([]string, len(words))
	for i, w := range words {
		list[i] = string(w)
	}
	bad.Add(at.Fault("unknown_word", note.New("found_none_words_allowed", note.Str("word", fault.Quote(string(s)))),
		note.New("fix_send_one_of", note.Str("list", strings.Join(list, ", ")))))
	return "", false
}

// Limit checks that a list of n entries has no more than are allowed.
func Limit(n, allowed int, at At, bad *fault.List) bool {
	if n <= allowed {
		return true
	}
	bad.Add(at.Fault("too_many", note.New("found_entries_more_allowed", note.Str("n", strconv.Itoa(n)), note.Str("most", strconv.Itoa(allowed))),
		note.New("fix_send_at_most", note.Str("n", strconv.Itoa(allowed)))))
	return false
}

// MaxName is how many characters an id, a name or a word of the caller may have where nothing else is said.
const MaxName = 64

// Fits checks that a text of the caller has no more characters than are allowed. It stands behind the keys from at on;
// only one that is too long is worth its place.
func Fits(text string, allowed int, bad *fault.List, at At, keys ...string) bool {
	if !longer(text, allowed) {
		return true
	}
	for _, k := range keys {
		at = at.Key(k)
	}
	bad.Add(at.Fault("too_long", note.New("found_text_too_long"), note.New("fix_send_at_most_characters", note.Str("n", strconv.Itoa(allowed)))))
	return false
}

// longer reports whether a text has more characters than are allowed.
func longer(text string, allowed int) bool {
	return len(text) > allowed && utf8.RuneCountInString(text) > allowed
}
