package text

import (
	"strings"

	"golang.org/x/text/feature/plural"
	"golang.org/x/text/language"
	"golang.org/x/text/message/catalog"

	"endfloat/service/spec"
)

// messages is the message catalogue: every sentence under its code in every language, and of a counted one both forms. Which form a number takes is a matter of the Unicode plural rules that the
// catalogue knows.
func messages() (store *catalog.Builder, codes []string) {
	store = catalog.NewBuilder(catalog.Fallback(language.English))
	known := map[string]bool{}
	for _, table := range tables() {
		for code, texts := range table {
			if known[code] {
				panic("text: the code " + code + " stands in two tables")
			}
			known[code], codes = true, append(codes, code)
			for i, t := range texts {
				message := catalog.String(t)
				if c, is := counted[code]; is {
					message = plural.Selectf(1, "%d", plural.One, c.one[i], plural.Other, t)
				}
				if err := store.Set(tags[i], code, message); err != nil {
					panic("text: " + code + ": " + err.Error())
				}
			}
		}
	}
	return store, codes
}

// reading takes a message out of the catalogue, with its values still in braces, as it is for one count.
type reading struct {
	text  strings.Builder
	count int
}

func (r *reading) Render(text string) { r.text.WriteString(text) }
func (r *reading) Arg(int) any        { return r.count }

// read is the text of a code for a count. The values are put in later, by Note: the printer that belongs to the
// catalogue would write numbers as a language does, and takes seven allocations a sentence.
func read(store *catalog.Builder, tag language.Tag, code string, count int) string {
	r := &reading{count: count}
	if err := store.Context(tag, r).Execute(code); err != nil {
		panic("text: " + code + " in " + tag.String() + ": " + err.Error())
	}
	return typeset(tag, r.text.String())
}

// typeset is a text with the spaces that its language puts between a word and a mark: French has a narrow one before ; !
// and ?, a plain one before : and inside quotes, and none of them breaks a line (Lexique des règles typographiques en
// usage à l'Imprimerie nationale, from memory).
func typeset(tag language.Tag, text string) string {
	if tag != language.French {
		return text
	}
	return french.Replace(text)
}

var french = strings.NewReplacer(" ;", "\u202f;", " !", "\u202f!", " ?", "\u202f?", " :", "\u00a0:", "« ", "«\u00a0", " »", "\u00a0»")

// singular reports whether a count takes the form for one, in a language by its place.
func singular(at int, count string) bool {
	n := 0
	for _, c := range []byte(count) {
		if c < '0' || c > '9' || n > 1_000_000 {
			return false
		}
		n = n*10 + int(c-'0')
	}
	return count != "" && plural.Cardinal.MatchPlural(tags[at], n, 0, 0, 0, 0) == plural.One
}

// tags are the languages in the order of spec.Languages.
var tags = func() (list [len(spec.Languages)]language.Tag) {
	for i, l := range spec.Languages {
		list[i] = language.MustParse(l)
	}
	return list
}()
