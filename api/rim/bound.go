package rim

import (
	"bytes"
	"strconv"

	"github.com/go-json-experiment/json/jsontext"

	"endfloat/service/fault"
	"endfloat/service/note"
)

// Bounds of what a large body may hold, so that reading it takes no more memory than a few times its bytes. They lie far
// above what the handlers allow; within them the handlers say what is too much.
const (
	countedBody  = 32 << 10 // smaller ones are read without a look ahead
	mostEntries  = 10_000   // of the lists at the top
	mostInner    = 2_000    // of the lists within them
	mostObjects  = 600_000  // in all
	countedDepth = 32       // no request has lists any deeper
)

// overlong finds the first list that is far too long, or the one in which there are too many objects, by a look at the
// bytes alone. Text that is no JSON is left to the reader.
func overlong(body []byte) error {
	if len(body) < countedBody {
		return nil
	}
	var open []opened
	objects := 0
	for i := 0; i < len(body); i++ {
		switch body[i] {
		case '"':
			for i++; i < len(body) && body[i] != '"'; i++ {
				if body[i] == '\\' {
					i++
				}
			}
		case '[':
			open = append(open, opened{at: i})
		case '{':
			open = append(open, opened{at: -1})
			objects++
		case ']', '}':
			if len(open) == 0 {
				return nil
			}
			open = open[:len(open)-1]
		case ',':
			if len(open) == 0 {
				return nil
			}
			in, most := &open[len(open)-1], mostInner
			if len(open) <= 2 {
				most = mostEntries
			}
			if in.commas++; in.at >= 0 && in.commas >= most {
				return tooMany(body, in.at, most)
			}
			if in.at >= 0 && objects > mostObjects {
				return tooMany(body, in.at, mostObjects)
			}
		}
		if len(open) > countedDepth {
			return nil
		}
	}
	return nil
}

// opened is a list or an object that has not ended.
type opened struct {
	at     int // where the list begins; -1: an object
	commas int
}

// tooMany is the fault of the list that begins at an offset of the body.
func tooMany(body []byte, at, most int) error {
	pointer, ok := pointerAt(body, at)
	if !ok {
		return nil
	}
	return &fault.Error{Kind: fault.Invalid, Code: "invalid_values", Violations: []fault.Violation{{Code: "too_many",
		Detail: note.New("found_more_entries_far_more", note.Str("most", strconv.Itoa(most))),
		Fix:    note.New("fix_split_request"), At: fault.Place{Pointer: pointer, Root: pointer == ""}}}}
}

// pointerAt is the pointer of the value that begins at an offset; ok is false where something is wrong before it.
func pointerAt(body []byte, at int) (pointer string, ok bool) {
	dec := jsontext.NewDecoder(bytes.NewBuffer(body))
	for dec.InputOffset() <= int64(at) {
		if _, err := dec.ReadToken(); err != nil {
			return "", false
		}
	}
	return string(dec.StackPointer()), true
}
