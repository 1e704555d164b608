// Package linked writes specs and parts in the vocabulary of schema.org as JSON-LD, for product pages that search
// engines and other machines read.
//
// It decides which property of schema.org says what, and which code of UN/CEFACT Recommendation 20 stands for a unit. It
// refuses to know limits and words: every value comes in as answers show it, and every sentence comes in finished.
//
//	doc := linked.Document(linked.Property(spec, said))
package linked

import (
	"strings"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"

	"endfloat/api/wire"
)

// Context names the vocabulary.
const Context = "https://schema.org"

// Thing is a node in the vocabulary of schema.org: a PropertyValue, a DefinedTerm, a ProductModel, a Product or a
// Dataset, by its type. A field without a value is absent.
type Thing struct {
	Context            string       `json:"@context,omitzero" example:"https://schema.org"`
	Type               string       `json:"@type,omitzero" enums:"PropertyValue,DefinedTerm,ProductModel,Product,Dataset" example:"PropertyValue"`
	ID                 string       `json:"@id,omitzero" example:"https://limits.example/v1/families/pl-85/components/counter-shaft/specs/key-bolt"`
	Graph              []Thing      `json:"@graph,omitzero"`
	Name               string       `json:"name,omitzero" example:"Bolt of the sliding key"`
	Description        string       `json:"description,omitzero" example:"Left-hand thread: tightens anticlockwise, loosens clockwise. LEFT-HAND THREAD (tightens anticlockwise, loosens clockwise): 22–26 N·m"`
	SKU                string       `json:"sku,omitzero" example:"PL-SH-100"`
	PropertyID         string       `json:"propertyID,omitzero" example:"pl-85/counter-shaft/key-bolt"`
	TermCode           string       `json:"termCode,omitzero" example:"left_hand_thread"`
	Value              wire.Decimal `json:"value,omitzero" swaggertype:"number" example:"24"`
	MinValue           wire.Decimal `json:"minValue,omitzero" swaggertype:"number" example:"22"`
	MaxValue           wire.Decimal `json:"maxValue,omitzero" swaggertype:"number" example:"26"`
	UnitCode           string       `json:"unitCode,omitzero" example:"NU"`
	UnitText           string       `json:"unitText,omitzero" example:"N·m"`
	Technique          string       `json:"measurementTechnique,omitzero" example:"cold, dry, stack pushed to one side"`
	Version            string       `json:"version,omitzero" example:"r-5f1c2a9e0b7d"`
	DateModified       string       `json:"dateModified,omitzero" example:"2026-11-01"`
	ValueReference     []Thing      `json:"valueReference,omitzero"`
	AdditionalProperty []Thing      `json:"additionalProperty,omitzero"`
	SubjectOf          []Thing      `json:"subjectOf,omitzero"`
} //@name LinkedData

// Said is what stands around specs in an answer.
type Said struct {
	Base        string // where the service is reached, without a slash at the end; empty: nodes have no address
	Revision    string
	Cautions    []wire.Caution // every one of the answer, the most severe first
	Aim, Wear   string         // names of the aim and the wear limit
	Converted   string         // name of a conversion
	Alternative string         // name of what a variant or mark has instead
	Always      string         // code of the caution that every value has
}

// Model is the datasheet of a component: a ProductModel with its specs.
func Model(href, name string, specs []wire.Spec, said Said) Thing {
	return Thing{Type: "ProductModel", ID: said.address(href), Name: name, AdditionalProperty: Properties(specs, said)}
}

// Part is a Product with a SKU and the specs it takes part in.
func Part(href, sku, name string, specs []wire.Spec, said Said) Thing {
	return Thing{Type: "Product", ID: said.address(href), Name: name, SKU: sku, AdditionalProperty: Properties(specs, said)}
}

// Document is one node as a whole document.
func Document(t Thing) Thing {
	t.Context = Context
	return t
}

// Documents are several nodes as one document.
func Documents(list []Thing) Thing { return Thing{Context: Context, Graph: list} }

