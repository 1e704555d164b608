package rim

import (
	"bytes"
	"errors"
	"io"
	"mime"
	"net/http"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"

	"endfloat/service/fault"
)

// MediaType is the media type of the body, which must be one of accepted and in UTF-8. A request without the header
// is taken as the first. Faults: wrong_media_type, wrong_charset, encoded_body.
func MediaType(h http.Header, accepted ...string) (string, error) {
	if enc := h.Get("Content-Encoding"); enc != "" && enc != "identity" {
		return "", mediaFault("encoded_body", "Content-Encoding", "bodies are read as they are and not decompressed", "send the body without Content-Encoding")
	}
	text := h.Get("Content-Type")
	if text == "" {
		return accepted[0], nil
	}
	for _, a := range accepted {
		if text == a { // as most write it
			return a, nil
		}
	}
	media, params, err := mime.ParseMediaType(text)
	if err == nil {
		if cs := params["charset"]; cs != "" && !strings.EqualFold(cs, "utf-8") {
			return "", mediaFault("wrong_charset", "Content-Type", "only UTF-8 is read", "send the body in UTF-8")
		}
		if slices.Contains(accepted, media) {
			return media, nil
		}
	}
	return "", mediaFault("wrong_media_type", "Content-Type", "this address does not read bodies of that media type",
		"send Content-Type: "+strings.Join(accepted, " or "))
}

func mediaFault(code, header, detail, fix string) error {
	return &fault.Error{Kind: fault.MediaType, Code: code,
		Violations: []fault.Violation{{Code: code, Detail: detail, Fix: fix, At: fault.Place{Header: header}}}}
}

// Decode reads one JSON value into v and refuses all that the OpenAPI file does not allow: unknown, misspelt and
// repeated keys, values of the wrong JSON type, null, and text after the value. The fault names the first of them. A list
// that is far too long is a fault of kind Invalid and is not read. A byte order mark in front is passed over (RFC 8259,
// section 8.1).
func Decode(body []byte, v any) error {
	body = bytes.TrimPrefix(body, []byte("\ufeff"))
	if at, found := findNull(body); found {
		return shape("null_value", "null is no value", "leave the key out where there is nothing to say", at)
	}
	if err := overlong(body); err != nil {
		return err
	}
	err := json.Unmarshal(body, v, json.RejectUnknownMembers(true))
	if err == nil {
		return nil
	}
	return decodeFault(err, body)
}

func shape(code, detail, fix, pointer string) error {
	return &fault.Error{Kind: fault.Malformed, Code: code,
		Violations: []fault.Violation{{Code: code, Detail: detail, Fix: fix, At: fault.Place{Pointer: pointer, Root: pointer == ""}}}}
}

func decodeFault(err error, body []byte) error {
	if syn, ok := errors.AsType[*jsontext.SyntacticError](err); ok {
		return syntaxFault(syn, body)
	}
	if sem, ok := errors.AsType[*json.SemanticError](err); ok {
		at := string(sem.JSONPointer)
		if errors.Is(sem.Err, json.ErrUnknownName) {
			return unknownKey(sem, at)
		}
		detail := "this is " + kindName(sem.JSONKind)
		return shape("wrong_type", detail, "send "+wantedType(sem.GoType), at)
	}
	e := fault.New(fault.Malformed, "bad_json", "The body is no JSON that can be read here.")
	e.Cause = err
	return e
}

func syntaxFault(syn *jsontext.SyntacticError, body []byte) error {
	at := string(syn.JSONPointer)
	switch {
	case errors.Is(syn.Err, jsontext.ErrDuplicateName):
		return shape("duplicate_key", "this key stands twice in its object", "send each key once", at)
	case len(bytes.TrimSpace(body)) == 0:
		return shape("empty_body", "the body is empty", "send a JSON object", "")
	case trailing(body):
		return shape("trailing_data", "there is text after the JSON value", "send one JSON value and nothing after it", "")
	}
	if foreign(body) {
		return shape("bad_json", "only UTF-8 is read", "send the body in UTF-8", at)
	}
	return shape("bad_json", "this is no JSON (RFC 8259), at byte "+strconv.FormatInt(syn.ByteOffset, 10),
		"numbers have a decimal point and no plus sign, strings stand in double quotes, and NaN is no number", at)
}

