package catalogue

import (
	"strconv"

	"endfloat/api/rim"
	"endfloat/api/wire"
	"endfloat/service/catalogue"
	"endfloat/service/note"
	"endfloat/service/spec"
)

// Identification is what an engine number turned out to be.
type Identification struct {
	EngineNumber string         `json:"engine_number" example:"PLC 7001"`
	Normalised   string         `json:"normalised" example:"PLC7001"`
	Prefix       string         `json:"prefix,omitzero" example:"PLC"`
	Serial       string         `json:"serial,omitzero" example:"7001"`
	Outcome      string         `json:"outcome" enums:"match,ambiguous,none,not_covered" example:"match"`
	Why          []wire.Note    `json:"why"`
	Candidates   []Candidate    `json:"candidates"`
	Revision     string         `json:"revision" example:"r-5f1c2a9e0b7d"`
	RevisionDate string         `json:"revision_date" example:"2026-11-01"`
	Rules        string         `json:"rules" example:"1"`
	Warnings     []wire.Note    `json:"warnings,omitzero"`
	Cautions     []wire.Caution `json:"cautions"`
} //@name Identification

// Candidate is a variant that the number may mean, with the reason. What it answers to later calls are family,
// variant and the revision.
type Candidate struct {
	Family     string    `json:"family" example:"pl-85"`
	FamilyName string    `json:"family_name" example:"PL-85"`
	Href       string    `json:"href" example:"/v1/families/pl-85"`
	Variant    string    `json:"variant" example:"b"`
	Name       string    `json:"name,omitzero" example:"Second run"`
	Feature    string    `json:"feature,omitzero" example:"eight studs on the fan cowl"`
	Number     string    `json:"number" example:"PLC 7001"`
	Why        wire.Note `json:"why"`
} //@name Candidate

// Identify answers GET /v1/identifications.
//
//	@Summary		Which engine a number belongs to
//	@Description	The longest known prefix goes first. A number in a gap is not covered and never moved to the nearest run; characters that look alike make candidates, never a match.
//	@ID				identifyEngine
//	@Tags			catalogue
//	@Produce		json
//	@Param			engine_number	query		string	true	"engine number as stamped"
//	@Param			lang			query		string	false	"language of the texts"	Enums(en, de, fr, it, es)
//	@Param			format			query		string	false	"form of the answer"	Enums(json)
//	@Param			revision		query		string	false	"a catalogue revision that is still held"
//	@Success		200				{object}	Identification
//	@Router			/v1/identifications [get]
func (h Handlers) Identify(r *rim.Request) (rim.Reply, error) {
	number := r.One("engine_number")
	if number == "" {
		return rim.Reply{}, rim.BadParameter("engine_number", "missing_parameter", note.New("found_no_number_identify"), note.New("fix_send_engine_number_stamped"))
	}
	id := r.Revision.Identify(number)
	answer := Identification{EngineNumber: id.Raw, Normalised: id.Normalised, Prefix: id.Prefix, Outcome: string(id.Outcome),
		Why: wire.FromNotes(id.Why, r.Lang, h.book), Candidates: make([]Candidate, 0, len(id.Candidates)),
		Revision: r.Revision.Name, RevisionDate: r.Revision.Date, Rules: spec.Rules, Warnings: h.said(r, nil)}
	if id.Prefix != "" {
		answer.Serial = strconv.FormatUint(id.Serial, 10)
	}
	var codes wire.Codes
	for _, c := range id.Candidates {
		answer.Candidates = append(answer.Candidates, h.fromCandidate(c, r.Lang))
		if hasDemo(c.Family) {
			codes.Add(catalogue.DemoValues)
		}
	}
	answer.Cautions = h.resolved(&codes, r)
	return rim.JSON(answer), nil
}

func (h Handlers) fromCandidate(c catalogue.Candidate, lang string) Candidate {
	return Candidate{Family: c.Family.Key, FamilyName: c.Family.Name.In(lang), Href: familyHref(c.Family.Key), Variant: c.Variant.ID,
		Name: c.Variant.Name.In(lang), Feature: c.Variant.Feature.In(lang), Number: c.Number, Why: wire.FromNote(c.Why, lang, h.book)}
}