// Encode is a document as bytes that may stand inside a script element of a page: nothing in them ends it, whatever a name
// says.
func Encode(t Thing) ([]byte, error) { return json.Marshal(t, jsontext.EscapeForHTML(true)) }

// Property is a spec as a PropertyValue in its published unit. Its cautions come first, as sentences in its description
// and as codes among its references; aim, stages, angle, wear limit and a conversion are references after them. What is
// tightened by torque and angle has no number of its own: neither of the two says when it is tight.
func Property(s wire.Spec, said Said) Thing {
	t := Thing{Type: "PropertyValue", ID: said.address(s.Href), Name: s.Name, PropertyID: s.Key, Technique: s.State,
		MinValue: s.Band.Lower, MaxValue: s.Band.Upper}
	if s.Band.Lower.IsZero() && s.Band.Upper.IsZero() && s.ValueForm != "torque_angle" {
		t.Value = s.Target
	}
	t = t.in(s.Unit)
	var text []string
	for _, c := range said.cautions(s.Cautions) {
		text = append(text, c.Text)
		t.ValueReference = append(t.ValueReference, Thing{Type: "DefinedTerm", TermCode: c.Code, Name: c.Text})
	}
	t.Description = strings.Join(append(text, s.Display.Summary), " ")
	add := func(id, name string, x Thing) {
		if !x.counts() {
			return
		}
		x.Type, x.PropertyID, x.Name = "PropertyValue", id, name
		t.ValueReference = append(t.ValueReference, x)
	}
	add("target", said.Aim, Thing{Value: s.Target}.in(s.Unit))
	for _, st := range s.Stages {
		add("stage", "", Thing{Value: st.Value}.in(s.Unit))
		add("stage", "", Thing{Value: st.Angle}.in(degrees))
	}
	add("angle", "", Thing{Value: s.Angle}.in(degrees))
	add("angle_tolerance", "", Thing{Value: s.AngleTolerance}.in(degrees))
	add("wear_limit", said.Wear, Thing{MinValue: s.WearLimit.Lower, MaxValue: s.WearLimit.Upper}.in(s.Unit))
	if c := s.Converted; c.Unit != "" {
		add("converted", said.Converted, Thing{MinValue: c.Band.Lower, MaxValue: c.Band.Upper, Description: c.Display.Summary}.in(c.Unit))
	}
	for _, a := range s.Alternatives {
		add("alternative", said.Alternative+" "+a.Name, Thing{MinValue: a.Band.Lower, MaxValue: a.Band.Upper, Description: a.Display.Summary}.in(a.Unit))
	}
	t.SubjectOf = []Thing{{Type: "Dataset", Name: strings.TrimSuffix(s.Display.Source+": "+s.Source.Title, ": "), Description: s.Source.Locator,
		Version: said.Revision, DateModified: s.RevisionDate}}
	return t
}

// Properties are several specs.
func Properties(list []wire.Spec, said Said) []Thing {
	things := make([]Thing, 0, len(list))
	for _, s := range list {
		things = append(things, Property(s, said))
	}
	return things
}

const degrees = "°"

func (t Thing) counts() bool {
	return !t.Value.IsZero() || !t.MinValue.IsZero() || !t.MaxValue.IsZero()
}

// in is a node whose numbers are in a unit; without a number it has none.
func (t Thing) in(unit string) Thing {
	if t.counts() {
		t.UnitCode, t.UnitText = Code(unit), unit
	}
	return t
}

func (s Said) address(href string) string {
	if s.Base == "" {
		return ""
	}
	return s.Base + href
}

// cautions are those of a spec in the order of the answer, and the one that every value has.
func (s Said) cautions(codes []string) (list []wire.Caution) {
	for _, c := range s.Cautions {
		mine := c.Code == s.Always
		for _, code := range codes {
			mine = mine || code == c.Code
		}
		if mine {
			list = append(list, c)
		}
	}
	return list
}
