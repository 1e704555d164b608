package problem_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"endfloat/api/problem"
	"endfloat/service/fault"
)

func TestEveryKindHasOneProblem(t *testing.T) {
	t.Parallel()
	seen := map[fault.Kind]bool{}
	slugs := map[string]bool{}
	for _, c := range problem.Table() {
		if seen[c.Kind] || slugs[c.Slug] || c.Title == "" || c.Detail == "" || c.About == "" {
			t.Errorf("row %+v is doubled or has gaps", c)
		}
		seen[c.Kind], slugs[c.Slug] = true, true
		doc, _ := problem.Of(&fault.Error{Kind: c.Kind, Code: "x"}, "urn:uuid:0")
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
		fmt.Errorf("reading: %w", &fault.Error{Kind: fault.Internal, Code: "secret", Detail: "secret"}),
	} {
		doc, f := problem.Of(err, "urn:uuid:0")
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
	err := fmt.Errorf("while converting: %w", fault.New(fault.NotFound, "unknown_spec", "no spec has that key"))
	doc, _ := problem.Of(err, "urn:uuid:0")
	if doc.Status != 404 || doc.Code != "unknown_spec" {
		t.Errorf("got %+v", doc)
	}
}
