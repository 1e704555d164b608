package signature

import (
	"bytes"
	"crypto/ed25519"
	"crypto/x509"
	"encoding/json"
	"encoding/pem"
	"errors"
	"fmt"
	"os"
	"strings"

	jose "github.com/go-jose/go-jose/v4"
)

// mostKeys is the most keys of one file.
const mostKeys = 100

// Load reads keys from a setting: the keys themselves where the text is PEM or JSON, else the file of that name. An
// empty setting is no key and no error. The text of an error never holds a private key.
func Load(setting string) (Keys, error) {
	text := strings.TrimSpace(setting)
	if text == "" {
		return Keys{}, nil
	}
	if strings.HasPrefix(text, "-----BEGIN") || strings.HasPrefix(text, "{") {
		return Parse([]byte(text))
	}
	file, err := os.ReadFile(text) // whoever runs the service names the file
	if err != nil {
		return Keys{}, err
	}
	return Parse(file)
}

// Parse reads keys: PEM blocks (PRIVATE KEY after RFC 8410, then PUBLIC KEY blocks of retired keys), a JWK, or a JWK set.
// The first private key signs; all others only check what was signed with them, as does a private key that is retired.
// Errors: no key, a key that is not Ed25519, a key whose kid is not its thumbprint, a key that stands twice.
func Parse(text []byte) (Keys, error) {
	text = bytes.TrimSpace(text)
	found, err := fromPEM(text)
	if bytes.HasPrefix(text, []byte("{")) {
		found, err = fromJSON(text)
	}
	if err != nil {
		return Keys{}, err
	}
	if len(found) == 0 || len(found) > mostKeys {
		return Keys{}, errors.New("want from 1 to 100 Ed25519 keys, as PEM or JWK")
	}
	return keysOf(found)
}

func keysOf(found []any) (Keys, error) {
	var k Keys
	for _, f := range found {
		private, signs := f.(ed25519.PrivateKey)
		public, ok := f.(ed25519.PublicKey)
		if signs {
			public, ok = private.Public().(ed25519.PublicKey)
		}
		if !ok {
			return Keys{}, fmt.Errorf("a key is of type %T; want Ed25519", f)
		}
		jwk := jose.JSONWebKey{Key: public, Algorithm: string(jose.EdDSA), Use: "sig"}
		kid, err := thumbprint(jwk)
		if err != nil {
			return Keys{}, err
		}
		jwk.KeyID = kid
		if _, twice := k.find(kid); twice {
			return Keys{}, errors.New("the key " + kid + " stands twice")
		}
		if signs && k.signing == nil {
			k.signing, k.kid = private, kid
			k.trusted = append([]jose.JSONWebKey{jwk}, k.trusted...)
			continue
		}
		k.trusted = append(k.trusted, jwk)
	}
	return k, nil
}

func fromPEM(text []byte) (found []any, err error) {
	for len(found) <= mostKeys {
		block, rest := pem.Decode(text)
		if block == nil {
			return found, nil
		}
		var key any
		switch block.Type {
		case "PRIVATE KEY":
			key, err = x509.ParsePKCS8PrivateKey(block.Bytes)
		case "PUBLIC KEY":
			key, err = x509.ParsePKIXPublicKey(block.Bytes)
		default:
			err = errors.New("a PEM block is a " + block.Type + "; want PRIVATE KEY or PUBLIC KEY")
		}
		if err != nil {
			return nil, err
		}
		found, text = append(found, key), rest
	}
	return found, nil
}

func fromJSON(text []byte) (found []any, err error) {
	var set jose.JSONWebKeySet
	if err := json.Unmarshal(text, &set); err != nil {
		return nil, errors.New("the JWK set cannot be read")
	}
	if set.Keys == nil {
		var one jose.JSONWebKey
		if err := json.Unmarshal(text, &one); err != nil {
			return nil, errors.New("the JWK cannot be read")
		}
		set.Keys = []jose.JSONWebKey{one}
	}
	for _, k := range set.Keys {
		kid, err := thumbprint(k)
		if err != nil {
			return nil, errors.New("a JWK is no Ed25519 key")
		}
		if k.KeyID != "" && k.KeyID != kid {
			return nil, errors.New("a JWK is named " + k.KeyID + "; its thumbprint is " + kid)
		}
		found = append(found, k.Key)
	}
	return found, nil
}
