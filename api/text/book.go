// Package text holds every sentence that an answer can show, in five languages, and puts values into them.
//
// It decides words and their order. It refuses to know verdicts and numbers: a value comes in as finished text and is
// never changed by a language. Each file of sentences is a table from a code to its five texts, in the order of
// spec.Languages; a value stands in braces. The tables fill a message catalogue of golang.org/x/text, which knows plural
// rules; a Book is what was read from it, taken apart once so that filling a sentence costs one allocation.
//
//	book := text.New()
//	book.Note("en", note.New("uneven_places", …)) // "The places differ by 0.12 mm, more than 0.09 mm: …"
package text

import (
	"maps"
	"slices"
	"strings"

	"golang.org/x/text/message/catalog"

	"endfloat/service/note"
	"endfloat/service/quantity"
	"endfloat/service/spec"
)

// sentences maps a code to its texts in the order of spec.Languages.
type sentences map[string][len(spec.Languages)]string

// tables lists every table of sentences. A code may stand in one of them only.
func tables() []sentences {
	return []sentences{cautionSentences, words, said, terms, labels, linkTitles, identifySentences, faultSentences, edgeSentences,
		verdictWords, actionWords, becauseWords, warningSentences, nextSentences, traceSentences, closureSentences, planWords,
		settingSentences, adviceSentences, estimateSentences, torqueFaultSentences, recordSentences,
		planSentences, planFaults, reasonSentences, planTraceSentences,
		problemSentences, homeWords, problemPages, practiceTitles, sheetWords, gateSentences, contradictionSentences, outcomeSentences, sheetFaults,
		instrumentBases, absentSentences, rimFinds, readingFinds, shopFinds, remedies, specRemedies, shopRemedies}
}

// Book is all sentences, ready to be filled. It is immutable and safe for concurrent use.
type Book struct {
	forms map[string]*form
}

// form is a code with its texts, taken apart where values stand.
type form struct {
	params []string // names of the values, in the order in which English has them
	texts  [len(spec.Languages)]string
	pieces [len(spec.Languages)][]piece
	by     string // the value that counts; empty: none does
	one    [len(spec.Languages)][]piece
}

// piece is a run of text, or the name of a value.
type piece struct{ text, param string }

// New reads the message catalogue and takes its sentences apart. It panics on a table that is broken, which a test would
// have shown.
func New() *Book {
	b := &Book{forms: map[string]*form{}}
	store, codes := messages()
	for _, code := range codes {
		b.forms[code] = formOf(store, code)
	}
	return b
}

// formOf takes the texts of a code apart.
func formOf(store *catalog.Builder, code string) *form {
	f := &form{by: counted[code].by}
	for i := range tags {
		f.texts[i] = read(store, tags[i], code, 2)
		f.pieces[i] = pieces(f.texts[i])
		f.named(code, i, f.pieces[i])
		if f.by != "" {
			f.one[i] = pieces(read(store, tags[i], code, 1))
			f.named(code, i+1, f.one[i])
		}
	}
	return f
}

// named adds the names of the values that the first text has; no other text may have more.
func (f *form) named(code string, text int, list []piece) {
	for _, p := range list {
		switch {
		case p.param == "" || slices.Contains(f.params, p.param):
		case text == 0:
			f.params = append(f.params, p.param)
		default:
			panic("text: " + code + ": a value that English does not have: " + p.param)
		}
	}
}

// Note is the sentence of a note. A code without a sentence is its own text, so that nothing is ever dropped.
func (b *Book) Note(lang string, n note.Note) string {
	at := languageAt(lang)
	list := b.pieces(at, &n)
	switch {
	case list == nil:
		return n.Code
	case len(list) == 1 && list[0].param == "":
		return list[0].text
	}
	return string(b.fill(make([]byte, 0, 160), at, list, &n))
}

// Append appends what Note gives to buf.
func (b *Book) Append(buf []byte, lang string, n note.Note) []byte {
	at := languageAt(lang)
	list := b.pieces(at, &n)
	if list == nil {
		return append(buf, n.Code...)
	}
	return b.fill(buf, at, list, &n)
}

// pieces are those of a code in a language, nil where it has no sentence.
func (b *Book) pieces(at int, n *note.Note) []piece {
	f, known := b.forms[n.Code]
	switch {
	case !known:
		return nil
	case f.by != "" && singular(at, n.Get(f.by)):
		return f.one[at]
	}
	return f.pieces[at]
}

// fill appends pieces, each name replaced by its value.
func (b *Book) fill(buf []byte, at int, list []piece, n *note.Note) []byte {
	for _, p := range list {
		if p.param == "" {
			buf = append(buf, p.text...)
		} else {
			buf = b.appendParam(buf, n, p.param, at)
		}
	}
	return buf
}

// languageAt is the place of a language; English for one that is none.
func languageAt(lang string) int {
	for i, l := range spec.Languages {
		if l == lang {
			return i
		}
	}
	return 0
}

// Word is a text without values: a caution, a name of a verdict, a phrase.
func (b *Book) Word(lang, code string) string { return b.Note(lang, note.Note{Code: code}) }

// Has reports whether there is a sentence for a code.
func (b *Book) Has(code string) bool {
	_, ok := b.forms[code]
	return ok
}

// Template is the sentence of a code with the names of its values in braces, and those names. The code must be there.
func (b *Book) Template(lang, code string) (sentence string, params []string) {
	f := b.forms[code]
	return f.texts[languageAt(lang)], f.params
}

// Codes lists every code in byte order.
func (b *Book) Codes() []string { return slices.Sorted(maps.Keys(b.forms)) }

func (b *Book) appendParam(buf []byte, n *note.Note, name string, at int) []byte {
	for _, p := range n.Params {
		if p.Name == name {
			if p.Unit == "" && p.Value != "" && p.Value[0] >= 'a' && p.Value[0] <= 'z' {
				return append(buf, b.inWords(at, name, p.Value)...)
			}
			return AppendValue(buf, p.Value, p.Unit)
		}
	}
	return append(buf, '?')
}

// Value is a number with its unit as an eye reads it: 0.15 mm, 15°, 69 %.
func Value(number string, unit quantity.Unit) string {
	if unit == "" {
		return number
	}
	return string(AppendValue(make([]byte, 0, 32), number, unit))
}

// AppendValue appends what Value gives to buf.
func AppendValue(buf []byte, number string, unit quantity.Unit) []byte {
	buf = append(buf, number...)
	if unit == "" {
		return buf
	}
	if unit != quantity.Degree {
		buf = append(buf, ' ')
	}
	return append(buf, unit...)
}

// pieces takes a text apart at the names in braces. Braces around anything else are part of the text.
func pieces(s string) (list []piece) {
	text := ""
	for s != "" {
		before, after, found := strings.Cut(s, "{")
		text += before
		if !found {
			break
		}
		name, rest, closed := strings.Cut(after, "}")
		if !closed || name == "" || strings.Trim(name, "abcdefghijklmnopqrstuvwxyz_") != "" {
			text, s = text+"{", after
			continue
		}
		if text != "" {
			list = append(list, piece{text: text})
		}
		list, text, s = append(list, piece{param: name}), "", rest
	}
	if text != "" || len(list) == 0 {
		list = append(list, piece{text: text})
	}
	return list
}
