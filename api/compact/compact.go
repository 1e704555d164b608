// Package compact writes JSON by appending to a buffer: what json.Marshal writes for the same struct, byte for byte,
// several times as fast.
//
// It decides how texts are quoted and where commas stand. It refuses to know types: each type of the hot answers names
// its members itself, in an AppendJSON beside it, and a test holds what that writes against json.Marshal of the same
// value (comparetest). Answers that are rare are left to json.Marshal.
//
//	func (n *Note) AppendJSON(b []byte) []byte {
//		o := compact.Open(b)
//		o.Text("code", n.Code)
//		o.TextIf("unit", n.Unit)
//		return o.Close()
//	}
package compact

import (
	"encoding/binary"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/go-json-experiment/json/jsontext"
)

// Appender is a value that appends itself to b as JSON and gives b back.
type Appender interface {
	AppendJSON(b []byte) []byte
}

// Object is a JSON object while its members are appended, in the order of the calls. A method that ends in If leaves out
// a member that has no value. The zero value is an object in an empty buffer. It is not safe for concurrent use.
type Object struct {
	b     []byte
	start int
	key   int // where its key begins in the object around it
}

// Open begins an object at the end of b.
func Open(b []byte) Object { return Object{b: b, start: len(b)} }

// Close ends the object and gives the buffer back. Each member was written with a comma before it; that of the first
// becomes the brace.
func (o *Object) Close() []byte {
	if len(o.b) == o.start {
		return append(o.b, "{}"...)
	}
	o.b[o.start] = '{'
	return append(o.b, '}')
}

// At begins a member and gives the buffer to append its value to; Put takes it back.
func (o *Object) At(key string) []byte {
	n := len(o.b)
	b := slices.Grow(o.b, len(key)+len(`,"":`))
	b = b[:n+len(key)+len(`,"":`)]
	b[n], b[n+1] = ',', '"'
	copy(b[n+2:], key)
	b[len(b)-2], b[len(b)-1] = '"', ':'
	o.b = b
	return b
}

// Put takes the buffer back that At gave out, with the value appended.
func (o *Object) Put(b []byte) { o.b = b }

// Nest begins an object that is a member; PutIf takes it back.
func (o *Object) Nest(key string) Object {
	at := len(o.b)
	b := o.At(key)
	return Object{b: b, start: len(b), key: at}
}

// PutIf takes an object back that Nest began. One without members leaves no member.
func (o *Object) PutIf(p *Object) {
	if len(p.b) == p.start {
		o.b = p.b[:p.key]
		return
	}
	o.b = p.Close()
}

// Text is a member with a text.
func (o *Object) Text(key, value string) { o.b = Quote(o.At(key), value) }

// TextIf is Text where there is one.
func (o *Object) TextIf(key, value string) {
	if value != "" {
		o.Text(key, value)
	}
}

// Int is a member with a whole number.
func (o *Object) Int(key string, value int) { o.b = strconv.AppendInt(o.At(key), int64(value), 10) }

// IntIf is Int where the number is not 0.
func (o *Object) IntIf(key string, value int) {
	if value != 0 {
		o.Int(key, value)
	}
}

// Bool is a member that is true or false.
func (o *Object) Bool(key string, value bool) { o.b = strconv.AppendBool(o.At(key), value) }

// BoolIf is Bool where it is true.
func (o *Object) BoolIf(key string, value bool) {
	if value {
		o.Bool(key, value)
	}
}

// Texts is a member with a list of texts; none is an empty list.
func (o *Object) Texts(key string, list []string) {
	b := o.At(key)
	for i, s := range list {
		if i == 0 {
			b = append(b, '[')
		} else {
			b = append(b, ',')
		}
		b = Quote(b, s)
	}
	o.b = closed(b, len(list))
}

// TextsIf is Texts where the list is not nil; an empty one stands.
func (o *Object) TextsIf(key string, list []string) {
	if list != nil {
		o.Texts(key, list)
	}
}

// List appends a member whose values append themselves; nil is an empty list.
func List[T any](o *Object, key string, list []T, each func(v *T, b []byte) []byte) {
	b := o.At(key)
	for i := range list {
		if i == 0 {
			b = append(b, '[')
		} else {
			b = append(b, ',')
		}
		b = each(&list[i], roomy(b))
	}
	o.b = closed(b, len(list))
}

// roomy doubles a large buffer that is nearly full; append would add a quarter at a time and copy it as often.
func roomy(b []byte) []byte {
	const large = 64 << 10
	if cap(b) >= large && cap(b)-len(b) < cap(b)/16 {
		return slices.Grow(b, cap(b))
	}
	return b
}

// ListIf is List where the list is not nil; an empty one stands.
func ListIf[T any](o *Object, key string, list []T, each func(v *T, b []byte) []byte) {
	if list != nil {
		List(o, key, list, each)
	}
}

func closed(b []byte, n int) []byte {
	if n == 0 {
		b = append(b, '[')
	}
	return append(b, ']')
}

// Quote appends a text as a JSON string (RFC 8259, section 7) with the fewest escapes. Bytes that are no UTF-8 become
// U+FFFD.
func Quote(b []byte, s string) []byte {
	b = append(b, '"')
	start := len(b)
	b = append(b, s...)
	switch worst(b[start:]) {
	case special:
		return escaped(b[:start-1], s)
	case wide:
		if !utf8.ValidString(s) {
			return escaped(b[:start-1], s)
		}
	}
	return append(b, '"')
}

// letters is what the letters of a text ask for: nothing, a look at their encoding, an escape.
type letters uint8

const (
	usual letters = iota
	wide
	special
)

// worst is the most that the letters of a text ask for. It looks at eight at a time, each a byte of a word: taking 0x20
// from one that is less borrows from its highest bit, and so does taking 1 from one that is 0, as a quote or a backslash
// is after it was compared bit by bit. A borrow that reaches the next byte costs that byte a look of its own.
func worst(text []byte) letters {
	const each, high = 0x0101010101010101, 0x8080808080808080
	found := usual
	for len(text) >= 8 {
		x := binary.LittleEndian.Uint64(text)
		quote, slash := x^('"'*each), x^('\\'*each)
		if (x|(x-' '*each)|(quote-each)&^quote|(slash-each)&^slash)&high != 0 {
			if found = max(found, worstOf(text[:8])); found == special {
				return special
			}
		}
		text = text[8:]
	}
	return max(found, worstOf(text))
}

func worstOf(text []byte) letters {
	found := usual
	for _, c := range text {
		switch {
		case c < ' ' || c == '"' || c == '\\':
			return special
		case c >= utf8.RuneSelf:
			found = wide
		}
	}
	return found
}

func escaped(b []byte, s string) []byte {
	b, _ = jsontext.AppendQuote(b, strings.ToValidUTF8(s, "\uFFFD")) // fails on bytes that are no UTF-8 alone
	return b
}
