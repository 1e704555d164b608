package main

import (
	"strings"
	"testing"
)

// messages are what govulncheck writes (its JSON format, protocol v1), cut to what is read.
const messages = `{"config":{"protocol_version":"v1.0.0","db":"file:///db"}}
{"osv":{"id":"GO-1","summary":"one"}}
{"osv":{"id":"GO-2","summary":"two"}}
{"finding":{"osv":"GO-1","fixed_version":"v1.1.0","trace":[{"module":"a.example/a","version":"v1.0.0"}]}}
{"finding":{"osv":"GO-2","fixed_version":"v1.2.0","trace":[{"module":"stdlib","version":"v1.0.0","function":"F"}]}}`

func TestWhatFails(t *testing.T) {
	t.Parallel()
	const called = `{"finding":{"osv":"GO-1","fixed_version":"v1.1.0","trace":[{"module":"a.example/a","version":"v1.0.0","function":"F"}]}}`
	for _, row := range []struct{ name, text, fails string }{
		{"not called, and one of Go itself", messages, ""},
		{"called", messages + called, "GO-1"},
		{"called once of several times", called + messages, "GO-1"},
		{"no database", `{"osv":{"id":"GO-1"}}`, "no database"},
		{"cut off", messages + `{"finding":`, "EOF"},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			found, known, err := read(strings.NewReader(row.text))
			if err == nil {
				err = judge(t.Output(), found, known)
			}
			if (err != nil) != (row.fails != "") || err != nil && !strings.Contains(err.Error(), row.fails) {
				t.Errorf("%v", err)
			}
		})
	}
}
