package face

import (
	"cmp"
	"slices"

	"endfloat/api/rim"
	"endfloat/api/wire"
	"endfloat/service/catalogue"
	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// home is what the first page shows.
type home struct {
	samples

	Lang, Base, Notice, Version, Languages string
	Say                                    map[string]string
	Tongues                                []tongue
	Links                                  []Link
}

// samples are the keys that the lines to copy ask for, and what they read of the play.
type samples struct {
	Card, CardHref, Play, PlayHref string
	Reading, Other                 string // in mm
}

// Home answers GET /.
//
//	@Summary		The first page
//	@Description	What this is, three ways in and where everything is, for people. The lines to copy ask for what the catalogue in use has.
//	@ID				getHome
//	@Tags			service
//	@Produce		html
//	@Param			lang		query		string	false	"language of the texts"	Enums(en, de, fr, it, es)
//	@Param			format		query		string	false	"form of the answer"	Enums(html)
//	@Param			revision	query		string	false	"a catalogue revision that is still held"
//	@Success		200			{string}	string
//	@Header			200			{string}	Link	"What describes the service (RFC 8631, RFC 9727), and the page in other languages (RFC 8288)"
//	@Router			/ [get]
func (h Handlers) Home(r *rim.Request) (rim.Reply, error) {
	say := map[string]string{}
	for _, word := range [...]string{"lead", "page", "page_how", "fallback", "page_tag", "page_server", "dealer", "dealer_how", "practice", "script", "script_how", "cell",
		"where", "quiet"} {
		say[word] = h.book.Word(r.Lang, "word_home_"+word)
	}
	page := home{samples: sampled(r.Revision), Lang: r.Lang, Base: cmp.Or(h.settings.PublicURL, "http://127.0.0.1:8080"),
		Notice: h.book.Word(r.Lang, catalogue.VerifyMaker), Version: h.book.Note(r.Lang, note.New("word_home_version", note.Str("version", h.settings.Version))),
		Languages: h.book.Word(r.Lang, "word_languages"), Say: say, Tongues: tongues(r.Lang, "/"), Links: h.links(r.Lang)}
	reply, err := h.pages.render("home.html", page)
	reply.Header = append(reply.Header, rim.Links(slices.Concat(describing(), r.Tongues())...))
	return reply, err
}

// sampled chooses what the lines to copy ask for: the demo's where it is in use, else the first torque and the first play
// in mm that depend on no variant. A catalogue without them is shown the demo's all the same.
func sampled(rev *catalogue.Revision) samples {
	s := samples{Card: "pl-85/counter-shaft/key-bolt", Play: "pl-85/counter-shaft/axial-play", Reading: "0.15", Other: "0.20"}
	_, bolt := rev.Entry(spec.Key(s.Card))
	if _, play := rev.Entry(spec.Key(s.Play)); !bolt || !play {
		s.first(rev)
	}
	s.CardHref, s.PlayHref = wire.Href(spec.Key(s.Card), "specs"), wire.Href(spec.Key(s.Play), "specs")
	return s
}

func (s *samples) first(rev *catalogue.Revision) {
	var torque, play *spec.Spec
	for _, k := range rev.SpecKeys() {
		e, ok := rev.Entry(k)
		if !ok || len(e.Overrides) > 0 || !e.Base.Band.TwoSided() {
			continue
		}
		switch {
		case torque == nil && e.Base.Kind == spec.Torque && e.Base.ValueForm != spec.OutOfScope:
			torque = e.Base
		case play == nil && e.Base.Kind == spec.Dimension && e.Base.Unit == quantity.Millimetre:
			play = e.Base
		}
		if torque != nil && play != nil {
			break
		}
	}
	if play == nil {
		return
	}
	band := play.Band
	middle := band.Lower.Exact().Add(band.Upper.Exact()).DivInt(2).Print(play.Decimals, 1).String()
	s.Card, s.Play, s.Reading, s.Other = string(play.Key), string(play.Key), middle, middle
	if torque != nil {
		s.Card = string(torque.Key)
	}
}
