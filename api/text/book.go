// Package text holds every sentence that an answer can show, in five languages, and puts values into them.
//
// It decides words and their order. It refuses to know verdicts and numbers: a value comes in as finished text and is
// never changed by a language. Each file of sentences is a table from a code to its five texts, in the order of
// spec.Languages; a value stands in braces.
//
//	book := text.New()
//	book.Note("en", note.New("uneven_places", …)) // "The places differ by 0.12 mm, more than 0.09 mm: …"
package text

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"golang.org/x/text/language"
	"golang.org/x/text/message"
	"golang.org/x/text/message/catalog"

	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// sentences maps a code to its texts in the order of spec.Languages.
type sentences map[string][len(spec.Languages)]string

// tables lists every table of sentences. A code may stand in one of them only.
func tables() []sentences {
	return []sentences{cautionSentences, words, terms, linkTitles, identifySentences,
		verdictWords, actionWords, becauseWords, warningSentences, nextSentences, traceSentences, closureSentences}
}

// Book is all sentences, ready to be filled. It is immutable and safe for concurrent use.
type Book struct {
	printers map[string]*message.Printer
	params   map[string][]string // names of the values of a code, in the order in which they are handed over
	texts    sentences           // with the names of values in braces
}

// New reads the tables. It panics on a table that is broken, which a test would have shown.
func New() *Book {
	b := &Book{printers: map[string]*message.Printer{}, params: map[string][]string{}, texts: sentences{}}
	builder := catalog.NewBuilder(catalog.Fallback(language.English))
	for _, table := range tables() {
		for code, texts := range table {
			if _, twice := b.params[code]; twice {
				panic("text: the code " + code + " stands in two tables")
			}
			b.params[code], b.texts[code] = placeholders(texts[0]), texts
			for i, lang := range spec.Languages {
				if err := builder.SetString(language.MustParse(lang), code, positional(texts[i], b.params[code])); err != nil {
					panic("text: " + code + ": " + err.Error())
				}
			}
		}
	}
	for _, lang := range spec.Languages {
		b.printers[lang] = message.NewPrinter(language.MustParse(lang), message.Catalog(builder))
	}
	return b
}

// Note is the sentence of a note. A code without a sentence is its own text, so that nothing is ever dropped.
func (b *Book) Note(lang string, n note.Note) string {
	names, known := b.params[n.Code]
	if !known {
		return n.Code
	}
	args := make([]any, len(names))
	for i, name := range names {
		args[i] = paramText(n, name)
	}
	return b.printer(lang).Sprintf(message.Key(n.Code, n.Code), args...)
}

// Word is a text without values: a caution, a name of a verdict, a phrase.
func (b *Book) Word(lang, code string) string { return b.Note(lang, note.Note{Code: code}) }

// Has reports whether there is a sentence for a code.
func (b *Book) Has(code string) bool {
	_, ok := b.params[code]
	return ok
}

// Template is the sentence of a code with the names of its values in braces, and those names.
func (b *Book) Template(lang, code string) (sentence string, params []string) {
	texts := b.texts[code]
	if i := slices.Index(spec.Languages[:], lang); i > 0 {
		return texts[i], b.params[code]
	}
	return texts[0], b.params[code]
}

// Codes lists every code in byte order.
func (b *Book) Codes() []string { return slices.Sorted(maps.Keys(b.params)) }

func (b *Book) printer(lang string) *message.Printer {
	if p := b.printers[lang]; p != nil {
		return p
	}
	return b.printers[spec.Languages[0]]
}

func paramText(n note.Note, name string) string {
	for _, p := range n.Params {
		if p.Name == name {
			return Value(p.Value, p.Unit)
		}
	}
	return "?"
}

// Value is a number with its unit as an eye reads it: 0.15 mm, 15°, 69 %.
func Value(number string, unit quantity.Unit) string {
	switch unit {
	case "":
		return number
	case quantity.Degree:
		return number + "°"
	}
	return number + " " + string(unit)
}

// placeholders lists the names in braces, each once, in the order in which they stand.
func placeholders(s string) []string {
	var names []string
	for {
		_, after, found := strings.Cut(s, "{")
		if !found {
			return names
		}
		name, rest, closed := strings.Cut(after, "}")
		if !closed {
			panic("text: open brace in " + s)
		}
		if !slices.Contains(names, name) {
			names = append(names, name)
		}
		s = rest
	}
}

// positional turns {name} into the place of the name among names.
func positional(s string, names []string) string {
	s = strings.ReplaceAll(s, "%", "%%")
	for i, name := range names {
		s = strings.ReplaceAll(s, "{"+name+"}", fmt.Sprintf("%%[%d]s", i+1))
	}
	if strings.ContainsAny(s, "{}") {
		panic("text: a value that English does not have in " + s)
	}
	return s
}
