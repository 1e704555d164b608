package rim_test

import (
	"errors"
	"net/http"
	"strings"
	"testing"

	"endfloat/api/rim"
	"endfloat/api/text"
	"endfloat/api/wire"
	"endfloat/service/fault"
)

// body is a request like those of the service.
type body struct {
	Unit     string                `json:"unit"`
	Readings []wire.ReadingRequest `json:"readings"`
	Band     wire.RangeRequest     `json:"band"`
	Critical bool                  `json:"critical"`
	Count    int                   `json:"count"`
}

var book = text.New()

func faultOf(t *testing.T, err error) *fault.Error {
	t.Helper()
	var f *fault.Error
	if !errors.As(err, &f) {
		t.Fatalf("%v is no fault", err)
	}
	return f
}

func TestDecodeRefusesWhatIsNotInItsShape(t *testing.T) {
	t.Parallel()
	for _, row := range []struct{ name, body, code, pointer, fix string }{
		{"no JSON", `{unit:"mm"}`, "bad_json", "", "double quotes"},
		{"NaN", `{"readings":[{"value":NaN}]}`, "bad_json", "/readings/0/value", "NaN"},
		{"plus sign", `{"count":+1}`, "bad_json", "/count", "plus sign"},
		{"single quotes", `{'unit':'mm'}`, "bad_json", "", "double quotes"},
		{"ends too early", `{"unit":"mm"`, "bad_json", "", ""},
		{"empty", " \n", "empty_body", "", "object"},
		{"text after the value", `{"unit":"mm"} {}`, "trailing_data", "", "nothing after"},
		{"comma after the value", `{"unit":"mm"},`, "trailing_data", "", "nothing after"},
		{"unknown key", `{"colour":"red"}`, "unknown_key", "/colour", "unit, readings"},
		{"unknown key deep inside", `{"readings":[{"value":1},{"valu":1}]}`, "unknown_key", "/readings/1/valu", "value"},
		{"key in another case", `{"Unit":"mm"}`, "unknown_key", "/Unit", "unit"},
		{"key in camel case", `{"readings":[{"runningTorque":1}]}`, "unknown_key", "/readings/0/runningTorque", "running_torque"},
		{"key twice", `{"unit":"mm","unit":"mm"}`, "duplicate_key", "/unit", "once"},
		{"key twice through an escape", `{"unit":"mm","\u0075nit":"mm"}`, "duplicate_key", "/unit", "once"},
		{"key with a slash is escaped", `{"a/b":1}`, "unknown_key", "/a~1b", ""},
		{"null", `{"unit":null}`, "null_value", "/unit", "leave"},
		{"null in a list", `{"readings":[null]}`, "null_value", "/readings/0", "leave"},
		{"null alone", `null`, "null_value", "", "leave"},
		{"number for a string", `{"unit":1}`, "wrong_type", "/unit", "a string"},
		{"string for a list", `{"readings":"0.15"}`, "wrong_type", "/readings", "an array"},
		{"list for an object", `{"band":[1,2]}`, "wrong_type", "/band", "an object"},
		{"list for everything", `[]`, "wrong_type", "", "an object"},
		{"object for a number", `{"readings":[{"value":{}}]}`, "wrong_type", "/readings/0/value", "a JSON number"},
		{"true for a number", `{"readings":[{"value":true}]}`, "wrong_type", "/readings/0/value", "a JSON number"},
		{"string for a truth", `{"critical":"yes"}`, "wrong_type", "/critical", "true or false"},
		{"fraction for a whole number", `{"count":1.5}`, "wrong_type", "/count", "a JSON number"},
		{"ten thousand brackets", strings.Repeat("[", 10_001), "", "", ""},
		{"ten thousand brackets inside", `{"readings":` + strings.Repeat("[", 10_001), "", "", ""},
		{"UTF-16", "\xff\xfe{\x00}\x00", "bad_json", "", "in UTF-8"},
		{"UTF-16 without a mark", "{\x00}\x00", "bad_json", "", "in UTF-8"},
		{"UTF-16, the other way round", "\x00{\x00}", "bad_json", "", "in UTF-8"},
		{"UTF-32", "\x00\x00\xfe\xff\x00\x00\x00{\x00\x00\x00}", "bad_json", "", "in UTF-8"},
		{"invalid UTF-8 in a string", "{\"unit\":\"m\xffm\"}", "bad_json", "/unit", "in UTF-8"},
		{"two byte order marks", "\ufeff\ufeff{}", "bad_json", "", "double quotes"},
		{"a byte order mark alone", "\ufeff", "empty_body", "", "object"},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			var v body
			f := faultOf(t, rim.Decode([]byte(row.body), &v))
			if f.Kind != fault.Malformed || len(f.Violations) != 1 {
				t.Fatalf("%+v", f)
			}
			got := f.Violations[0]
			if row.code != "" && (f.Code != row.code || got.Code != row.code || got.At.Pointer != row.pointer || !strings.Contains(book.Note("en", got.Fix), row.fix)) {
				t.Errorf("%+v", got)
			}
			if got.At.Pointer == "" && !got.At.Root {
				t.Errorf("nowhere: %+v", got)
			}
			if said := book.Note("en", got.Detail) + book.Note("en", got.Fix); strings.Contains(said, "Go ") || strings.Contains(said, "wire.") {
				t.Errorf("names of the program leak: %+v", got)
			}
		})
	}
}

