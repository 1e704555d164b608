package text_test

import (
	"regexp"
	"testing"

	"endfloat/api/text"
)

// What a language does not say here: figures keep the point in every language, readers are addressed in one way, and one
// thing has one word. The words are common practice of the trade, no source.
var unsaid = []struct{ lang, never, instead string }{
	{"de", `[0-9],[0-9]`, "a decimal point"},
	{"fr", `[0-9],[0-9]`, "a decimal point"},
	{"it", `[0-9],[0-9]`, "a decimal point"},
	{"es", `[0-9],[0-9]`, "a decimal point"},
	{"fr", ` [;:!?»]|« `, "a space that breaks no line before a mark"},
	{"de", `\bSie\b|\bIhr`, "the infinitive"},
	{"fr", `\b[Vv]ous\b|\b[Vv]otre\b`, "the infinitive"},
	{"it", `\bLei\b|\b[Ss]ua scelta\b`, "the infinitive"},
	{"es", `\b[Uu]sted|\b[Vv]uelva\b`, "the infinitive"},
	{"de", `\bLesung|\bbewiesen\b|\bKegel\b|\bBand\b`, "Messwert, nachgewiesen, Konus, Toleranzbereich"},
	{"fr", `\blecture\b|\ballonge\b|\bfautes?\b|incertitudes? types?\b|écarts? types?\b|état trouvé`, "mesure, rallonge, erreur, -type, état constaté"},
	{"it", `gettone|verdett|\bprovat[oi]\b|stampigliat|nominat[ao]\b|coppia frenante`, "token, dimostrato, punzonato, indicato, coppia di autofrenatura"},
	{"es", `encabezado|prolongación|[^s]gastad[oa]|\btestigo de\b`, "cabecera, extensión, desgastado, token"},
}

func TestOneThingHasOneWord(t *testing.T) {
	t.Parallel()
	book := text.New()
	for _, row := range unsaid {
		never := regexp.MustCompile(row.never)
		for _, code := range book.Codes() {
			if sentence, _ := book.Template(row.lang, code); never.MatchString(sentence) {
				t.Errorf("%s %s: %q has %q; say %s", row.lang, code, sentence, never.FindString(sentence), row.instead)
			}
		}
	}
}
