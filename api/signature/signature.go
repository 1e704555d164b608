// Package signature signs a payload and checks one that was signed: JSON Web Signatures in their compact form
// (RFC 7515) with EdDSA over Ed25519 (RFC 8037) and nothing else.
//
// It decides which keys are trusted, those that were given to it and no other. What a token says about its own key
// (jwk, jku, x5c, x5u) is never looked at. It refuses to know what is signed. A payload that comes again is signed to the
// same token on the same day, since Ed25519 needs no random number and the day of signing stands in the header, outside
// the payload.
//
//	keys, err := signature.Parse(pem)
//	token, err := keys.Sign(payload, "2026-11-01")
//	opened, err := keys.Open(token)
package signature

import (
	"crypto"
	"crypto/ed25519"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"errors"
	"strings"

	jose "github.com/go-jose/go-jose/v4"

	"endfloat/api/compact"
)

// dayHeader is the header parameter that holds the day of signing; it is private in the sense of RFC 7515, section 4.3.
const dayHeader = "signed_on"

// longest is the most bytes of a token that is looked at.
const longest = 4 << 20

// Errors of Open and Sign.
var (
	// ErrMalformed is a token that is no compact JWS, or one that is signed with something other than EdDSA.
	ErrMalformed = errors.New("no compact JWS signed with EdDSA")
	// ErrUnknownKey is a token whose key is none of ours.
	ErrUnknownKey = errors.New("the key is not known")
	// ErrAltered is a token that was changed after it was signed.
	ErrAltered = errors.New("the signature does not fit")
	// ErrNoKey says that there is nothing to sign with.
	ErrNoKey = errors.New("there is no private key")
)

// Keys are the key that signs and all that are trusted. The zero value signs nothing and trusts nobody. Keys are
// immutable and safe for concurrent use.
type Keys struct {
	signing ed25519.PrivateKey
	kid     string
	trusted []jose.JSONWebKey // the one that signs first, then the retired ones; public parts alone
}

// Opened is a token whose signature fits.
type Opened struct {
	Payload  []byte
	KeyID    string
	SignedOn string // the day of signing; empty where the token does not say
}

// CanSign reports whether there is a private key.
func (k Keys) CanSign() bool { return k.signing != nil }

// ID is the name of the key that signs: its thumbprint (RFC 7638). It is empty without one.
func (k Keys) ID() string { return k.kid }

// Set is the public keys as a JWK set (RFC 7517), the one that signs first. An empty set has an empty list.
func (k Keys) Set() jose.JSONWebKeySet {
	return jose.JSONWebKeySet{Keys: append([]jose.JSONWebKey{}, k.trusted...)}
}

// Private is the key that signs, nil without one, for what is signed in another form than a token.
func (k Keys) Private() ed25519.PrivateKey { return k.signing }

// Public are the keys that are trusted, the one that signs first.
func (k Keys) Public() []ed25519.PublicKey {
	var all []ed25519.PublicKey
	for _, t := range k.trusted {
		if public, ok := t.Key.(ed25519.PublicKey); ok {
			all = append(all, public)
		}
	}
	return all
}

// Token is a JWS in its compact form: letters of base64url and two dots (RFC 7515, section 7.1). It is never changed.
type Token []byte

// MarshalText gives the token out as it is.
func (t Token) MarshalText() ([]byte, error) { return t, nil }

// MemberIf is the member of an object that holds the token, where there is one. No letter of it is special in JSON.
func (t Token) MemberIf(o *compact.Object, key string) {
	if t != nil {
		o.Put(append(append(append(o.At(key), '"'), t...), '"'))
	}
}

// Sign is the compact JWS of a payload. day stands in the protected header. Errors: ErrNoKey. The token is put together
// here, in the memory that it stays in: the library that opens tokens would copy a long payload six times. A test holds
// one against the other.
func (k Keys) Sign(payload []byte, day string) (Token, error) {
	if !k.CanSign() {
		return nil, ErrNoKey
	}
	head := compact.Open(nil)
	head.Text("alg", string(jose.EdDSA))
	head.Text("kid", k.kid)
	head.TextIf(dayHeader, day)
	protected := head.Close()
	encoding := base64.RawURLEncoding
	b := make([]byte, 0, encoding.EncodedLen(len(protected))+encoding.EncodedLen(len(payload))+encoding.EncodedLen(ed25519.SignatureSize)+2)
	b = append(encoding.AppendEncode(b, protected), '.')
	b = encoding.AppendEncode(b, payload)
	sum := ed25519.Sign(k.signing, b)
	return encoding.AppendEncode(append(b, '.'), sum), nil
}

// Open checks a token and gives out its payload. Errors: ErrMalformed, ErrUnknownKey, ErrAltered.
func (k Keys) Open(token string) (Opened, error) {
	if len(token) > longest || strings.Count(token, ".") != 2 || !strict(token) {
		return Opened{}, ErrMalformed
	}
	signed, err := jose.ParseSignedCompact(token, []jose.SignatureAlgorithm{jose.EdDSA})
	if err != nil || len(signed.Signatures) != 1 {
		return Opened{}, ErrMalformed
	}
	head := signed.Signatures[0].Protected
	key, known := k.find(head.KeyID)
	if !known {
		return Opened{KeyID: head.KeyID}, ErrUnknownKey
	}
	payload, err := signed.Verify(key.Key)
	if err != nil {
		return Opened{KeyID: head.KeyID}, ErrAltered
	}
	day, _ := head.ExtraHeaders[dayHeader].(string)
	return Opened{Payload: payload, KeyID: head.KeyID, SignedOn: day}, nil
}

// strict reports whether every part is base64url in its one canonical form (RFC 4648, sections 3.5 and 5), so that a
// signed payload has one token and no other text passes for it.
func strict(token string) bool {
	for part := range strings.SplitSeq(token, ".") {
		if strings.ContainsAny(part, "\r\n") {
			return false
		}
		if _, err := base64.RawURLEncoding.Strict().DecodeString(part); err != nil || part == "" {
			return false
		}
	}
	return true
}

func (k Keys) find(kid string) (jose.JSONWebKey, bool) {
	for _, t := range k.trusted {
		if kid != "" && t.KeyID == kid {
			return t, true
		}
	}
	return jose.JSONWebKey{}, false
}

// Digest is the SHA-256 of a payload in hexadecimal digits: short enough for paper.
func Digest(payload []byte) string {
	sum := sha256.Sum256(payload)
	return hex.EncodeToString(sum[:])
}

// thumbprint is the name of a key by RFC 7638.
func thumbprint(k jose.JSONWebKey) (string, error) {
	sum, err := k.Thumbprint(crypto.SHA256)
	if err != nil {
		return "", err
	}
	return base64.RawURLEncoding.EncodeToString(sum), nil
}
