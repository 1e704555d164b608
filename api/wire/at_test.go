package wire_test

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"endfloat/api/wire"
	"endfloat/service/catalogue"
	"endfloat/service/fault"
	"endfloat/service/measure"
	"endfloat/service/quantity"
)

// faults are the codes with their places, as code@place.
func faults(bad *fault.List) []string {
	var e *fault.Error
	if !errors.As(bad.Err(), &e) {
		return nil
	}
	var all []string
	for _, v := range e.Violations {
		all = append(all, v.Code+"@"+v.At.String())
	}
	return all
}

func TestPlacesOfEveryForm(t *testing.T) {
	t.Parallel()
	for at, want := range map[wire.At]fault.Place{
		"":                                      {Root: true},
		wire.At("").Key("a/b").Index(2):         {Pointer: "/a~1b/2"},
		wire.Query("unit").Key("x").Index(1):    {Parameter: "unit"},
		wire.Cell(7, "lower").Key("x").Index(1): {Row: 7, Column: "lower"},
	} {
		if d := cmp.Diff(want, at.Place()); d != "" {
			t.Errorf("%q: %s", at, d)
		}
	}
}

// The OpenAPI file counts characters, and so do the sentences: 64 letters of two bytes each are 64.
func TestLengthsAreCountedInCharacters(t *testing.T) {
	t.Parallel()
	most, more := strings.Repeat("µ", wire.MaxName), strings.Repeat("µ", wire.MaxName+1)
	check := func(text string, bad *fault.List) {
		wire.Fits(text, wire.MaxName, bad, "/a", "b", "c")
		wire.CheckSelection(text, text, []wire.MarkRequest{{Component: text, Mark: text}}, "", bad)
		(&wire.InstrumentRequest{ID: text, Kind: text}).ToInstrument(quantity.Millimetre, "/instrument", bad)
		wire.Readings([]wire.ReadingRequest{{Category: text, Position: text}}, quantity.Millimetre, "/readings", bad)
		(&wire.CallerSpecRequest{Kind: "category", Key: text, Allowed: []string{"a"}}).ToSpec("/spec", bad)
	}
	var good, bad fault.List
	if check(most, &good); good.Len() > 0 {
		t.Errorf("64 characters: %v", faults(&good))
	}
	check(more, &bad)
	want := []string{"too_long@/a/b/c", "too_long@/variant", "too_long@/engine_number", "bad_mark@/marks/0", "too_long@/instrument/id",
		"too_long@/instrument/kind", "too_long@/readings/0/category", "too_long@/readings/0/position"}
	if d := cmp.Diff(want, faults(&bad)); d != "" {
		t.Error(d)
	}
}

func TestCodesStandOnce(t *testing.T) {
	t.Parallel()
	var codes wire.Codes
	codes.Add("b", "a")
	codes.Add()
	codes.Add("a", "c", "c")
	if d := cmp.Diff(wire.Codes{"b", "a", "c"}, codes); d != "" {
		t.Error(d)
	}
}

func TestARowSaysMoreThanTheWholeRequest(t *testing.T) {
	t.Parallel()
	whole := catalogue.Selection{Variant: "a", EngineNumber: "X 1", Marks: []catalogue.Mark{{Component: "shaft", Mark: "K1"}, {Component: "crank", Mark: "C"}}}
	for _, row := range []struct {
		name, variant, number string
		marks                 []wire.MarkRequest
		want                  catalogue.Selection
	}{
		{"nothing", "", "", nil, whole},
		{"a variant drops the number too", "b", "", nil, catalogue.Selection{Variant: "b", Marks: whole.Marks}},
		{"a number drops the variant too", "", "Y 2", nil, catalogue.Selection{EngineNumber: "Y 2", Marks: whole.Marks}},
		{"a mark stands for its component alone", "", "", []wire.MarkRequest{{Component: "shaft", Mark: "K2"}},
			catalogue.Selection{Variant: "a", EngineNumber: "X 1", Marks: []catalogue.Mark{{Component: "shaft", Mark: "K2"}, whole.Marks[1]}}},
	} {
		if d := cmp.Diff(row.want, wire.ToSelection(row.variant, row.number, row.marks, whole)); d != "" {
			t.Errorf("%s: %s", row.name, d)
		}
	}
}

func TestWordsAreAnswered(t *testing.T) {
	t.Parallel()
	var bad fault.List
	for _, word := range []measure.Feel{"", measure.Free, measure.Drag} {
		if got, ok := wire.Word(word, "/feel", &bad, measure.Free, measure.Drag); !ok || got != word {
			t.Errorf("%q: %q %v", word, got, ok)
		}
	}
	if got, ok := wire.Word(measure.Feel("Free"), "/feel", &bad, measure.Free, measure.Drag); ok || got != "" || !slices.Equal(faults(&bad), []string{"unknown_word@/feel"}) {
		t.Errorf("%q %v %v", got, ok, faults(&bad))
	}
}
