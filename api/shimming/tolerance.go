package shimming

import (
	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"

	"endfloat/api/wire"
	"endfloat/service/fault"
	"endfloat/service/note"
	"endfloat/service/quantity"
)

// ToleranceRequest is how far a thickness may lie from what is stated: both ends relative to it, a missing one 0. A bare
// number stands for ± that number.
type ToleranceRequest struct {
	Lower wire.Number `json:"lower,omitzero" swaggertype:"number" example:"-0.02"`
	Upper wire.Number `json:"upper,omitzero" swaggertype:"number" example:"0"`

	plusMinus wire.Number
} //@name ShimTolerance

// ends is the tolerance as an object has it.
type ends struct {
	Lower wire.Number `json:"lower,omitzero"`
	Upper wire.Number `json:"upper,omitzero"`
}

// IsZero reports whether no tolerance was sent.
func (t ToleranceRequest) IsZero() bool {
	return !t.Lower.Present() && !t.Upper.Present() && !t.plusMinus.Present()
}

// UnmarshalJSONFrom reads an object of two ends, or a number for ±.
func (t *ToleranceRequest) UnmarshalJSONFrom(dec *jsontext.Decoder) error {
	if k := dec.PeekKind(); k == '0' || k == '"' {
		return t.plusMinus.UnmarshalJSONFrom(dec)
	}
	var e ends
	err := json.UnmarshalDecode(dec, &e)
	t.Lower, t.Upper = e.Lower, e.Upper
	return err
}

// read is the tolerance in unit u.
func (t *ToleranceRequest) read(u quantity.Unit, at wire.At, bad *fault.List) (r quantity.Range, has bool) {
	if t.IsZero() {
		return r, false
	}
	if t.plusMinus.Present() {
		d, ok := t.plusMinus.In(u, at, bad)
		if ok && d.Sign() < 0 {
			bad.Add(at.Fault("negative", note.New("found_tolerance_negative_sides"), note.New("fix_send_zero_or_more_or_ends")))
		}
		return quantity.Between(d.Neg(), d), ok
	}
	r.HasLower, r.HasUpper = true, true
	if t.Lower.Present() {
		r.Lower, _ = t.Lower.In(u, at.Key("lower"), bad)
	}
	if t.Upper.Present() {
		r.Upper, _ = t.Upper.In(u, at.Key("upper"), bad)
	}
	if r.Lower.Cmp(r.Upper) > 0 {
		bad.Add(at.Fault("lower_over_upper", note.New("found_lower_end_over_upper", note.Str("lower", r.Lower.String()), note.Str("upper", r.Upper.String())), note.New("fix_exchange_them")))
	}
	return r, true
}
