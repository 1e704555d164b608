package rim

import (
	"bytes"
	"strconv"

	"github.com/go-json-experiment/json/jsontext"

	"endfloat/service/fault"
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
	var lists [countedDepth]struct{ at, commas int } // at is -1 for an object
	depth, objects := -1, 0
	for i := 0; i < len(body); i++ {
		switch body[i] {
		case '"':
			for i++; i < len(body) && body[i] != '"'; i++ {
				if body[i] == '\\' {
					i++
				}
			}
		case '[', '{':
			if depth++; depth >= countedDepth {
				return nil
			}
			lists[depth].at, lists[depth].commas = i, 0
			if body[i] == '{' {
				lists[depth].at = -1
				objects++
			}
		case ']', '}':
			if depth--; depth < -1 {
				return nil
			}
		case ',':
			if depth < 0 || lists[depth].at < 0 {
				continue
			}
			lists[depth].commas++
			most := mostInner
			if depth <= 1 {
				most = mostEntries
			}
			if lists[depth].commas >= most {
				return tooMany(body, lists[depth].at, most)
			}
			if objects > mostObjects {
				return tooMany(body, lists[depth].at, mostObjects)
			}
		}
	}
	return nil
}

// tooMany is the fault of the list that begins at an offset of the body.
func tooMany(body []byte, at, most int) error {
	dec := jsontext.NewDecoder(bytes.NewBuffer(body))
	for dec.InputOffset() <= int64(at) {
		if _, err := dec.ReadToken(); err != nil {
			return nil // something else is wrong before it
		}
	}
	pointer := string(dec.StackPointer())
	return &fault.Error{Kind: fault.Invalid, Code: "invalid_values", Violations: []fault.Violation{{Code: "too_many",
		Detail: "there are more than " + strconv.Itoa(most) + " entries, far more than are allowed here",
		Fix:    "split the request", At: fault.Place{Pointer: pointer, Root: pointer == ""}}}}
}