// foreign reports whether a body that is no JSON is in another encoding: JSON in UTF-16 or UTF-32 has a zero among its
// first two bytes (RFC 4627, section 3), unless a mark stands there.
func foreign(body []byte) bool {
	return !utf8.Valid(body) || bytes.IndexByte(body[:min(2, len(body))], 0) >= 0
}

// trailing reports whether body starts with one whole JSON value and goes on after it.
func trailing(body []byte) bool {
	dec := jsontext.NewDecoder(bytes.NewReader(body))
	if _, err := dec.ReadValue(); err != nil {
		return false
	}
	_, err := dec.ReadToken()
	return !errors.Is(err, io.EOF)
}

// findNull finds the first null outside a string. Most bodies have no null at all.
func findNull(body []byte) (pointer string, found bool) {
	if !bytes.Contains(body, []byte("null")) {
		return "", false
	}
	for i := 0; i < len(body); i++ {
		switch body[i] {
		case '"':
			for i++; i < len(body) && body[i] != '"'; i++ {
				if body[i] == '\\' {
					i++
				}
			}
		case 'n':
			if bytes.HasPrefix(body[i:], []byte("null")) {
				return pointerOfNull(body)
			}
		}
	}
	return "", false
}

func pointerOfNull(body []byte) (string, bool) {
	dec := jsontext.NewDecoder(bytes.NewReader(body))
	for {
		tok, err := dec.ReadToken()
		if err != nil {
			return "", false // something else is wrong before it
		}
		if tok.Kind() == 'n' {
			return string(dec.StackPointer()), true
		}
	}
}

func kindName(k jsontext.Kind) string {
	switch k {
	case '"':
		return "a string"
	case '0':
		return "a number"
	case '{':
		return "an object"
	case '[':
		return "an array"
	case 't', 'f':
		return "true or false"
	case 'n':
		return "null"
	}
	return "of the wrong JSON type"
}

func wantedType(t reflect.Type) string {
	if t == nil {
		return "the JSON type that the OpenAPI file names"
	}
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	if t.Name() == "Number" {
		return "a JSON number"
	}
	switch t.Kind() {
	case reflect.String:
		return "a string"
	case reflect.Bool:
		return "true or false"
	case reflect.Slice, reflect.Array:
		return "an array"
	case reflect.Struct:
		return "an object"
	case reflect.Int, reflect.Int64, reflect.Uint, reflect.Float64:
		return "a JSON number"
	}
	return "the JSON type that the OpenAPI file names"
}

func unknownKey(sem *json.SemanticError, at string) error {
	key := at[strings.LastIndexByte(at, '/')+1:]
	keys := knownKeys(sem.GoType)
	for _, k := range keys {
		if strings.EqualFold(k, key) || strings.EqualFold(strings.ReplaceAll(k, "_", ""), strings.ReplaceAll(key, "-", "")) {
			return shape("unknown_key", "keys are written in lower case with underscores", "write it as "+k, at)
		}
	}
	fix := "leave it out"
	if len(keys) > 0 {
		fix += "; the keys here are " + strings.Join(keys, ", ")
	}
	return shape("unknown_key", "this key is not known here", fix, at)
}

// knownKeys lists the JSON keys of a struct.
func knownKeys(t reflect.Type) []string {
	for t != nil && (t.Kind() == reflect.Pointer || t.Kind() == reflect.Slice) {
		t = t.Elem()
	}
	if t == nil || t.Kind() != reflect.Struct {
		return nil
	}
	var keys []string
	for _, f := range reflect.VisibleFields(t) {
		name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
		if name != "" && name != "-" && f.IsExported() {
			keys = append(keys, name)
		}
	}
	return keys
}
