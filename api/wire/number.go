package wire

import (
	"errors"
	"strconv"
	"strings"

	"github.com/go-json-experiment/json/jsontext"

	"endfloat/service/fault"
	"endfloat/service/note"
	"endfloat/service/quantity"
)

// Number is a number of a request, kept exactly as it was sent. A string in its place is remembered as a value fault,
// so that "0,15" can be answered with the remedy; any other JSON type is a fault of shape. The zero value is absent.
type Number struct {
	raw    *string // of a number that could not be taken
	coef   int64
	places uint8
	state  numberState
}

type numberState uint8

const (
	absent numberState = iota
	good
	quoted
	outOfRange
)

// Num is a Number that is present, for tests and conversions.
func Num(d quantity.Decimal) Number {
	return Number{coef: d.Coef(), places: uint8(d.Places()), state: good} // at most quantity.MaxPlaces
}

func unusable(why numberState, raw string) Number { return Number{raw: &raw, state: why} }

func (n Number) decimal() quantity.Decimal { return quantity.NewDecimal(n.coef, int(n.places)) }

func (n Number) text() string {
	if n.raw == nil {
		return ""
	}
	return *n.raw
}

// NumberFromText reads a number of a CSV cell or query parameter. An empty text is absent.
func NumberFromText(s string) Number {
	if s == "" {
		return Number{}
	}
	d, err := quantity.Parse(s)
	switch {
	case err == nil:
		return Num(d)
	case errors.Is(err, quantity.ErrRange):
		return unusable(outOfRange, strings.Clone(s))
	}
	return unusable(quoted, strings.Clone(s))
}

// IsZero reports whether the number is absent.
func (n Number) IsZero() bool { return n.state == absent }

// Good reports whether the number was sent as one and can be taken.
func (n Number) Good() bool { return n.state == good }

// Present is the opposite of IsZero.
func (n Number) Present() bool { return n.state != absent }

// UnmarshalJSONFrom reads a number token, or a string to be faulted later.
func (n *Number) UnmarshalJSONFrom(dec *jsontext.Decoder) error {
	switch dec.PeekKind() {
	case '0':
		v, err := dec.ReadValue()
		if err != nil {
			return err
		}
		*n = NumberFromText(string(v))
		return nil
	case '"':
		tok, err := dec.ReadToken()
		if err != nil {
			return err
		}
		*n = unusable(quoted, tok.String())
		return nil
	case 'n', 't', 'f', '{', '[':
		return errWrongType
	}
	_, err := dec.ReadToken() // no JSON at all: the decoder says what is wrong
	return err
}

// MarshalJSONTo writes the number as it was sent.
func (n Number) MarshalJSONTo(enc *jsontext.Encoder) error {
	if n.state != good {
		return enc.WriteToken(jsontext.String(n.text()))
	}
	return enc.WriteValue(n.decimal().Append(enc.AvailableBuffer()))
}

var errWrongType = errors.New("not a number")

// Decimal is the exact number with at most places fractional digits. A fault is added to bad and ok is false where
// there is none; an absent number is faulted too.
func (n Number) Decimal(at At, places int, bad *fault.List) (d quantity.Decimal, ok bool) {
	switch n.state {
	case good:
		d = n.decimal()
		if d.Places() > places {
			bad.Add(at.Fault("too_many_decimals", note.New("found_more_fractional_digits", note.Str("value", d.String()), note.Str("places", strconv.Itoa(places))),
				note.New("fix_round_yourself_most_fractional", note.Str("places", strconv.Itoa(places)))))
			return quantity.Decimal{}, false
		}
		return d, true
	case absent:
		bad.Add(at.Fault("missing_value", note.New("found_number_missing"), note.New("fix_send_type", note.Str("wanted", "json_number"))))
	case outOfRange:
		bad.Add(at.Fault("number_out_of_range", note.New("found_out_of_range", note.Str("value", fault.Short(n.text()))), note.New("fix_send_number_written_out", note.Str("digits", "18"))))
	case quoted:
		bad.Add(at.notNumber(n.text()))
	}
	return d, false
}

func (a At) notNumber(raw string) fault.Violation {
	if quantity.DecimalComma(raw) {
		return a.Fault("decimal_comma", note.New("found_written_decimal_comma", note.Str("value", fault.Quote(raw))),
			note.New("fix_send_json_number_decimal_point_without"))
	}
	if _, err := quantity.Parse(raw); err == nil {
		return a.Fault("number_as_text", note.New("found_text", note.Str("value", fault.Quote(raw))), note.New("fix_send_number_without_quotes"))
	}
	return a.Fault("not_a_number", note.New("found_not_a_number", note.Str("value", fault.Quote(raw))), note.New("fix_send_json_number_decimal_point"))
}

// Length is the number as a length in unit u.
func (n Number) Length(at At, u quantity.Unit, bad *fault.List) (quantity.Length, bool) {
	d, ok := n.Decimal(at, u.MaxPlaces(), bad)
	if !ok {
		return quantity.Length{}, false
	}
	l, err := quantity.LengthOf(d, u)
	if err != nil {
		bad.Add(at.Fault("number_out_of_range", note.New("found_out_of_range", note.Str("value", d.String()+" "+string(u))), note.New("fix_length_at_most", note.Str("most", "10"))))
		return l, false
	}
	return l, true
}

// Float is the number as a float: for uncertainties and shares, which are estimates.
func (n Number) Float(at At, bad *fault.List) (float64, bool) {
	d, ok := n.Decimal(at, quantity.MaxPlaces, bad)
	return d.Float64(), ok
}

// Decimal is an exact number of an answer, written with the digits it has. The zero value is absent: give such fields
// the option omitzero.
type Decimal struct {
	dec quantity.Decimal
	set bool
}

// Dec is d, present.
func Dec(d quantity.Decimal) Decimal { return Decimal{d, true} }

// DecIf is d, or absent where there is no value.
func DecIf(d quantity.Decimal, has bool) Decimal {
	if !has {
		return Decimal{}
	}
	return Decimal{d, true}
}

// Estimate is an estimate of an answer rounded half-even to places, surplus zeros dropped, so that two processors
// print the same.
func Estimate(f float64, places int) Decimal {
	var buf [32]byte
	d, err := quantity.Parse(string(strconv.AppendFloat(buf[:0], f, 'f', places, 64)))
	if err != nil { // more digits than a decimal holds
		d = quantity.FromFloat(f).Print(0, places)
	}
	return Dec(d.Trimmed(0))
}

// IsZero reports whether the number is absent. It is called through a pointer so that writing an answer need not copy
// every number to the heap.
func (d *Decimal) IsZero() bool { return !d.set }

// Quantity is the number; it is 0 where it is absent.
func (d Decimal) Quantity() quantity.Decimal { return d.dec }

// MarshalJSONTo writes the JSON number.
func (d Decimal) MarshalJSONTo(enc *jsontext.Encoder) error {
	return enc.WriteValue(d.dec.Append(enc.AvailableBuffer()))
}

// UnmarshalJSONFrom reads a JSON number: for clients of the answers.
func (d *Decimal) UnmarshalJSONFrom(dec *jsontext.Decoder) error {
	v, err := dec.ReadValue()
	if err != nil {
		return err
	}
	q, err := quantity.Parse(string(v))
	*d = Dec(q)
	return err
}
