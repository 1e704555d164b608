package catalogue

import (
	"strconv"
	"strings"
	"unicode/utf8"

	"endfloat/api/rim"
	"endfloat/api/wire"
	"endfloat/service/catalogue"
	"endfloat/service/fault"
	"endfloat/service/note"
	"endfloat/service/spec"
)

// Most keys and SKUs of one look-up.
const (
	mostInAddress = 50
	mostInBody    = 500
)

// LookupRequest asks for many specs and parts. What it says about an engine counts for the families that have such a
// variant.
type LookupRequest struct {
	Keys         []string           `json:"keys,omitzero" validate:"max=500" example:"pl-85/counter-shaft/axial-play"`
	SKUs         []string           `json:"skus,omitzero" validate:"max=500" example:"PL-SH-110"`
	UnitSystem   string             `json:"unit_system,omitzero" enums:"metric,imperial" example:"imperial"`
	Variant      string             `json:"variant,omitzero" example:"b"`
	EngineNumber string             `json:"engine_number,omitzero" example:"PLC 7001"`
	Marks        []wire.MarkRequest `json:"marks,omitzero" validate:"max=32"`
} //@name LookupRequest

// LookupList is what was found, in the order asked: keys first.
type LookupList struct {
	Items        []Lookup       `json:"items"`
	Revision     string         `json:"revision" example:"r-5f1c2a9e0b7d"`
	RevisionDate string         `json:"revision_date" example:"2026-11-01"`
	Rules        string         `json:"rules" example:"1"`
	Labels       Labels         `json:"labels"`
	Warnings     []wire.Note    `json:"warnings,omitzero"`
	Cautions     []wire.Caution `json:"cautions"`
} //@name LookupList

// Labels name the facts beside a value, in the language of the answer, for who draws them.
type Labels struct {
	Target    string `json:"target" example:"Aim"`
	WearLimit string `json:"wear_limit" example:"Wear limit"`
	Source    string `json:"source" example:"Source"`
} //@name LookupLabels

// Lookup is one thing asked for. Nothing found is an answer; nearest is what was perhaps meant.
type Lookup struct {
	Asked   string    `json:"asked" example:"pl-85/counter-shaft/axial-play"`
	Found   string    `json:"found" enums:"spec,part,nothing" example:"spec"`
	Spec    wire.Spec `json:"spec,omitzero"`
	Part    PartView  `json:"part,omitzero"`
	Nearest string    `json:"nearest,omitzero" example:"pl-85/counter-shaft/axial-play"`

	Warnings []wire.Note `json:"warnings,omitzero"` // that it is known as something else than it was asked for

	Cautions []string `json:"cautions" example:"circlip_eye_protection"` // every one of the item, the most severe first
} //@name Lookup

// Lookups answers GET /v1/lookups.
//
//	@Summary		Many specs and parts in one go
//	@Description	At most 50 keys, SKUs and components together, separated by commas. A component is answered by its specs, each as an item under the key asked for. What nothing has is answered as found: nothing.
//	@ID				lookUp
//	@Tags			catalogue
//	@Produce		json,application/ld+json,html
//	@Param			key				query		string		false	"keys of specs, separated by commas"
//	@Param			sku				query		string		false	"numbers of parts, separated by commas"
//	@Param			component		query		string		false	"keys of components, separated by commas: every spec of each"
//	@Param			unit			query		string		false	"unit to convert to, for specs in a unit of its kind: mm, um, in, thou, N.m, lbf.ft, …"
//	@Param			unit_system		query		string		false	"instead of unit: convert to the usual units of a system"	Enums(metric, imperial)
//	@Param			variant			query		string		false	"variant, for the families that have it"
//	@Param			engine_number	query		string		false	"engine number as stamped"
//	@Param			mark			query		[]string	false	"component:mark, as stamped on the part"	collectionFormat(multi)
//	@Param			lang			query		string		false	"language of the texts"	Enums(en, de, fr, it, es)
//	@Param			format			query		string		false	"form of the answer"	Enums(json, jsonld, html)
//	@Param			revision		query		string		false	"a catalogue revision that is still held"
//	@Success		200				{object}	LookupList
//	@Header		200				{string}	Link	"As JSON-LD and HTML: the canonical address and its other forms and languages (RFC 8288)"
//	@Success		default			{object}	linked.Thing
//	@Router			/v1/lookups [get]
func (h Handlers) Lookups(r *rim.Request) (rim.Reply, error) {
	unit, err := units(r)
	if err != nil {
		return rim.Reply{}, err
	}
	ask := asked{keys: commas(r.One("key")), skus: commas(r.One("sku")), components: commas(r.One("component"))}
	switch n := ask.count(); {
	case n == 0:
		return rim.Reply{}, rim.BadParameter("key", "missing_parameter", note.New("found_nothing_asked"), note.New("fix_send_key_sku"))
	case n > mostInAddress:
		return rim.Reply{}, rim.BadParameter("key", "too_many", note.New("found_keys_skus_more", note.Str("n", strconv.Itoa(n)), note.Str("most", strconv.Itoa(mostInAddress))),
			note.New("fix_split_them_or_post", note.Str("most", strconv.Itoa(mostInBody))))
	}
	var bad fault.List
	marks := wire.MarksFromQuery(r.Query["mark"], &bad)
	if v, faulty := bad.First(); faulty {
		return rim.Reply{}, rim.BadParameter("mark", "bad_parameter", v.Detail, v.Fix)
	}
	by := narrower{catalogue.Selection{Variant: r.One("variant"), EngineNumber: r.One("engine_number"), Marks: marks}}
	return h.reply(r, h.shownLookups(r, h.lookups(r, ask, by, unit)))
}

