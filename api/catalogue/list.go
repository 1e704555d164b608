package catalogue

import (
	"strings"

	"endfloat/api/rim"
	"endfloat/api/wire"
	"endfloat/service/catalogue"
	"endfloat/service/fault"
	"endfloat/service/note"
	"endfloat/service/spec"
)

// SpecList is a page of specs.
type SpecList struct {
	Items         []wire.Spec    `json:"items"`
	NextPageToken string         `json:"next_page_token,omitzero" example:"AbCdEf0123"`
	Revision      string         `json:"revision" example:"r-5f1c2a9e0b7d"`
	RevisionDate  string         `json:"revision_date" example:"2026-11-01"`
	Rules         string         `json:"rules" example:"1"`
	Warnings      []wire.Note    `json:"warnings,omitzero"`
	Cautions      []wire.Caution `json:"cautions"`
} //@name SpecList

// Specs answers GET /v1/specs.
//
//	@Summary		Every spec
//	@Description	The specs that fit all filters, in the order of their keys, a page at a time; as CSV a page has 1,000 rows and the Link header leads to the next. variant, engine_number and mark need family.
//	@ID				listSpecs
//	@Tags			catalogue
//	@Produce		json,text/csv
//	@Param			q				query		string		false	"words to look for in keys and names, in any language"
//	@Param			family			query		string		false	"key of a family"
//	@Param			component		query		string		false	"key of a component, whole or within its family"
//	@Param			kind			query		string		false	"kind of spec"	Enums(dimension, torque, angle, other, category)
//	@Param			page_size		query		int			false	"specs a page, 1 to 1,000"	default(50)
//	@Param			page_token		query		string		false	"next_page_token of the page before, with the same query"
//	@Param			unit_system		query		string		false	"convert to the usual units of a system"	Enums(metric, imperial)
//	@Param			variant			query		string		false	"variant of the family"
//	@Param			engine_number	query		string		false	"engine number as stamped"
//	@Param			mark			query		[]string	false	"component:mark, as stamped on the part"	collectionFormat(multi)
//	@Param			lang			query		string		false	"language of the texts"	Enums(en, de, fr, it, es)
//	@Param			format			query		string		false	"form of the answer"	Enums(json, csv)
//	@Param			revision		query		string		false	"a catalogue revision that is still held"
//	@Success		200				{object}	SpecList
//	@Header		200				{string}	Link	"The next page (RFC 8288), where there is one"
//	@Router			/v1/specs [get]
func (h Handlers) Specs(r *rim.Request) (rim.Reply, error) {
	w, err := paging(r)
	if err != nil {
		return rim.Reply{}, err
	}
	unit, err := system(r)
	if err != nil {
		return rim.Reply{}, err
	}
	fil, err := filterOf(r)
	if err != nil {
		return rim.Reply{}, err
	}
	list := SpecList{Items: []wire.Spec{}, Revision: r.Revision.Name, RevisionDate: r.Revision.Date, Rules: spec.Rules,
		Warnings: h.said(r, fil.open)}
	var codes wire.Codes
	run, more := fil.page(r.Revision, w)
	for _, e := range run {
		list.Items = append(list.Items, h.show(e.Resolve(fil.sel), r, unit, &codes))
	}
	reply := rim.Reply{}
	if more {
		list.NextPageToken = w.next(string(run[len(run)-1].Base.Key))
		reply.Header = append(reply.Header, w.link(r, list.NextPageToken))
	}
	list.Cautions = h.resolved(&codes, r)
	if r.Media == rim.MediaCSV {
		reply.Bytes = table(list)
		return reply, nil
	}
	reply.Value = list
	return reply, nil
}

// filter is what a list of specs is narrowed to. Empty fields narrow nothing.
type filter struct {
	found     catalogue.Hits
	family    *catalogue.Family
	component string // within a family
	kind      spec.Kind
	sel       catalogue.Selection
	open      []note.Note // what an engine number did not decide
}

func filterOf(r *rim.Request) (fil filter, err error) {
	fil.found = r.Revision.FindSpecs(r.One("q"))
	var bad fault.List
	kind, ok := wire.Word(spec.Kind(r.One("kind")), wire.Query("kind"), &bad, spec.Dimension, spec.Torque, spec.Angle, spec.Other, spec.Category)
	if !ok {
		v, _ := bad.First()
		return fil, rim.BadParameter("kind", "bad_parameter", v.Detail, v.Fix)
	}
	fil.kind = kind
	familyKey, component := r.One("family"), r.One("component")
	if head, tail, whole := strings.Cut(component, "/"); whole {
		if familyKey != "" && familyKey != head {
			return fil, rim.BadParameter("component", "bad_parameter", note.New("found_component_another_family_parameter"), note.New("fix_send_component_without_family"))
		}
		familyKey, component = head, tail
	}
	fil.component = component
	if familyKey != "" {
		if fil.family, ok = r.Revision.Family(familyKey); !ok {
			return fil, unknownFilter("family", note.New("found_no_family_key", note.Str("key", rim.Quote(familyKey))), familyKey, r.Revision.NearestFamily, "/v1/families")
		}
	}
	if fil.family == nil {
		return fil, narrowsNothing(r)
	}
	if component != "" {
		if _, ok := r.Revision.Component(spec.Key(familyKey + "/" + component)); !ok {
			return fil, unknownFilter("component", note.New("found_no_component_key", note.Str("key", rim.Quote(component))), component, fil.family.NearestComponent, familyHref(familyKey))
		}
	}
	fil.sel, fil.open, err = engine(r, fil.family)
	return fil, err
}

func unknownFilter(name string, found note.Note, key string, nearest func(string) (string, bool), list string) error {
	fix := note.New("fix_get_list", note.Str("address", list))
	if near, ok := nearest(key); ok {
		fix = note.New("fix_nearest_or_list", note.Str("near", near), note.Str("address", list))
	}
	return rim.BadParameter(name, "bad_parameter", found, fix)
}

// narrowsNothing faults parameters about one engine where no family is named.
func narrowsNothing(r *rim.Request) error {
	for _, name := range []string{"variant", "engine_number", "mark"} {
		if r.One(name) != "" {
			return rim.BadParameter(name, "bad_parameter", note.New("found_says_something_about_engine"), note.New("fix_send_family_too"))
		}
	}
	return nil
}

// page is the run of specs that fit, after the key of the page before, and whether more follow.
func (fil filter) page(rev *catalogue.Revision, w window) (run []*catalogue.Entry, more bool) {
	keys := rev.SpecKeys()
	rest, _ := page(keys, func(k spec.Key) string { return string(k) }, window{size: len(keys), after: w.after})
	first := len(keys) - len(rest)
	for i, k := range rest {
		if !fil.found.Has(first + i) {
			continue
		}
		e, _ := rev.Entry(k)
		if !fil.fits(e.Base) {
			continue
		}
		if len(run) == w.size {
			return run, true
		}
		run = append(run, e)
	}
	return run, false
}

func (fil filter) fits(s *spec.Spec) bool {
	familyKey, rest, _ := strings.Cut(string(s.Key), "/")
	component, _, _ := strings.Cut(rest, "/")
	return (fil.kind == "" || s.Kind == fil.kind) && (fil.family == nil || fil.family.Key == familyKey) &&
		(fil.component == "" || fil.component == component)
}
