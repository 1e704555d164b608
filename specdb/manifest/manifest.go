// Package manifest is what a revision of the catalogue is made of: its head and the digests of its families.
//
// It decides how a revision is named: by its content alone, so that the same files make the same name everywhere. It
// refuses to know where the content is kept.
//
//	m := manifest.New(head, headDigest, []manifest.Entry{{Key: "pl-85", Digest: "…"}})
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

// Entry is a family by its content.
type Entry struct {
	Key    string
	Digest string // SHA-256 in hexadecimal
}

// Manifest is a revision by its content.
type Manifest struct {
	Name     string
	Date     string
	Head     string  // digest of the head
	Families []Entry // by key
}

// New names a revision. What a head says about other revisions is no part of the name when it is no part of the digest.
func New(date, head string, families []Entry) Manifest {
	m := Manifest{Date: date, Head: head, Families: slices.Clone(families)}
	slices.SortFunc(m.Families, func(a, b Entry) int { return strings.Compare(a.Key, b.Key) })
	sum := sha256.New()
	fmt.Fprintf(sum, "head %s\n", head)
	for _, e := range m.Families {
		fmt.Fprintf(sum, "family %s %s\n", e.Key, e.Digest)
	}
	m.Name = "r-" + hex.EncodeToString(sum.Sum(nil)[:6])
	return m
}

// Digest is the SHA-256 of content in hexadecimal.
func Digest(content []byte) string {
	sum := sha256.Sum256(content)
	return hex.EncodeToString(sum[:])
}
