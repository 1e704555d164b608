// Package publication seals a revision for the way from a publisher to those who serve it.
//
// It decides what a signature covers (the whole record, and by its digests every byte of the content), whose signature
// is believed, and how a copy on disk is written so that it is whole or not there. It refuses to know how a sealed
// revision travels.
//
//	sealed := publication.Seal(record, private)
//	record, err := publication.Open(sealed, trusted)
package publication

import (
	"bytes"
	"crypto/ed25519"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"errors"
	"fmt"
	"strings"

	"endfloat/specdb/manifest"
	"endfloat/specdb/snapshot"
	"endfloat/specdb/store"
)

// MaxSealed is the most bytes of a sealed record: over half a million families.
const MaxSealed = 64 << 20

// magic begins every sealed record; the last byte is the version of the seal.
const magic = "endfloat\x00\x02"

// purpose goes before what is signed, so that a signature made for anything else never fits.
const purpose = "endfloat published revision 1\n"

// idSize is how many bytes name a key.
const idSize = 8

// Errors of Open.
var (
	// ErrBroken is no sealed record, or a part of one.
	ErrBroken = errors.New("the record is broken")
	// ErrUnsigned is a record without a signature where one is demanded.
	ErrUnsigned = errors.New("it is not signed, and a signature is demanded")
	// ErrUntrusted is a record signed with a key that is none of the demanded ones.
	ErrUntrusted = errors.New("it is signed with a key that is not trusted")
	// ErrAltered is a record whose signature does not fit.
	ErrAltered = errors.New("the signature does not fit")
)

// Seal is a record as it is published, signed where there is a private key; nil signs nothing. The same record and key
// always make the same bytes.
func Seal(record snapshot.Record, private ed25519.PrivateKey) []byte {
	text := snapshot.EncodeRecord(record)
	var b bytes.Buffer
	b.WriteString(magic)
	b.Write(binary.BigEndian.AppendUint32(nil, uint32(len(text))))
	b.Write(text)
	if private != nil {
		public, _ := private.Public().(ed25519.PublicKey) // it is no other
		b.Write(keyID(public))
		b.Write(ed25519.Sign(private, message(text)))
	}
	return b.Bytes()
}

func message(text []byte) []byte { return append([]byte(purpose), text...) }

func keyID(public ed25519.PublicKey) []byte {
	sum := sha256.Sum256(public)
	return sum[:idSize]
}

// Open checks a sealed record. Where trusted is not empty it has to be signed with one of these keys, and nothing of it
// is read before that is certain. Errors: ErrBroken, ErrUnsigned, ErrUntrusted, ErrAltered, those of
// snapshot.DecodeRecord.
func Open(sealed []byte, trusted []ed25519.PublicKey) (snapshot.Record, error) {
	text, signature, err := split(sealed)
	if err != nil {
		return snapshot.Record{}, err
	}
	if len(trusted) > 0 {
		if err := verify(text, signature, trusted); err != nil {
			return snapshot.Record{}, err
		}
	}
	return snapshot.DecodeRecord(text)
}

func split(sealed []byte) (text, signature []byte, err error) {
	rest, ok := bytes.CutPrefix(sealed, []byte(magic))
	if !ok || len(rest) < 4 || len(sealed) > MaxSealed {
		return nil, nil, ErrBroken
	}
	n := uint64(binary.BigEndian.Uint32(rest))
	if rest = rest[4:]; n > uint64(len(rest)) {
		return nil, nil, ErrBroken
	}
	text, signature = rest[:n], rest[n:]
	if len(signature) != 0 && len(signature) != idSize+ed25519.SignatureSize {
		return nil, nil, ErrBroken
	}
	return text, signature, nil
}

func verify(text, signature []byte, trusted []ed25519.PublicKey) error {
	if len(signature) == 0 {
		return ErrUnsigned
	}
	for _, key := range trusted {
		if bytes.Equal(keyID(key), signature[:idSize]) {
			if !ed25519.Verify(key, message(text), signature[idSize:]) {
				return ErrAltered
			}
			return nil
		}
	}
	return ErrUntrusted
}

// SignedWith names the key of a sealed record: the first bytes of the SHA-256 of the public key, in hexadecimal. It is
// empty where there is no signature. It says nothing about whether the signature fits.
func SignedWith(sealed []byte) string {
	_, signature, err := split(sealed)
	if err != nil || len(signature) == 0 {
		return ""
	}
	return hex.EncodeToString(signature[:idSize])
}

// Ref is a sealed record by its content: the same revision signed otherwise, or with other revisions withdrawn, is
// another one. The zero value is none.
type Ref struct {
	Name   string // of the revision
	Digest string // SHA-256 of the sealed record, in hexadecimal
}

// RefOf names a sealed record.
func RefOf(name string, sealed []byte) Ref { return Ref{name, manifest.Digest(sealed)} }

// IsZero reports whether it names nothing.
func (r Ref) IsZero() bool { return r == Ref{} }

// String is the form that ParseRef reads; that of the zero value is empty.
func (r Ref) String() string {
	if r.IsZero() {
		return ""
	}
	return r.Name + "/" + r.Digest
}

// ParseRef reads what String wrote. Errors: any other text.
func ParseRef(text string) (Ref, error) {
	if text == "" {
		return Ref{}, nil
	}
	name, digest, ok := strings.Cut(text, "/")
	if raw, err := hex.DecodeString(digest); !ok || err != nil || len(raw) != sha256.Size || strings.ToLower(digest) != digest || !store.IsName(name) {
		return Ref{}, fmt.Errorf("%.80q names no revision", text)
	}
	return Ref{name, digest}, nil
}
