package problem

import (
	"strings"

	"endfloat/api/text"
	"endfloat/service/note"
)

// In is the document in a language: its title, what it says and its remedies. Codes, places and what the caller sent
// stay. What there is no sentence for stays in English, in which every fault is written first.
func (d Document) In(book *text.Book, lang string) Document {
	if lang == "" || lang == "en" {
		return d
	}
	slug := "word_problem_" + strings.ReplaceAll(strings.TrimPrefix(d.Type, "/problems/"), "-", "_")
	alone := len(d.Errors) == 1 && d.Detail == sentence(d.Errors[0])
	plain := book.Has(slug+"_detail") && d.Detail == book.Word("en", slug+"_detail")
	errors := make([]Fault, 0, len(d.Errors))
	for _, f := range d.Errors {
		errors = append(errors, f.in(book, lang))
	}
	d.Errors = errors
	switch {
	case alone:
		d.Detail = sentence(d.Errors[0])
	case plain:
		d.Detail = book.Word(lang, slug+"_detail")
	default:
		d.Detail = found(book, lang, d.Code, d.Detail)
	}
	if book.Has(slug) {
		d.Title = book.Word(lang, slug)
	}
	return d
}

func (f Fault) in(book *text.Book, lang string) Fault {
	code := "word_mend_" + f.Code
	_, list, listed := strings.Cut(f.Fix, ": ")
	if _, takes, found := strings.Cut(f.Fix, "this address takes "); found {
		list, listed = takes, false
	}
	switch {
	case f.Fix == "", f.Fix == "this address takes none":
	case strings.HasPrefix(f.Fix, "send one of: "):
		f.Fix = book.Note(lang, note.New("word_mend_one_of", note.Str("list", list)))
	case book.Has(code) && (!listed || f.Code == "revision_not_held"):
		f.Fix = book.Note(lang, note.New(code, note.Str("list", list)))
	}
	f.Detail = strings.TrimSuffix(found(book, lang, f.Code, f.Detail), ".")
	return f
}

// found is the sentence of a fault, and behind it what the caller had sent, which the English one quotes.
func found(book *text.Book, lang, code, english string) string {
	if !book.Has("fault_" + code) {
		return english
	}
	said := book.Word(lang, "fault_"+code)
	if _, rest, has := strings.Cut(english, `"`); has {
		if end := closing(rest); end >= 0 {
			return strings.TrimSuffix(said, ".") + book.Word(lang, "word_colon") + `"` + rest[:end+1] + "."
		}
	}
	return said
}

// closing is where a quoted text ends; negative where it does not.
func closing(text string) int {
	for i := 0; i < len(text); i++ {
		switch text[i] {
		case '\\':
			i++
		case '"':
			return i
		}
	}
	return -1
}
