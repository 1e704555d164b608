package text

// instrumentBases say where the figure of an instrument comes from, as the catalogue that comes with the service has it;
// what another catalogue says stands in its own words.
var instrumentBases = sentences{
	"word_basis_common_practice": {"common practice, no source", "allgemeine Praxis, keine Quelle", "pratique courante, sans source", "pratica comune, senza fonte", "práctica común, sin fuente"},
	"word_basis_bracket":         {"the bracket between two blades, and no more; common practice, no source", "das Intervall zwischen zwei Fühlerblättern und nicht mehr; allgemeine Praxis, keine Quelle", "l'encadrement entre deux lames, rien de plus ; pratique courante, sans source", "l'intervallo tra due lamelle e nient'altro; pratica comune, senza fonte", "el intervalo entre dos galgas y nada más; práctica común, sin fuente"},
	"word_basis_iso_6789":        {"ISO 6789-1:2017, type II: ±4 %, or ±6 % where the tool's maximum is at most 10 N·m; from general literature", "ISO 6789-1:2017, Typ II: ±4 %, oder ±6 %, wo das Werkzeug höchstens bis 10 N·m reicht; aus allgemeiner Literatur", "ISO 6789-1:2017, type II : ±4 %, ou ±6 % si le maximum de l'outil ne dépasse pas 10 N·m ; d'après la littérature générale", "ISO 6789-1:2017, tipo II: ±4 %, o ±6 % se il massimo dell'attrezzo non supera 10 N·m; dalla letteratura generale", "ISO 6789-1:2017, tipo II: ±4 %, o ±6 % si el máximo de la herramienta no pasa de 10 N·m; de la literatura general"},
	"word_basis_by_feel":         {"one standard uncertainty of 20 % of what is judged; common practice, no source", "eine Standardunsicherheit von 20 % dessen, was beurteilt wird; allgemeine Praxis, keine Quelle", "une incertitude-type de 20 % de ce qui est jugé ; pratique courante, sans source", "un'incertezza tipo del 20 % di ciò che si giudica; pratica comune, senza fonte", "una incertidumbre típica del 20 % de lo que se juzga; práctica común, sin fuente"},
	"word_basis_third_of_band":   {"a third of the band", "ein Drittel des Toleranzbereichs", "un tiers de la plage", "un terzo dell'intervallo", "un tercio del intervalo"},
}

// Basis is where the figure of an instrument comes from, in a language: the catalogue's own words where the book does not
// have them.
func (b *Book) Basis(lang, english string) string {
	for code, texts := range instrumentBases {
		if texts[0] == english {
			return b.Word(lang, code)
		}
	}
	return english
}
