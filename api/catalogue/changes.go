package catalogue

import (
	"slices"
	"strconv"

	"endfloat/api/rim"
	"endfloat/api/wire"
	"endfloat/service/catalogue"
	"endfloat/service/note"
	"endfloat/service/spec"
)

// ChangeList is a page of what became different from one revision to another.
type ChangeList struct {
	From          string         `json:"from" example:"r-0a1b2c3d4e5f"`
	To            string         `json:"to" example:"r-5f1c2a9e0b7d"`
	Items         []Change       `json:"items"`
	NextPageToken string         `json:"next_page_token,omitzero" example:"AbCdEf0123"`
	Revision      string         `json:"revision" example:"r-5f1c2a9e0b7d"`
	RevisionDate  string         `json:"revision_date" example:"2026-11-01"`
	Rules         string         `json:"rules" example:"1"`
	Cautions      []wire.Caution `json:"cautions"`
} //@name ChangeList

// Change is one difference.
type Change struct {
	What   string        `json:"what" enums:"family,variant,component,spec,shims,part,instrument,policy,caution" example:"spec"`
	How    string        `json:"how" enums:"added,removed,changed" example:"changed"`
	Family string        `json:"family,omitzero" example:"qb-270"`
	Key    string        `json:"key" example:"qb-270/valves/exhaust-clearance"`
	Href   string        `json:"href,omitzero" example:"/v1/families/qb-270/components/valves/specs/exhaust-clearance"`
	Name   string        `json:"name,omitzero" example:"Exhaust valve clearance"`
	Fields []ChangeField `json:"fields,omitzero"`
	Reason string        `json:"reason,omitzero" example:"tightened after seats wore"`
	Date   string        `json:"date,omitzero" example:"2026-11-01"`
} //@name Change

// ChangeField is one value that differs, as written; from is absent where it is new, to where it is gone.
type ChangeField struct {
	Name string `json:"name" example:"band"`
	From string `json:"from,omitzero" example:"0.20 to 0.27 mm"`
	To   string `json:"to,omitzero" example:"0.20 to 0.25 mm"`
} //@name ChangeField

// Changes answers GET /v1/catalogue/changes.
//
//	@Summary		What changed between two revisions, and why
//	@Description	Without to the revision in use, without from the one held before it. Both must still be held.
//	@ID				listChanges
//	@Tags			catalogue
//	@Produce		json
//	@Param			from		query		string	false	"the older revision"
//	@Param			to			query		string	false	"the newer revision"
//	@Param			family		query		string	false	"key of one family"
//	@Param			page_size	query		int		false	"changes a page, 1 to 1,000"	default(50)
//	@Param			page_token	query		string	false	"next_page_token of the page before, with the same query"
//	@Param			lang		query		string	false	"language of the texts"	Enums(en, de, fr, it, es)
//	@Param			format		query		string	false	"form of the answer"	Enums(json)
//	@Param			revision	query		string	false	"instead of to: a catalogue revision that is still held"
//	@Success		200			{object}	ChangeList
//	@Header		200			{string}	Link	"The next page (RFC 8288), where there is one"
//	@Router			/v1/catalogue/changes [get]
func (h Handlers) Changes(r *rim.Request) (rim.Reply, error) {
	w, err := paging(r)
	if err != nil {
		return rim.Reply{}, err
	}
	from, to, err := h.span(r)
	if err != nil {
		return rim.Reply{}, err
	}
	familyKey := r.One("family")
	if familyKey != "" {
		if err := eitherHas(familyKey, from, to); err != nil {
			return rim.Reply{}, err
		}
	}
	all := catalogue.Diff(from, to, familyKey)
	start, _ := strconv.Atoi(w.after)
	start = max(0, min(start, len(all)))
	end := min(start+w.size, len(all))
	list := ChangeList{From: from.Name, To: to.Name, Items: make([]Change, 0, end-start), Revision: to.Name, RevisionDate: to.Date, Rules: spec.Rules}
	for _, c := range all[start:end] {
		list.Items = append(list.Items, fromChange(c, to, r.Lang))
	}
	reply := rim.Reply{}
	if end < len(all) {
		list.NextPageToken = w.next(strconv.Itoa(end))
		reply.Header = append(reply.Header, w.link(r, list.NextPageToken))
	}
	var codes wire.Codes
	if slices.ContainsFunc(to.Families, hasDemo) {
		codes.Add(catalogue.DemoValues)
	}
	list.Cautions = h.resolved(&codes, r)
	reply.Value = list
	return reply, nil
}

// span is the pair of revisions asked for.
func (h Handlers) span(r *rim.Request) (from, to *catalogue.Revision, err error) {
	to = r.Revision
	if name := r.One("to"); name != "" {
		if to, err = h.held(name, "to"); err != nil {
			return nil, nil, err
		}
	}
	if name := r.One("from"); name != "" {
		from, err = h.held(name, "from")
		return from, to, err
	}
	held := h.source.Held()
	if i := slices.Index(held, to.Name); i >= 0 && i+1 < len(held) {
		from, err = h.held(held[i+1], "from")
		return from, to, err
	}
	return to, to, nil
}

func (h Handlers) held(name, parameter string) (*catalogue.Revision, error) {
	if rev, ok := h.source.At(name); ok {
		return rev, nil
	}
	return nil, rim.NotHeld(parameter, name, h.source.Held())
}

func eitherHas(key string, from, to *catalogue.Revision) error {
	_, before := from.Family(key)
	_, after := to.Family(key)
	if before || after {
		return nil
	}
	return unknownFilter("family", note.New("found_no_family_key", note.Str("key", rim.Quote(key))), key, to.NearestFamily, "/v1/families")
}

func fromChange(c catalogue.Change, to *catalogue.Revision, lang string) Change {
	w := Change{What: c.What, How: c.How, Family: c.Family, Key: c.Key, Name: c.Name.In(lang), Reason: c.Reason.In(lang), Date: c.Date}
	for _, f := range c.Fields {
		w.Fields = append(w.Fields, ChangeField(f))
	}
	if _, ok := to.Entry(spec.Key(c.Key)); ok && c.What == catalogue.OfSpec {
		w.Href = wire.Href(spec.Key(c.Key), "specs")
	}
	if _, ok := to.Shims(spec.Key(c.Key)); ok && c.What == catalogue.OfShims {
		w.Href = wire.Href(spec.Key(c.Key), "shims")
	}
	return w
}
