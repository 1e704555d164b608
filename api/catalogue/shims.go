package catalogue

import (
	"strings"

	"endfloat/api/rim"
	"endfloat/api/text"
	"endfloat/api/wire"
	"endfloat/service/catalogue"
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// ShimSet is the places of a component where thickness can be added, and the sizes there are.
type ShimSet struct {
	Key          string            `json:"key" example:"pl-85/counter-shaft/stack-shims"`
	Href         string            `json:"href" example:"/v1/families/pl-85/components/counter-shaft/shims/stack-shims"`
	Name         string            `json:"name,omitzero" example:"Shims of the gear stack"`
	Unit         string            `json:"unit" example:"mm"`
	Decimals     int               `json:"decimals" example:"2"`
	Places       []Place           `json:"places"`
	Offset       Offset            `json:"offset,omitzero"`
	WearOf       []string          `json:"wear_of,omitzero" example:"pl-85/counter-shaft/gear-face"`
	Ladder       []Rung            `json:"ladder"`
	GrindToSize  bool              `json:"grind_to_size,omitzero" example:"false"`
	Cautions     []string          `json:"cautions" example:"circlip_eye_protection"`
	DecidedBy    wire.DecidedBy    `json:"decided_by,omitzero"`
	Source       wire.Source       `json:"source,omitzero"`
	RevisionDate string            `json:"revision_date,omitzero" example:"2026-11-01"`
	Alternatives []ShimAlternative `json:"alternatives,omitzero"`
} //@name ShimSet

// Place is one spot of a shim set. The change of a spec is per millimetre of thickness added there.
type Place struct {
	ID        string   `json:"id" example:"left"`
	Name      string   `json:"name,omitzero" example:"left side"`
	MinPieces int      `json:"min_pieces" example:"1"`
	MaxPieces int      `json:"max_pieces" example:"3"`
	Against   string   `json:"against,omitzero" enums:"circlip,rotating" example:"circlip"`
	PerMM     []Effect `json:"per_mm"`
} //@name ShimPlace

// Effect is the change of a spec per millimetre of thickness added at a place: −1 for a plain stack.
type Effect struct {
	Spec   string       `json:"spec" example:"axial-play"`
	Key    string       `json:"key" example:"pl-85/counter-shaft/axial-play"`
	Change wire.Decimal `json:"change" swaggertype:"number" example:"-1"`
} //@name ShimEffect

// Offset is where the stack stands: half of what is added at the first place minus what is added at the second.
type Offset struct {
	Between []string     `json:"between,omitzero" example:"left,right"`
	Limit   wire.Decimal `json:"limit,omitzero" swaggertype:"number" example:"0.10"`
} //@name ShimOffset

// IsZero reports whether the set has no offset.
func (o Offset) IsZero() bool { return len(o.Between) == 0 }

// Rung is one size of a ladder. The tolerance is relative to the thickness.
type Rung struct {
	Thickness    wire.Decimal  `json:"thickness" swaggertype:"number" example:"1.00"`
	Display      string        `json:"display" example:"1.00 mm"`
	Tolerance    wire.Band     `json:"tolerance,omitzero"`
	SKU          string        `json:"sku,omitzero" example:"PL-SH-100"`
	SupersededBy string        `json:"superseded_by,omitzero" example:"PL-SH-101"`
	FromSerial   string        `json:"from_serial,omitzero" example:"7001"`
	ToSerial     string        `json:"to_serial,omitzero" example:"9999"`
	Converted    RungConverted `json:"converted,omitzero"`
} //@name ShimRung

// RungConverted is a nominal thickness in another unit, to the nearest; the published one is the truth.
type RungConverted struct {
	Unit      string       `json:"unit" example:"in"`
	Thickness wire.Decimal `json:"thickness" swaggertype:"number" example:"0.0394"`
	Display   string       `json:"display" example:"0.0394 in"`
} //@name ShimRungConverted

// ShimAlternative is a variant or part mark that has another set.
type ShimAlternative struct {
	Variant string `json:"variant,omitzero" example:"b"`
	Mark    string `json:"mark,omitzero" example:"carrier:C"`
	Href    string `json:"href" example:"/v1/families/pl-85/components/counter-shaft/shims/stack-shims?variant=b"`
} //@name ShimAlternative

// ShimAnswer is one shim set with its cautions put into words.
type ShimAnswer struct {
	Revision     string         `json:"revision" example:"r-5f1c2a9e0b7d"`
	RevisionDate string         `json:"revision_date" example:"2026-11-01"`
	Rules        string         `json:"rules" example:"1"`
	Shims        ShimSet        `json:"shims"`
	Warnings     []wire.Note    `json:"warnings,omitzero"`
	Cautions     []wire.Caution `json:"cautions"`
} //@name ShimAnswer

// Shims answers GET /v1/families/{family}/components/{component}/shims/{shims}.
//
//	@Summary		One shim set
//	@Description	The places where thickness can be added, what a millimetre there changes, and the ladder of sizes.
//	@ID				getShims
//	@Tags			catalogue
//	@Produce		json
//	@Param			family			path		string		true	"key of the family"
//	@Param			component		path		string		true	"key of the component within the family"
//	@Param			shims			path		string		true	"key of the shim set within the component"
//	@Param			unit			query		string		false	"unit to convert to: mm, um, in, thou"
//	@Param			unit_system		query		string		false	"instead of unit: convert to the usual unit of a system"	Enums(metric, imperial)
//	@Param			variant			query		string		false	"variant of the family"
//	@Param			engine_number	query		string		false	"engine number as stamped"
//	@Param			mark			query		[]string	false	"component:mark, as stamped on the part"	collectionFormat(multi)
//	@Param			lang			query		string		false	"language of the texts"	Enums(en, de, fr, it, es)
//	@Param			format			query		string		false	"form of the answer"	Enums(json)
//	@Param			revision		query		string		false	"a catalogue revision that is still held"
//	@Success		200				{object}	ShimAnswer
//	@Router			/v1/families/{family}/components/{component}/shims/{shims} [get]
func (h Handlers) Shims(r *rim.Request) (rim.Reply, error) {
	f, c, err := component(r)
	if err != nil {
		return rim.Reply{}, err
	}
	key := spec.Key(f.Key + "/" + c.Key + "/" + r.Param("shims"))
	e, ok := r.Revision.Shims(key)
	if !ok {
		near, _ := f.NearestShims(key)
		return rim.Reply{}, wire.Missing("unknown_shims", note.New("absent_shims", note.Str("key", rim.Quote(string(key))), note.Str("address", componentHref(f.Key, c.Key))), near)
	}
	sel, open, err := engine(r, f)
	if err != nil {
		return rim.Reply{}, err
	}
	unit, err := unitFor(r, e.Base.Unit)
	if err != nil {
		return rim.Reply{}, err
	}
	var codes wire.Codes
	shown := h.shims(e, sel, r, unit, &codes)
	return rim.JSON(ShimAnswer{Revision: r.Revision.Name, RevisionDate: r.Revision.Date, Rules: spec.Rules, Shims: shown,
		Warnings: h.said(r, open), Cautions: h.resolved(&codes, r)}), nil
}

// shims is a shim set as answers show it; its caution codes are collected.
func (h Handlers) shims(e *catalogue.ShimEntry, sel catalogue.Selection, r *rim.Request, unit wire.UnitChoice, codes *wire.Codes) ShimSet {
	set, undecided := e.Resolve(sel)
	w := fromShims(set, r.Lang, unit)
	w.Cautions = r.Revision.Defaults.CautionsOf(&spec.Spec{Cautions: set.Cautions, Source: set.Source})
	codes.Add(w.Cautions...)
	if undecided {
		for _, o := range e.Overrides {
			query := "?variant=" + o.Variant
			if o.Mark != "" {
				query = "?mark=" + o.Mark
			}
			w.Alternatives = append(w.Alternatives, ShimAlternative{Variant: o.Variant, Mark: o.Mark, Href: w.Href + query})
		}
	}
	return w
}

func fromShims(s *spec.ShimSet, lang string, unit wire.UnitChoice) ShimSet {
	w := ShimSet{Key: string(s.Key), Href: wire.Href(s.Key, "shims"), Name: s.Name.In(lang), Unit: string(s.Unit), Decimals: s.Decimals,
		Places: make([]Place, 0, len(s.Places)), Ladder: make([]Rung, 0, len(s.Ladder)), GrindToSize: s.GrindTo,
		DecidedBy: wire.DecidedBy(s.DecidedBy), Source: wire.FromSource(s.Source), RevisionDate: s.RevisionDate}
	for _, p := range s.Places {
		place := Place{ID: p.ID, Name: p.Name.In(lang), MinPieces: p.MinPieces, MaxPieces: p.MaxPieces, Against: p.Against}
		for _, e := range p.PerMM {
			place.PerMM = append(place.PerMM, Effect{within(s.Key, e.Spec), string(e.Spec), wire.Dec(e.Change)})
		}
		w.Places = append(w.Places, place)
	}
	if s.Offset.Between[0] != "" {
		w.Offset = Offset{s.Offset.Between[:], wire.DecIf(s.Offset.Limit.Padded(s.Decimals), s.Offset.HasLimit)}
	}
	for _, k := range s.WearOf {
		w.WearOf = append(w.WearOf, string(k))
	}
	for _, rung := range s.Ladder {
		w.Ladder = append(w.Ladder, fromRung(rung, s, unit))
	}
	return w
}

// within is the key of a spec as seen from its sisters: short in the same component.
func within(set, of spec.Key) string {
	i := strings.LastIndexByte(string(set), '/')
	if short, same := strings.CutPrefix(string(of), string(set[:i+1])); same {
		return short
	}
	return string(of)
}

func fromRung(rung spec.Rung, s *spec.ShimSet, unit wire.UnitChoice) Rung {
	thickness := rung.Thickness.Padded(s.Decimals)
	return Rung{Thickness: wire.Dec(thickness), Display: text.Value(thickness.String(), s.Unit), Tolerance: wire.FromRange(rung.Tolerance, 0),
		SKU: rung.SKU, SupersededBy: rung.SupersededBy, FromSerial: rung.FromSerial, ToSerial: rung.ToSerial, Converted: inUnit(thickness, s.Unit, unit)}
}

// inUnit is a nominal thickness in the unit that was chosen; nothing where none was, or its own.
func inUnit(thickness quantity.Decimal, from quantity.Unit, unit wire.UnitChoice) RungConverted {
	if unit == nil || unit(from) == from {
		return RungConverted{}
	}
	to := unit(from)
	as := &spec.Spec{Unit: from, Decimals: thickness.Places(), Target: thickness, HasTarget: true}
	c, ok := as.In(to)
	if !ok {
		return RungConverted{}
	}
	return RungConverted{string(to), wire.Dec(c.Target), text.Value(c.Target.String(), to)}
}
