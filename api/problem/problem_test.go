package problem_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"endfloat/api/problem"
	"endfloat/api/text"
	"endfloat/service/fault"
	"endfloat/service/note"
)

var english = problem.Voice{Book: text.New(), Lang: "en"}

func TestEveryKindHasOneProblem(t *testing.T) {
	t.Parallel()
	seen := map[fault.Kind]bool{}
	slugs := map[string]bool{}
	for _, c := range problem.Table() {
		if seen[c.Kind] || slugs[c.Slug] || c.Title(english) == "" || c.Detail(english) == "" || c.About(english) == "" {
			t.Errorf("row %+v is doubled or has gaps", c)
		}
		seen[c.Kind], slugs[c.Slug] = true, true
		doc, _ := problem.Of(&fault.Error{Kind: c.Kind, Code: "x"}, "urn:uuid:0", english)
		if doc.Status != c.Status || doc.Type != "/problems/"+c.Slug {
			t.Errorf("kind %d became %+v", c.Kind, doc)
		}
	}
	for k := fault.Internal; k <= fault.Unavailable; k++ {
		if !seen[k] {
			t.Errorf("kind %d has no problem", k)
		}
	}
}

func TestUnnamedErrorsShowNothing(t *testing.T) {
	t.Parallel()
	for _, err := range []error{
		errors.New("dial secret-host:6379"),
		fmt.Errorf("reading: %w", &fault.Error{Kind: fault.Internal, Code: "secret", Detail: note.New("secret")}),
	} {
		doc, f := problem.Of(err, "urn:uuid:0", english)
		if doc.Status != 500 || strings.Contains(fmt.Sprint(doc), "secret") {
			t.Errorf("%v leaked into %+v", err, doc)
		}
		if f.Cause == nil {
			t.Errorf("the cause of %v is not kept for the log", err)
		}
	}
}

func TestAlmostHiddenFaultIsFound(t *testing.T) {
	t.Parallel()
	err := fmt.Errorf("while converting: %w", fault.New(fault.NotFound, "unknown_spec", note.New("absent_spec", note.Str("key", `"x"`), note.Str("address", "/v1/specs"))))
	doc, _ := problem.Of(err, "urn:uuid:0", english)
	if doc.Status != 404 || doc.Code != "unknown_spec" || doc.Detail != `No spec has the key "x". GET /v1/specs lists what there is.` {
		t.Errorf("got %+v", doc)
	}
}