// LookupsPost answers POST /v1/lookups.
//
//	@Summary		Many specs and parts in one go, as a body
//	@Description	At most 500 keys and SKUs together. Nothing is stored.
//	@ID				lookUpMany
//	@Tags			catalogue
//	@Accept			json
//	@Produce		json
//	@Param			body		body		LookupRequest	true	"what to look up"
//	@Param			lang		query		string			false	"language of the texts"	Enums(en, de, fr, it, es)
//	@Param			format		query		string			false	"form of the answer"	Enums(json)
//	@Param			revision	query		string			false	"a catalogue revision that is still held"
//	@Success		200			{object}	LookupList
//	@Router			/v1/lookups [post]
func (h Handlers) LookupsPost(r *rim.Request) (rim.Reply, error) {
	var body LookupRequest
	if err := r.Decode(&body); err != nil {
		return rim.Reply{}, err
	}
	var bad fault.List
	by, unit := body.check(&bad)
	if err := bad.Err(); err != nil {
		return rim.Reply{}, err
	}
	return rim.JSON(h.lookups(r, asked{keys: body.Keys, skus: body.SKUs}, by, unit)), nil
}

func (b *LookupRequest) check(bad *fault.List) (narrower, wire.UnitChoice) {
	var root wire.At
	n := len(b.Keys) + len(b.SKUs)
	if n == 0 {
		bad.Add(root.Key("keys").Fault("nothing_asked", note.New("found_nothing_asked"), note.New("fix_send_keys_skus")))
	}
	wire.Limit(n, mostInBody, root.Key("keys"), bad)
	for _, list := range []struct {
		name  string
		words []string
	}{{"keys", b.Keys}, {"skus", b.SKUs}} {
		for i, s := range list.words {
			if s == "" || utf8.RuneCountInString(s) > longestKey {
				bad.Add(root.Key(list.name).Index(i).Fault("bad_key", note.New("found_not_a_key"), note.New("fix_send_characters", note.Str("least", "1"), note.Str("most", strconv.Itoa(longestKey)))))
			}
		}
	}
	word, _ := wire.Word(b.UnitSystem, root.Key("unit_system"), bad, wire.Systems()...)
	wire.CheckSelection(b.Variant, b.EngineNumber, b.Marks, root, bad)
	return narrower{wire.ToSelection(b.Variant, b.EngineNumber, b.Marks, catalogue.Selection{})}, wire.System(word)
}

const (
	longestKey  = 200 // of a key that is looked up, in characters
	mostNearest = 10  // things not found for which the nearest is sought
)

// commas splits a list; spaces around its words and empty words do not count.
func commas(s string) (words []string) {
	for w := range strings.SplitSeq(s, ",") {
		if w = strings.TrimSpace(w); w != "" {
			words = append(words, w)
		}
	}
	return words
}

// narrower is what is said about an engine whose family is not named.
type narrower struct{ sel catalogue.Selection }

// of is what counts for one spec: a variant that its family does not have says nothing about it.
func (n narrower) of(rev *catalogue.Revision, key spec.Key) catalogue.Selection {
	f, ok := rev.FamilyOf(key)
	if !ok {
		return catalogue.Selection{}
	}
	sel := n.sel
	if !f.HasVariant(sel.Variant) {
		sel.Variant = ""
	}
	sel, _ = rev.Narrow(f, sel)
	return sel
}
