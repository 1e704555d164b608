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
	"endfloat/service/note"
)

// MediaType is the media type of the body, which must be one of accepted and in UTF-8. A request without the header
// is taken as the first. Faults: wrong_media_type, wrong_charset, encoded_body.
func MediaType(h http.Header, accepted ...string) (string, error) {
	if enc := h.Get("Content-Encoding"); enc != "" && enc != "identity" {
		return "", mediaFault("encoded_body", "Content-Encoding", note.New("found_bodies_read_they_not"), note.New("fix_send_body_without_content"))
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
			return "", mediaFault("wrong_charset", "Content-Type", note.New("found_only_utf_8_read"), note.New("fix_send_body_utf_8"))
		}
		if slices.Contains(accepted, media) {
			return media, nil
		}
	}
	fix := note.New("fix_send_content_type", note.Str("list", strings.Join(accepted, ", ")))
	if len(accepted) == 2 {
		fix = note.New("fix_send_content_type_or", note.Str("one", accepted[0]), note.Str("other", accepted[1]))
	}
	return "", mediaFault("wrong_media_type", "Content-Type", note.New("found_address_not_read_bodies"), fix)
}

func mediaFault(code, header string, detail, fix note.Note) error {
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
		return shape("null_value", note.New("found_null"), note.New("fix_leave_key_out_nothing"), at)
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

func shape(code string, detail, fix note.Note, pointer string) error {
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
		detail := note.New("found_type", note.Str("type", kindName(sem.JSONKind)))
		return shape("wrong_type", detail, note.New("fix_send_type", note.Str("wanted", wantedType(sem.GoType))), at)
	}
	e := fault.New(fault.Malformed, "bad_json", note.New("found_body_no_json_can"))
	e.Cause = err
	return e
}

func syntaxFault(syn *jsontext.SyntacticError, body []byte) error {
	at := string(syn.JSONPointer)
	switch {
	case errors.Is(syn.Err, jsontext.ErrDuplicateName):
		return shape("duplicate_key", note.New("found_key_stands_twice_object"), note.New("fix_send_each_key_once"), at)
	case len(bytes.TrimSpace(body)) == 0:
		return shape("empty_body", note.New("found_body_empty"), note.New("fix_send_json_object"), "")
	case trailing(body):
		return shape("trailing_data", note.New("found_text_after_json_value"), note.New("fix_send_one_json_value"), "")
	}
	if foreign(body) {
		return shape("bad_json", note.New("found_only_utf_8_read"), note.New("fix_send_body_utf_8"), at)
	}
	return shape("bad_json", note.New("found_no_json_rfc_8259", note.Str("at", strconv.FormatInt(syn.ByteOffset, 10))),
		note.New("fix_numbers_decimal_point"), at)
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

// kindName is the word for what stands in a body.
func kindName(k jsontext.Kind) string {
	switch k {
	case '"':
		return "string"
	case '0':
		return "number"
	case '{':
		return "object"
	case '[':
		return "array"
	case 't', 'f':
		return "bool"
	case 'n':
		return "null"
	}
	return "wrong"
}

// wantedType is the word for what a field takes.
func wantedType(t reflect.Type) string {
	if t == nil {
		return "unknown"
	}
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	if t.Name() == "Number" {
		return "json_number"
	}
	switch t.Kind() {
	case reflect.String:
		return "string"
	case reflect.Bool:
		return "bool"
	case reflect.Slice, reflect.Array:
		return "array"
	case reflect.Struct:
		return "object"
	case reflect.Int, reflect.Int64, reflect.Uint, reflect.Float64:
		return "json_number"
	}
	return "unknown"
}

func unknownKey(sem *json.SemanticError, at string) error {
	key := at[strings.LastIndexByte(at, '/')+1:]
	keys := knownKeys(sem.GoType)
	for _, k := range keys {
		if strings.EqualFold(k, key) || strings.EqualFold(strings.ReplaceAll(k, "_", ""), strings.ReplaceAll(key, "-", "")) {
			return shape("unknown_key", note.New("found_keys_written_lower_case"), note.New("fix_write_it_as", note.Str("key", k)), at)
		}
	}
	fix := note.New("fix_leave_out")
	if len(keys) > 0 {
		fix = note.New("fix_leave_out_keys", note.Str("list", strings.Join(keys, ", ")))
	}
	return shape("unknown_key", note.New("found_unknown_json_key"), fix, at)
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
