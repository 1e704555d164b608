package sheets

import (
	"github.com/go-json-experiment/json"

	"endfloat/api/rim"
)

// KeySet is the public keys of signed sheets (RFC 7517), the one that signs first, then the retired ones.
type KeySet struct {
	Keys []PublicKey `json:"keys"`
} //@name KeySet

// PublicKey is an Ed25519 key (RFC 8037). Its kid is its thumbprint (RFC 7638).
type PublicKey struct {
	Type      string `json:"kty" enums:"OKP" example:"OKP"`
	Curve     string `json:"crv" enums:"Ed25519" example:"Ed25519"`
	X         string `json:"x" example:"11qYAYKxCrfVS_7TyWQHOg7hcvPapiMlrwIaaPcHURo"`
	KeyID     string `json:"kid" example:"kPrK_qmxVWaYVA9wwBF6Iuo3vVzz7TxHCTwXBygrS4k"`
	Use       string `json:"use" enums:"sig" example:"sig"`
	Algorithm string `json:"alg" enums:"EdDSA" example:"EdDSA"`
} //@name PublicKey

// Keys answers GET /.well-known/jwks.json.
//
//	@Summary		The public keys of signed sheets
//	@Description	A JWK set (RFC 7517) of Ed25519 keys, each named by its thumbprint (RFC 7638). The first signs where this service signs; retired keys stay, so that old sheets can be checked. Empty where there is none.
//	@ID				getKeys
//	@Tags			sheets
//	@Produce		json,application/jwk-set+json
//	@Success		200	{object}	KeySet
//	@Router			/.well-known/jwks.json [get]
func (h Handlers) Keys(*rim.Request) (rim.Reply, error) {
	set := KeySet{Keys: []PublicKey{}}
	for _, k := range h.keys.Set().Keys {
		text, err := k.MarshalJSON()
		if err != nil {
			return rim.Reply{}, err
		}
		var key PublicKey
		if err := json.Unmarshal(text, &key); err != nil {
			return rim.Reply{}, err
		}
		set.Keys = append(set.Keys, key)
	}
	return rim.JSON(set), nil
}
