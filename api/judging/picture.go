package judging

import (
	"slices"
	"strings"

	"endfloat/api/picture"
	"endfloat/api/rim"
	"endfloat/api/text"
	"endfloat/api/wire"
	"endfloat/service/catalogue"
	"endfloat/service/judge"
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// Picture answers GET /v1/families/{family}/components/{component}/specs/{spec}/band.svg.
//
//	@Summary		The band as a small picture
//	@Description	Limits, aim and wear limit on one scale, with a reading and its interval where value and unit are given. Readable at 320 px, in print and without colours; the text alternative says the same.
//	@ID				getBand
//	@Tags			judging
//	@Produce		image/svg+xml
//	@Param			family					path		string		true	"key of the family"
//	@Param			component				path		string		true	"key of the component within the family"
//	@Param			spec					path		string		true	"key of the spec within the component"
//	@Param			value					query		number		false	"what was read"
//	@Param			unit					query		string		false	"unit of the value"
//	@Param			stage					query		string		false	"what it is held to"					Enums(as_built, as_found)
//	@Param			part					query		string		false	"a reused part is judged as found"		Enums(new, reused)
//	@Param			rule					query		string		false	"whether uncertainty guards the limits"	Enums(guarded, simple)
//	@Param			guard					query		string		false	"width of the guard band"				Enums(U, 1.65u)
//	@Param			how						query		string		false	"how it was had"						Enums(measured, estimated, check)
//	@Param			instrument				query		string		false	"kind of the instrument"
//	@Param			standard_uncertainty	query		number		false	"of the instrument, in the unit of the value"
//	@Param			condition				query		string		false	"condition of the thread"
//	@Param			variant					query		string		false	"variant of the family"
//	@Param			engine_number			query		string		false	"engine number as stamped"
//	@Param			mark					query		[]string	false	"component:mark, as stamped on the part"	collectionFormat(multi)
//	@Param			lang					query		string		false	"language of the texts"						Enums(en, de, fr, it, es)
//	@Param			format					query		string		false	"form of the answer"						Enums(svg)
//	@Param			revision				query		string		false	"a catalogue revision that is still held"
//	@Success		200						{string}	string
//	@Router			/v1/families/{family}/components/{component}/specs/{spec}/band.svg [get]
func (h Handlers) Picture(r *rim.Request) (rim.Reply, error) {
	b := h.batch(r)
	if !slices.ContainsFunc(QueryWords(), func(name string) bool { return r.One(name) != "" }) {
		res, _, err := h.specInPath(r, b)
		if err != nil {
			return rim.Reply{}, err
		}
		return rim.Ready(h.noted(b.varying(b.band(res.Spec, nil), res), res, r).SVG()), nil
	}
	row, err := h.queried(r, b)
	if err != nil {
		return rim.Reply{}, err
	}
	w := b.fromRow(row, 0)
	return rim.Ready(h.noted(b.band(row.check.Spec, &w), row.resolved, r).SVG()), nil
}

// noted puts the cautions of a spec under its picture, and into the text alternative; where it is not decided which spec
// is meant, those of each.
func (h Handlers) noted(p picture.Band, res catalogue.Resolved, r *rim.Request) picture.Band {
	d := r.Revision.Defaults
	codes := append(d.CautionsOf(res.Spec), catalogue.VerifyMaker)
	if res.Undecided {
		for _, o := range res.Alternatives {
			codes = append(codes, d.CautionsOf(o.Spec)...)
		}
	}
	for _, c := range wire.Resolved(codes, r.Lang, h.book, d) {
		p.Notes = append(p.Notes, c.Text)
	}
	p.Description = strings.TrimPrefix(strings.TrimSuffix(p.Description, ".")+". ", ". ") + strings.Join(p.Notes, " ")
	return p
}

// varying says beside what is drawn what the variants and marks have that were not named.
func (v *voice) varying(p picture.Band, res catalogue.Resolved) picture.Band {
	if !res.Undecided {
		return p
	}
	p.Line, p.Description = v.book.Joined(v.lang, p.Line, v.instead(res)), v.book.Joined(v.lang, p.Description, v.instead(res))
	return p
}

// instead says what the variants and marks have that were not named.
func (v *voice) instead(res catalogue.Resolved) string {
	others := make([]text.Other, 0, len(res.Alternatives))
	for _, o := range res.Alternatives {
		others = append(others, text.Other{Variant: o.Variant, Mark: o.Mark, Display: v.book.Display(v.lang, o.Spec)})
	}
	return v.book.Instead(v.lang, v.book.Display(v.lang, res.Spec), others)
}

// band is a spec, with the result of a reading where there is one, as marks on a scale. The text alternative is the
// line over it.
func (v *voice) band(s *spec.Spec, w *Result) picture.Band {
	p := picture.Band{Lang: v.lang, Heading: s.Name.In(v.lang)}
	if w != nil {
		p.Line = w.Text
	} else {
		p.Line = v.book.Display(v.lang, s).Summary
	}
	if s.LeftHand() {
		p.Above = v.say("word_left_hand")
		p.Line = strings.TrimPrefix(p.Line, p.Above+v.colon)
	}
	p.Description = strings.TrimSpace(p.Above + " " + p.Line)
	if s.ValueForm == spec.OutOfScope || s.ValueForm == spec.NotPublished || s.Kind == spec.Category {
		return p
	}
	v.limits(&p, s)
	if w != nil {
		reading(&p, w)
	}
	return p
}

// limits puts the band, the aim and the wear limit on the scale; a single figure brings the band of its policy.
func (v *voice) limits(p *picture.Band, s *spec.Spec) {
	band := s.Band
	if policy, ok := s.PolicyBand(); ok && band.Empty() {
		band = policy
	}
	d := s.Decimals
	show := func(x quantity.Decimal) string { return text.Value(x.Padded(d).String(), s.Unit) }
	if band.HasLower {
		p.Lower = picture.At(band.Lower.Float64(), show(band.Lower))
	}
	if band.HasUpper {
		p.Upper = picture.At(band.Upper.Float64(), show(band.Upper))
	}
	if s.HasTarget {
		p.Aim = picture.At(s.Target.Float64(), v.say("word_aim", note.Str("value", show(s.Target))))
	}
	if s.WearLimit.HasLower {
		p.WearLower = picture.At(s.WearLimit.Lower.Float64(), v.say("word_wear_limit", note.Str("value", show(s.WearLimit.Lower))))
	}
	if s.WearLimit.HasUpper {
		p.WearUpper = picture.At(s.WearLimit.Upper.Float64(), v.say("word_wear_limit", note.Str("value", show(s.WearLimit.Upper))))
	}
}

func reading(p *picture.Band, w *Result) {
	mark := func(d wire.Decimal, label string) picture.Mark {
		if d.IsZero() {
			return picture.Mark{}
		}
		return picture.At(d.Quantity().Float64(), label)
	}
	p.Reading = mark(w.Value, w.Display.Value)
	p.From, p.To = mark(w.Interval.Lower, ""), mark(w.Interval.Upper, "")
	p.Proven = w.Verdict == string(judge.Pass) || w.Verdict == string(judge.Fail)
}
