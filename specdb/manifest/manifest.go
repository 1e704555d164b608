// Package manifest is what a revision of the catalogue is made of: its head and the digests of its families.
//
// It decides how a revision is named: by its content alone, so that the same files make the same name everywhere. It
// refuses to know where the content is kept.
//
//	m := manifest.New("2026-11-01", manifest.PieceOf("", head), []manifest.Piece{manifest.PieceOf("pl-85", family)})
//	m.Name // r-0123456789ab
package manifest

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
	"strings"

	"endfloat/service/catalogue"
	"endfloat/service/spec"
)

// Withdrawn is an earlier revision that should not be used any more.
type Withdrawn struct {
	Revision string
	Reason   spec.Text
}

// Head is what is not of one family.
type Head struct {
	Date      string // of this state of the catalogue, such as 2026-11-01
	Reason    spec.Text
	Defaults  catalogue.Defaults
	Withdrawn []Withdrawn
}

// Piece is a part of a revision by its content: the head or a family.
type Piece struct {
	Key    string // of a family; empty for the head
	Digest string // SHA-256 in hexadecimal
	Size   int    // bytes
}

// PieceOf is content as a piece.
func PieceOf(key string, content []byte) Piece { return Piece{key, Digest(content), len(content)} }

// Is reports whether content is that of the piece.
func (p Piece) Is(content []byte) bool { return len(content) == p.Size && Digest(content) == p.Digest }

// Manifest is a revision by its content.
type Manifest struct {
	Name     string
	Date     string
	Head     Piece
	Families []Piece // by key
}

// New names a revision, by digests alone: sizes follow from them. What a head says about other revisions is no part of
// the name when it is no part of the digest.
func New(date string, head Piece, families []Piece) Manifest {
	m := Manifest{Date: date, Head: head, Families: slices.Clone(families)}
	slices.SortFunc(m.Families, func(a, b Piece) int { return strings.Compare(a.Key, b.Key) })
	sum := sha256.New()
	fmt.Fprintf(sum, "head %s\n", head.Digest)
	for _, e := range m.Families {
		fmt.Fprintf(sum, "family %s %s\n", e.Key, e.Digest)
	}
	m.Name = "r-" + hex.EncodeToString(sum.Sum(nil)[:6])
	return m
}

// Pieces are all of them, the head first.
func (m Manifest) Pieces() []Piece { return append([]Piece{m.Head}, m.Families...) }

// Size is how many bytes the pieces have in all.
func (m Manifest) Size() int64 {
	size := int64(m.Head.Size)
	for _, f := range m.Families {
		size += int64(f.Size)
	}
	return size
}

// Digest is the SHA-256 of content in hexadecimal.
func Digest(content []byte) string {
	sum := sha256.Sum256(content)
	return hex.EncodeToString(sum[:])
}
