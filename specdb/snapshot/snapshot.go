// Package snapshot is the compiled form of a catalogue: fast to read, small, and the form in which one is published.
//
// It decides how content becomes bytes: the same content always becomes the same ones, and their digest names it. It
// reads nothing that does not carry the digests it promises, and refuses to know where files lie.
//
//	blob := snapshot.EncodeFamily(family)
//	family, err := snapshot.DecodeFamily(blob)
package snapshot

import (
	"fmt"

	"endfloat/service/catalogue"
	"endfloat/specdb/manifest"
)

// version goes first in every blob. A change of the form of any value changes it.
const version = 1

// EncodeFamily is the content of a family; its digest is manifest.Digest of it. Comments and the order of keys in the
// file that it came from are no content.
func EncodeFamily(f *catalogue.Family) []byte {
	return encode(func(c *codec) { c.family(f) })
}

// DecodeFamily reads what EncodeFamily wrote, digest included. Errors: any other content, or content after the end.
func DecodeFamily(blob []byte) (*catalogue.Family, error) {
	f := &catalogue.Family{}
	if err := decode(blob, func(c *codec) { c.family(f) }); err != nil {
		return nil, fmt.Errorf("family: %w", err)
	}
	f.Digest = manifest.Digest(blob)
	return f, nil
}

// EncodeHead is the content of a head, without the list of withdrawn revisions, which is no part of any name.
func EncodeHead(h manifest.Head) []byte {
	return encode(func(c *codec) { c.head(&h) })
}

// DecodeHead reads what EncodeHead wrote.
func DecodeHead(blob []byte) (manifest.Head, error) {
	var h manifest.Head
	if err := decode(blob, func(c *codec) { c.head(&h) }); err != nil {
		return manifest.Head{}, fmt.Errorf("head: %w", err)
	}
	return h, nil
}

func encode(walk func(*codec)) []byte {
	c := newWriter()
	c.buf = append(c.buf, version)
	walk(c)
	return c.buf
}

func decode(blob []byte, walk func(*codec)) error {
	if len(blob) == 0 || blob[0] != version {
		return errBroken
	}
	c := newReader(blob[1:])
	if walk(c); c.err == nil && len(c.buf) > 0 {
		c.fail()
	}
	return c.err
}
