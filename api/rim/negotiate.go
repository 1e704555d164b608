package rim

import (
	"strconv"
	"strings"

	"golang.org/x/text/language"

	"endfloat/service/fault"
	"endfloat/service/note"
	"endfloat/service/spec"
)

// formats are the words of the parameter format.
var formats = [...]struct{ word, media string }{
	{"json", MediaJSON}, {"csv", MediaCSV}, {"text", MediaText}, {"html", MediaHTML}, {"svg", MediaSVG},
	{"jsonld", MediaJSONLD}, {"yaml", MediaYAML},
}

// Form picks one of the offered media types: by the word of the parameter format, else by the Accept header
// (RFC 9110, section 12.5.1), else the first. Faults: bad_format, not_acceptable.
func Form(format, accept string, offered []string) (string, error) {
	if format != "" {
		return byWord(format, offered)
	}
	if accept == "" || accept == "*/*" || len(offered) == 0 {
		return first(offered), nil
	}
	best, bestQ := "", 0.0
	for _, o := range offered {
		if q := quality(accept, o); q > bestQ {
			best, bestQ = o, q
		}
	}
	if best == "" {
		return "", &fault.Error{Kind: fault.Unserved, Code: "not_acceptable", Violations: []fault.Violation{{
			Code: "not_acceptable", Detail: note.New("found_none_forms_address_accepted"),
			Fix: note.New("fix_accept_one_of", note.Str("list", strings.Join(offered, ", "))), At: fault.Place{Header: "Accept"}}}}
	}
	return best, nil
}

func first(offered []string) string {
	if len(offered) == 0 {
		return ""
	}
	return offered[0]
}

func byWord(format string, offered []string) (string, error) {
	var words []string
	for _, o := range offered {
		for _, f := range formats {
			if f.media != o {
				continue
			}
			if f.word == format {
				return o, nil
			}
			words = append(words, f.word)
		}
	}
	return "", BadParameter("format", "bad_format", note.New("found_no_form_address", note.Str("word", Quote(format))),
		note.New("fix_send_one_of", note.Str("list", strings.Join(words, ", "))))
}

// quality is the weight that an Accept header gives a media type: the most specific range counts. A range with
// parameters that no answer of ours has still counts, but less than one without.
func quality(accept, media string) float64 {
	kind, _, _ := strings.Cut(media, "/")
	q, specific := 0.0, -1
	for rest := accept; rest != ""; {
		var item string
		item, rest, _ = strings.Cut(rest, ",")
		name, params, _ := strings.Cut(item, ";")
		name = strings.ToLower(strings.TrimSpace(name))
		level := -1
		switch {
		case name == media && narrowed(params):
			level = 2
		case name == media:
			level = 3
		case name == kind+"/*":
			level = 1
		case name == "*/*":
			level = 0
		}
		if level > specific {
			q, specific = weight(params), level
		}
	}
	return q
}

// narrowed reports whether a range has parameters beside its weight and the charset that every text here has.
func narrowed(params string) bool {
	for p := range strings.SplitSeq(params, ";") {
		name, value, _ := strings.Cut(strings.ToLower(strings.TrimSpace(p)), "=")
		if name != "" && name != "q" && (name != "charset" || strings.Trim(value, `"`) != "utf-8") {
			return true
		}
	}
	return false
}

func weight(params string) float64 {
	for rest := params; rest != ""; {
		var p string
		p, rest, _ = strings.Cut(rest, ";")
		name, value, _ := strings.Cut(strings.TrimSpace(p), "=")
		if strings.EqualFold(name, "q") {
			f, err := strconv.ParseFloat(value, 64)
			if err != nil || f < 0 || f > 1 {
				return 0
			}
			return f
		}
	}
	return 1
}

// Tongue picks a language: by the parameter lang, else by the Accept-Language header (RFC 9110, section 12.5.4), else
// English. A parameter that names no language of ours is a fault; a header never is.
func Tongue(lang, accept string) (string, error) {
	if lang != "" {
		for _, l := range spec.Languages {
			if lang == l {
				return l, nil
			}
		}
		return "", BadParameter("lang", "bad_language", note.New("found_no_language_service", note.Str("word", Quote(lang))),
			note.New("fix_send_one_of", note.Str("list", strings.Join(spec.Languages[:], ", "))))
	}
	if accept == "" || len(accept) > 500 {
		return spec.Languages[0], nil
	}
	tags, _, err := language.ParseAcceptLanguage(accept)
	if err != nil {
		tags, _, err = language.ParseAcceptLanguage(known(accept))
	}
	if err != nil {
		return spec.Languages[0], nil //nolint:nilerr // a header that cannot be read wishes for nothing
	}
	if _, i, sure := tongues.Match(tags...); sure > language.No {
		return spec.Languages[i], nil
	}
	return unwished(accept), nil
}

// unwished is the first language of ours that a header does not refuse with a weight of 0, else the first.
func unwished(accept string) string {
	for _, l := range spec.Languages {
		refused := false
		for wish := range strings.SplitSeq(accept, ",") {
			tag, params, _ := strings.Cut(wish, ";")
			refused = refused || strings.EqualFold(strings.TrimSpace(tag), l) && weight(params) == 0
		}
		if !refused {
			return l
		}
	}
	return spec.Languages[0]
}

// known is the part of a header that names languages there are: one that nobody knows hides none that comes after it.
func known(accept string) string {
	var out []string
	for wish := range strings.SplitSeq(accept, ",") {
		if _, _, err := language.ParseAcceptLanguage(wish); err == nil {
			out = append(out, wish)
		}
	}
	return strings.Join(out, ",")
}

var tongues = func() language.Matcher {
	tags := make([]language.Tag, len(spec.Languages))
	for i, l := range spec.Languages {
		tags[i] = language.MustParse(l)
	}
	return language.NewMatcher(tags)
}()

// BadParameter is the fault of a query parameter that cannot be read.
func BadParameter(name, code string, detail, fix note.Note) error {
	return &fault.Error{Kind: fault.Malformed, Code: code, Violations: []fault.Violation{{
		Code: code, Detail: detail, Fix: fix, At: fault.Place{Parameter: name}}}}
}

// Quote is fault.Quote, at hand where details are written.
func Quote(s string) string { return fault.Quote(s) }
