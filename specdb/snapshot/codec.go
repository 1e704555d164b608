package snapshot

import (
	"encoding/binary"
	"errors"

	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// errBroken is any content that no Encode wrote.
var errBroken = errors.New("the content is broken")

// codec walks a value once and writes or reads it, so that the two can never disagree. Strings, texts and sources that
// come again are written as numbers and read as the same value, which keeps them once in memory.
type codec struct {
	writing bool
	buf     []byte // written so far, or what is left to read
	err     error

	strings  map[string]uint64
	texts    map[[len(spec.Languages)]string]uint64
	sources  map[spec.Source]uint64
	known    []string
	knownTxt []spec.Text
	knownSrc []*spec.Source
}

func newWriter() *codec {
	return &codec{writing: true, strings: map[string]uint64{"": 0}, texts: map[[len(spec.Languages)]string]uint64{{}: 0}, sources: map[spec.Source]uint64{}}
}

func newReader(data []byte) *codec {
	return &codec{buf: data, known: []string{""}, knownTxt: []spec.Text{{}}, knownSrc: []*spec.Source{nil}}
}

func (c *codec) fail() {
	if c.err == nil {
		c.err, c.buf = errBroken, nil
	}
}

func (c *codec) uint(p *uint64) {
	if c.writing {
		c.buf = binary.AppendUvarint(c.buf, *p)
		return
	}
	v, n := binary.Uvarint(c.buf)
	if n <= 0 || n > 1 && c.buf[n-1] == 0 { // only the shortest form, so that content has one encoding
		c.fail()
		return
	}
	*p, c.buf = v, c.buf[n:]
}

func (c *codec) int(p *int) {
	v := uint64(*p)
	c.uint(&v)
	if !c.writing {
		if v > 1<<31 {
			c.fail()
			return
		}
		*p = int(v)
	}
}

func (c *codec) signed(p *int64) {
	v := uint64(*p<<1) ^ uint64(*p>>63)
	c.uint(&v)
	if !c.writing {
		*p = int64(v>>1) ^ -int64(v&1)
	}
}

func (c *codec) yes(p *bool) {
	var v uint64
	if *p {
		v = 1
	}
	c.uint(&v)
	if !c.writing {
		if v > 1 {
			c.fail()
		}
		*p = v == 1
	}
}

// raw is the bytes of a string with their count before them.
func (c *codec) raw(p *string) {
	n := uint64(len(*p))
	c.uint(&n)
	switch {
	case c.writing:
		c.buf = append(c.buf, *p...)
	case n > uint64(len(c.buf)):
		c.fail()
	default:
		*p, c.buf = string(c.buf[:n]), c.buf[n:]
	}
}

// again writes or reads the number of a value that may have come before: i is its number, known how many there are.
// It reports whether the value itself follows.
func (c *codec) again(i *uint64, known int) (follows bool) {
	c.uint(i)
	if *i > uint64(known) {
		c.fail()
		*i = 0
		return false
	}
	return *i == uint64(known)
}

func str[S ~string](c *codec, p *S) {
	if c.writing {
		s := string(*p)
		i, was := c.strings[s]
		if !was {
			i = uint64(len(c.strings))
		}
		if c.uint(&i); !was {
			c.strings[s] = i
			c.raw(&s)
		}
		return
	}
	var i uint64
	if c.again(&i, len(c.known)) {
		var s string
		c.raw(&s)
		c.known = append(c.known, s)
	}
	if c.err == nil {
		*p = S(c.known[i])
	}
}

func (c *codec) text(p *spec.Text) {
	if c.writing {
		by := p.All()
		i, was := c.texts[by]
		if !was {
			i = uint64(len(c.texts))
		}
		if c.uint(&i); !was {
			c.texts[by] = i
			for k := range by {
				str(c, &by[k])
			}
		}
		return
	}
	var i uint64
	if c.again(&i, len(c.knownTxt)) {
		var by [len(spec.Languages)]string
		for k := range by {
			str(c, &by[k])
		}
		c.knownTxt = append(c.knownTxt, spec.NewText(by))
	}
	if c.err == nil {
		*p = c.knownTxt[i]
	}
}

func (c *codec) source(p **spec.Source) {
	var i uint64
	if c.writing {
		if *p == nil {
			c.uint(&i)
			return
		}
		n, was := c.sources[**p]
		if !was {
			n = uint64(len(c.sources)) + 1
		}
		if c.uint(&n); !was {
			c.sources[**p] = n
			s := **p
			c.sourceFields(&s)
		}
		return
	}
	if c.again(&i, len(c.knownSrc)) {
		s := &spec.Source{}
		c.sourceFields(s)
		c.knownSrc = append(c.knownSrc, s)
	}
	if c.err == nil {
		*p = c.knownSrc[i]
	}
}

func (c *codec) sourceFields(s *spec.Source) {
	for _, p := range []*string{&s.Class, &s.Title, &s.Locator, &s.Reviewed, &s.ReviewBy} {
		str(c, p)
	}
	c.int(&s.Engines)
}

func (c *codec) decimal(p *quantity.Decimal) {
	coef, places := p.Coef(), p.Places()
	c.signed(&coef)
	c.int(&places)
	if !c.writing {
		if places > quantity.MaxPlaces {
			c.fail()
			return
		}
		*p = quantity.NewDecimal(coef, places)
	}
}

func (c *codec) maybe(has *bool, p *quantity.Decimal) {
	if c.yes(has); *has {
		c.decimal(p)
	}
}

func (c *codec) limits(r *quantity.Range) {
	c.maybe(&r.HasLower, &r.Lower)
	c.maybe(&r.HasUpper, &r.Upper)
}

// list is a count and the elements. While reading, the count is held to what is left, and the slice grows as
// elements are really there.
func list[T any](c *codec, p *[]T, each func(*codec, *T)) {
	n := uint64(len(*p))
	c.uint(&n)
	if c.writing {
		for i := range *p {
			each(c, &(*p)[i])
		}
		return
	}
	if n > uint64(len(c.buf)) {
		c.fail()
		return
	}
	if n > 0 {
		*p = make([]T, 0, min(n, 64))
	}
	for range n {
		var v T
		if each(c, &v); c.err != nil {
			return
		}
		*p = append(*p, v)
	}
}

// pointers is a list of pointers, none of them nil.
func pointers[T any](c *codec, p *[]*T, each func(*codec, *T)) {
	list(c, p, func(c *codec, v **T) {
		if !c.writing {
			*v = new(T)
		}
		each(c, *v)
	})
}

func strs[S ~string](c *codec, p *[]S) { list(c, p, str[S]) }
