package catalogue

import (
	"endfloat/api/rim"
	"endfloat/api/wire"
	"endfloat/service/catalogue"
	"endfloat/service/spec"
)

// Revision is one state of the catalogue.
type Revision struct {
	Revision     string           `json:"revision" example:"r-5f1c2a9e0b7d"`
	RevisionDate string           `json:"revision_date" example:"2026-11-01"`
	Rules        string           `json:"rules" example:"1"`
	Reason       string           `json:"reason,omitzero" example:"exhaust clearance tightened"`
	Current      bool             `json:"current" example:"true"`
	Held         []string         `json:"held" example:"r-5f1c2a9e0b7d"`
	Families     []RevisionFamily `json:"families"`
	Specs        int              `json:"specs" example:"135"`
	Parts        int              `json:"parts" example:"60"`
	Policy       RevisionPolicy   `json:"policy"`
	Warnings     []wire.Note      `json:"warnings,omitzero"`
	Cautions     []wire.Caution   `json:"cautions"`
} //@name Revision

// RevisionFamily is a family with the digest of its content: it changes when anything in the family does.
type RevisionFamily struct {
	Key    string `json:"key" example:"pl-85"`
	Href   string `json:"href" example:"/v1/families/pl-85"`
	Digest string `json:"digest,omitzero" example:"sha256:5f1c2a9e0b7d"`
} //@name RevisionFamily

// RevisionPolicy is the strictness by which readings are judged where a request says nothing.
type RevisionPolicy struct {
	Name               string       `json:"name" example:"default"`
	Rule               string       `json:"rule" enums:"guarded,simple" example:"guarded"`
	Guard              string       `json:"guard" enums:"U,1.65u" example:"U"`
	MinProbability     wire.Decimal `json:"min_probability,omitzero" swaggertype:"number" example:"0.977"`
	RequireUncertainty bool         `json:"require_uncertainty" example:"false"`
} //@name RevisionPolicy

// Revision answers GET /v1/catalogue.
//
//	@Summary		The catalogue revision
//	@Description	The revision in use, or the one named: what is in it, and which others are still held and can be replayed.
//	@ID				getCatalogue
//	@Tags			catalogue
//	@Produce		json
//	@Param			lang		query		string	false	"language of the texts"	Enums(en, de, fr, it, es)
//	@Param			format		query		string	false	"form of the answer"	Enums(json)
//	@Param			revision	query		string	false	"a catalogue revision that is still held"
//	@Success		200			{object}	Revision
//	@Router			/v1/catalogue [get]
func (h Handlers) Revision(r *rim.Request) (rim.Reply, error) {
	rev, p := r.Revision, r.Revision.Defaults.Policy
	answer := Revision{Revision: rev.Name, RevisionDate: rev.Date, Rules: spec.Rules, Warnings: h.said(r, nil), Reason: rev.Reason.In(r.Lang), Current: h.source.Current().Name == rev.Name, Held: h.source.Held(),
		Families: make([]RevisionFamily, 0, len(rev.Families)), Specs: len(rev.SpecKeys()), Parts: len(rev.SKUs()),
		Policy: RevisionPolicy{Name: p.Name, Rule: p.Rule, Guard: p.Guard, RequireUncertainty: p.RequireUncertainty}}
	if p.HasMinProbability {
		answer.Policy.MinProbability = wire.Estimate(p.MinProbability, 6)
	}
	var codes wire.Codes
	for _, f := range rev.Families {
		answer.Families = append(answer.Families, RevisionFamily{f.Key, familyHref(f.Key), f.Digest})
		if hasDemo(f) {
			codes.Add(catalogue.DemoValues)
		}
	}
	answer.Cautions = h.resolved(&codes, r)
	return rim.JSON(answer), nil
}
