// Package scan reads JSON by walking over the text: what json.Unmarshal reads into the same struct, several times as fast.
//
// It decides what is plain JSON (RFC 8259): whole, well-formed, no key twice in an object. It refuses to say what is
// wrong: a text that is not plain, a key that is not known and a value of another type all read as a failure, and whoever
// asks reads the text again with a decoder that knows. So a failure costs time and never changes an answer. Each type of
// the hot requests names its members itself, in a ReadJSON, and a test holds what that reads against json.Unmarshal.
//
//	func (b *BladeRequest) ReadJSON(r *scan.Reader) {
//		for o := r.Object(); o.Next(); {
//			switch o.Key {
//			case "size":
//				b.Size.ReadJSON(r)
//			case "feel":
//				b.Feel = r.Text()
//			default:
//				r.Fail()
//			}
//		}
//	}
package scan

import (
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/go-json-experiment/json/jsontext"
)

// Value is a value that reads itself.
type Value interface {
	ReadJSON(r *Reader)
}

// Read reads a text that is one JSON value into an empty v; ok is false where it fails, and v is then good for nothing.
// Texts in v are parts of in.
func Read(in string, v Value) (ok bool) {
	r := &Reader{in: in}
	v.ReadJSON(r)
	r.space()
	return !r.failed && r.at == len(in)
}

// Reader stands at a place in the text. After a failure it reads nothing more. It is not safe for concurrent use.
type Reader struct {
	in     string
	at     int
	failed bool
}

// Fail ends the reading.
func (r *Reader) Fail() { r.failed = true }

// Rest is how many bytes are still to be read.
func (r *Reader) Rest() int { return len(r.in) - r.at }

// space passes over white space and gives the byte after it; 0 at the end and after a failure.
func (r *Reader) space() byte {
	for ; r.at < len(r.in); r.at++ {
		if c := r.in[r.at]; c != ' ' && c != '\n' && c != '\r' && c != '\t' {
			if r.failed {
				return 0
			}
			return c
		}
	}
	return 0
}

// pass passes over white space and one byte, which must be c.
func (r *Reader) pass(c byte) {
	if r.space() != c {
		r.failed = true
		return
	}
	r.at++
}

// more passes over what stands between the members of a list or object and reports whether there is one more; end is the
// byte that ends it.
func (r *Reader) more(first bool, end byte) bool {
	switch c := r.space(); {
	case c == end:
		r.at++
		return false
	case first:
	case c == ',':
		r.at++
	default:
		r.failed = true
	}
	return !r.failed
}

// mostKeys is how many members an object may have.
const mostKeys = 24

// Object is an object while its members are read.
type Object struct {
	Key  string // of the member whose value comes next
	r    *Reader
	n    int
	keys [mostKeys]string
}

// Object begins an object.
func (r *Reader) Object() Object {
	r.pass('{')
	return Object{r: r}
}

// Next goes to the next member, whose value must then be read; it is false after the last. A key that stands twice is a
// failure, and so is one with escapes.
func (o *Object) Next() bool {
	r := o.r
	if r.failed || !r.more(o.n == 0, '}') {
		return false
	}
	key, plain := r.quoted()
	r.pass(':')
	if !plain || o.n == mostKeys {
		r.failed = true
	}
	for _, k := range o.keys[:o.n] {
		r.failed = r.failed || k == key
	}
	if r.failed {
		return false
	}
	o.Key, o.keys[o.n] = key, key
	o.n++
	return true
}

// List reads a list whose values read themselves; one without values is not nil. There is room for so many at first.
func List[T any](r *Reader, room int, each func(v *T, r *Reader)) []T {
	r.pass('[')
	if r.space() == ']' {
		r.at++
		return []T{}
	}
	list := make([]T, 0, room)
	for !r.failed && r.more(len(list) == 0, ']') {
		var empty T
		list = append(list, empty)
		each(&list[len(list)-1], r)
	}
	return list
}

// Text reads a text.
func (r *Reader) Text() string {
	text, plain := r.quoted()
	if plain || r.failed {
		return text
	}
	b, err := jsontext.AppendUnquote(nil, `"`+text+`"`)
	r.failed = err != nil
	return string(b)
}

// quoted is what stands between two quotes; plain says that it has no escapes.
func (r *Reader) quoted() (text string, plain bool) {
	r.pass('"')
	plain, ascii := true, true
	for i := r.at; i < len(r.in) && !r.failed; i++ {
		switch c := r.in[i]; {
		case c == '"':
			text = r.in[r.at:i]
			r.at = i + 1
			r.failed = !ascii && !utf8.ValidString(text)
			return text, plain
		case c == '\\':
			plain = false
			i++
		case c < ' ':
			r.failed = true
		case c >= utf8.RuneSelf:
			ascii = false
		}
	}
	r.failed = true
	return "", false
}

// Number is a number as it stands in the text (RFC 8259, section 6).
func (r *Reader) Number() string {
	r.space()
	from := r.at
	if r.at < len(r.in) && r.in[r.at] == '-' {
		r.at++
	}
	if whole := r.digits(); whole == 0 || whole > 1 && r.in[r.at-whole] == '0' {
		r.failed = true
	}
	if r.at < len(r.in) && r.in[r.at] == '.' {
		r.at++
		r.failed = r.digits() == 0 || r.failed
	}
	if r.at < len(r.in) && r.in[r.at]|0x20 == 'e' {
		r.at++
		if r.at < len(r.in) && (r.in[r.at] == '-' || r.in[r.at] == '+') {
			r.at++
		}
		r.failed = r.digits() == 0 || r.failed
	}
	return r.in[from:r.at]
}

func (r *Reader) digits() (n int) {
	for r.at < len(r.in) && '0' <= r.in[r.at] && r.in[r.at] <= '9' {
		r.at++
		n++
	}
	return n
}

// Int reads a whole number without point and exponent.
func (r *Reader) Int() int {
	n, err := strconv.Atoi(r.Number())
	r.failed = r.failed || err != nil
	return n
}

// Bool reads true or false.
func (r *Reader) Bool() bool {
	r.space()
	rest := r.in[r.at:]
	switch {
	case strings.HasPrefix(rest, "true"):
		r.at += len("true")
		return true
	case strings.HasPrefix(rest, "false"):
		r.at += len("false")
	default:
		r.failed = true
	}
	return false
}

// Raw is an object as it stands in the text, for a decoder that checks it.
func (r *Reader) Raw() string {
	r.pass('{')
	from, depth := r.at-1, 1
	for depth > 0 && r.at < len(r.in) && !r.failed {
		switch r.in[r.at] {
		case '"':
			r.quoted()
			continue
		case '{':
			depth++
		case '}':
			depth--
		}
		r.at++
	}
	if depth > 0 || r.failed {
		r.failed = true
		return ""
	}
	return r.in[from:r.at]
}
