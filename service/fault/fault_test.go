package fault_test

import (
	"errors"
	"strconv"
	"strings"
	"testing"

	"endfloat/service/fault"
	"endfloat/service/note"
)

func TestListKeepsTheFirstHundredAndCountsTheRest(t *testing.T) {
	t.Parallel()
	var l fault.List
	if l.Err() != nil || l.Len() != 0 {
		t.Fatal("an empty list is no error")
	}
	if _, ok := l.First(); ok {
		t.Fatal("an empty list has no first")
	}
	for i := range fault.MaxListed + 20 {
		l.Add(fault.Violation{Code: "c" + strconv.Itoa(i)})
	}
	var e *fault.Error
	if !errors.As(l.Err(), &e) || e.Kind != fault.Invalid || len(e.Violations) != fault.MaxListed || e.Omitted != 20 || l.Len() != fault.MaxListed+20 {
		t.Fatalf("%+v", e)
	}
	if first, ok := l.First(); !ok || first.Code != "c0" || e.Violations[99].Code != "c99" {
		t.Errorf("order: %+v", first)
	}
}

func TestCauseIsKeptAndNeverShown(t *testing.T) {
	t.Parallel()
	cause := errors.New("dial tcp 10.0.0.7:6379: secret")
	e := fault.New(fault.NotFound, "unknown_spec", note.New("found_no_spec_key", note.Str("key", `"x"`)))
	e.Cause = cause
	if !errors.Is(e, cause) || e.Error() != `unknown_spec: found_no_spec_key key="x"` {
		t.Errorf("%v", e)
	}
	if (&fault.Error{}).Kind != fault.Internal {
		t.Error("an error that nobody named is internal")
	}
}

func TestErrorNamesEveryPlace(t *testing.T) {
	t.Parallel()
	e := &fault.Error{Kind: fault.Invalid, Code: "invalid_values", Violations: []fault.Violation{
		{Code: "a", At: fault.Place{Pointer: "/checks/0"}}, {Code: "b", At: fault.Place{Parameter: "unit"}}, {Code: "c", At: fault.Place{Header: "Accept"}},
		{Code: "d", At: fault.Place{Row: 3, Column: "lower"}}, {Code: "e", At: fault.Place{Root: true}}}}
	const want = "invalid_values; a at /checks/0; b at parameter unit; c at header Accept; d at column lower; e at the document"
	if e.Error() != want {
		t.Errorf("%s", e.Error())
	}
}

func TestQuoteIsShortAndHarmless(t *testing.T) {
	t.Parallel()
	forty := strings.Repeat("µ", 40)
	for text, want := range map[string]string{"": `""`, "a": `"a"`, "a\"\n\x00": `"a\"\n\x00"`, forty: `"` + forty + `"`, forty + "x": `"` + forty + `…"`, "\xff": `"\xff"`} {
		if got := fault.Quote(text); got != want {
			t.Errorf("%q is %s, want %s", text, got, want)
		}
	}
}

// RFC 6901, section 5.
func TestPointer(t *testing.T) {
	t.Parallel()
	for want, tokens := range map[string][]string{"": nil, "/foo/0": {"foo", "0"}, "/": {""}, "/a~1b": {"a/b"}, "/m~0n": {"m~n"}, "/~01": {"~1"}, "/ ": {" "}, "/µ": {"µ"}} {
		if got := fault.Pointer(tokens...); got != want {
			t.Errorf("%q is %q, want %q", tokens, got, want)
		}
	}
}
