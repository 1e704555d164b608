package problem

import (
	"strings"

	"endfloat/api/text"
)

// In is the document in a language: its title, what it says and its remedies. Codes, places and what the caller sent
// stay. What there is no sentence for stays in English, in which every fault is written first.
func (d Document) In(book *text.Book, lang string) Document {
	if lang == "" || lang == "en" {
		return d
	}
	slug := codeOf(strings.TrimPrefix(d.Type, "/problems/"))
	alone := len(d.Errors) == 1 && d.Detail == sentence(d.Errors[0], ": ")
	plain := book.Has(slug+"_detail") && d.Detail == book.Word("en", slug+"_detail")
	var errors []Fault // none stays none: the document then has no list
	for _, f := range d.Errors {
		errors = append(errors, f.in(book, lang))
	}
	d.Errors = errors
	switch {
	case alone:
		d.Detail = sentence(d.Errors[0], book.Word(lang, "word_colon"))
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

// codeOf is the code under which the title of a problem stands in the book.
func codeOf(slug string) string { return "word_problem_" + strings.ReplaceAll(slug, "-", "_") }

// In is the class in a language: its title, what it says and what it explains.
func (c Class) In(book *text.Book, lang string) Class {
	c.Title, c.Detail = book.Word(lang, codeOf(c.Slug)), book.Word(lang, codeOf(c.Slug)+"_detail")
	if about, ok := book.Again(lang, c.About); ok {
		c.About = about
	}
	return c
}

func (f Fault) in(book *text.Book, lang string) Fault {
	if fix, ok := book.Again(lang, f.Fix); ok {
		f.Fix = fix
	}
	f.Detail = strings.TrimSuffix(found(book, lang, f.Code, f.Detail), ".")
	return f
}

// found is what was found, in a language: the sentence that the English one is, else that of its code, and behind it
// what the caller had sent, which the English one quotes.
func found(book *text.Book, lang, code, english string) string {
	if said, ok := book.Again(lang, english); ok {
		return said
	}
	if !book.Has("fault_" + code) {
		return english
	}
	said := book.Word(lang, "fault_"+code)
	if at := strings.IndexByte(english, '"'); at >= 0 {
		if end := text.Quoted(english[at:]); end >= 0 {
			return strings.TrimSuffix(said, ".") + book.Word(lang, "word_colon") + english[at:at+end] + "."
		}
	}
	return said
}