func TestDecodeTakesWhatIsInItsShape(t *testing.T) {
	t.Parallel()
	var v body
	if err := rim.Decode([]byte(` {"unit":"null","readings":[{"value":0.10},{"value":"0,15"}],"band":{"lower":1e-2}} `), &v); err != nil {
		t.Fatal(err)
	}
	if v.Unit != "null" || len(v.Readings) != 2 || !v.Readings[1].Value.Present() {
		t.Errorf("%+v", v)
	}
}

func TestMediaTypeOfABody(t *testing.T) {
	t.Parallel()
	for _, row := range []struct{ name, header, value, media, code string }{
		{"none is the first", "Content-Type", "", "application/json", ""},
		{"JSON", "Content-Type", "application/json", "application/json", ""},
		{"case and charset", "Content-Type", `Application/JSON; charset="UTF-8"`, "application/json", ""},
		{"CSV", "Content-Type", "text/csv; header=present", "text/csv", ""},
		{"another charset", "Content-Type", "application/json; charset=utf-16", "", "wrong_charset"},
		{"another type", "Content-Type", "application/x-www-form-urlencoded", "", "wrong_media_type"},
		{"no type at all", "Content-Type", "json", "", "wrong_media_type"},
		{"broken", "Content-Type", "application/json; =", "", "wrong_media_type"},
		{"compressed", "Content-Encoding", "gzip", "", "encoded_body"},
		{"identity", "Content-Encoding", "identity", "application/json", ""},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			got, err := rim.MediaType(http.Header{row.header: {row.value}}, rim.MediaJSON, rim.MediaCSV)
			if row.code == "" && (err != nil || got != row.media) {
				t.Errorf("%q %v", got, err)
			}
			if row.code != "" {
				if f := faultOf(t, err); f.Code != row.code || f.Kind != fault.MediaType || f.Violations[0].At.Header != row.header {
					t.Errorf("%+v", f)
				}
			}
		})
	}
}

func FuzzDecode(f *testing.F) {
	for _, s := range []string{`{}`, `{"unit":"mm","readings":[{"value":0.15,"blades":[{"size":0.1,"feel":"free"}]}]}`, `{"readings":[{"value":"0,15"}]}`,
		`null`, `{"unit":null}`, `[[[[`, `{"a/b~":1}`, "\xff\xfe", `{"count":1e400}`, `{"readings":[{"value":1e400}]}`, `{"unit":"\ud800"}`, `nul`, `"null`} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		var v body
		err := rim.Decode(b, &v)
		if err == nil {
			return
		}
		if e := faultOf(t, err); e.Kind != fault.Malformed || e.Code == "" || len(e.Violations) != 1 || e.Violations[0].Detail.Code == "" {
			t.Errorf("%q: %+v", b, e)
		}
	})
}

func TestDecodePassesOverAByteOrderMark(t *testing.T) {
	t.Parallel()
	var v body
	if err := rim.Decode([]byte("\ufeff{\"unit\":\"mm\"}"), &v); err != nil || v.Unit != "mm" {
		t.Errorf("%q %v", v.Unit, err)
	}
}
