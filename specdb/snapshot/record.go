package snapshot

import (
	"errors"
	"fmt"

	"endfloat/specdb/manifest"
)

// Bounds of a revision.
const (
	maxIndex  = 256 << 20 // bytes of a record
	maxFamily = 64 << 20  // bytes of one family
	maxHead   = 8 << 20
	maxWhole  = 4 << 30 // bytes of all families
)

// Errors of a record that another version of the program wrote.
var (
	ErrOlder = errors.New("it is written in an older schema")
	ErrNewer = errors.New("it is written in a newer schema")
)

// Record is a revision without its content: the pieces that it is made of. The zero value is none.
type Record struct {
	manifest.Manifest
	Withdrawn []manifest.Withdrawn
}

func (r *Record) walk(c *codec) {
	str(c, &r.Name)
	str(c, &r.Date)
	str(c, &r.Head.Digest)
	c.int(&r.Head.Size)
	list(c, &r.Withdrawn, withdrawn)
	list(c, &r.Families, func(c *codec, p *manifest.Piece) {
		str(c, &p.Key)
		str(c, &p.Digest)
		c.int(&p.Size)
	})
}

// NewRecord is the record of a revision.
func NewRecord(content Content) Record { return Record{content.Manifest, content.Withdrawn} }

// EncodeRecord is a record as bytes; the same revision always becomes the same ones.
func EncodeRecord(r Record) []byte { return encode(r.walk) }

// DecodeRecord reads what EncodeRecord wrote and holds it to its bounds and its name. Errors: ErrOlder, ErrNewer, any
// other content.
func DecodeRecord(blob []byte) (Record, error) {
	var r Record
	switch {
	case len(blob) == 0 || len(blob) > maxIndex:
		return Record{}, errBroken
	case blob[0] < version:
		return Record{}, ErrOlder
	case blob[0] > version:
		return Record{}, ErrNewer
	}
	if err := decode(blob, r.walk); err != nil {
		return Record{}, err
	}
	if err := r.check(); err != nil {
		return Record{}, err
	}
	return r, nil
}

func (r Record) check() error {
	if r.Head.Size > maxHead || !isDigest(r.Head.Digest) {
		return errBroken
	}
	for i, f := range r.Families {
		if f.Size > maxFamily || !isDigest(f.Digest) || i > 0 && r.Families[i-1].Key >= f.Key {
			return errBroken
		}
	}
	if r.Size() > maxWhole {
		return errors.New("it is too large")
	}
	if m := manifest.New(r.Date, r.Head, r.Families); m.Name != r.Name {
		return fmt.Errorf("the content makes %s, the file says %s", m.Name, clip(r.Name))
	}
	return nil
}

func isDigest(s string) bool {
	for i := range len(s) {
		if c := s[i]; (c < '0' || c > '9') && (c < 'a' || c > 'f') {
			return false
		}
	}
	return len(s) == 64
}
