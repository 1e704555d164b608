package text

import "endfloat/service/spec"

// singularForm is what a sentence says of one, by the value that counts.
type singularForm struct {
	by  string
	one [len(spec.Languages)]string
}

// counted are the sentences whose words change with a count of one; what they say otherwise stands in their tables.
var counted = map[string]singularForm{
	"few_places": {"places", [...]string{"Measured at {places} of {minimum} places.", "An {places} von {minimum} Stellen gemessen.",
		"Mesuré en {places} point sur {minimum}.", "Misurato in {places} punto su {minimum}.", "Medido en {places} de {minimum} puntos."}},
	"few_repeats": {"repeats", [...]string{"{repeats} repeat is too few for its scatter to count; from {needed} on it does.", "{repeats} Wiederholung reicht nicht, um die Streuung zu werten; ab {needed} zählt sie.",
		"{repeats} répétition ne suffit pas pour compter sa dispersion ; à partir de {needed} elle compte.", "{repeats} ripetizione è poca per contarne la dispersione; da {needed} in poi conta.", "{repeats} repetición es poca para contar su dispersión; desde {needed} cuenta."}},
	"plan_places": {"places", [...]string{"Measure at {places} place or more.", "An mindestens {places} Stelle messen.",
		"Mesurer en {places} point ou plus.", "Misurare in {places} punto o più.", "Medir en {places} punto o más."}},
	"trace_places": {"count", [...]string{"{count} place read: {min}.", "{count} Stelle gemessen: {min}.", "{count} point mesuré : {min}.", "{count} punto misurato: {min}.", "{count} punto medido: {min}."}},
	"verified_sheet_altered": {"count", [...]string{"The signature fits, but the sheet beside it is another: {count} place differs.",
		"Die Signatur passt, aber das Prüfblatt daneben ist ein anderes: {count} Stelle weicht ab.", "La signature convient, mais la feuille présentée est autre : {count} endroit diffère.",
		"La firma è valida, ma la scheda presentata è un'altra: {count} punto differisce.", "La firma encaja, pero la hoja presentada es otra: difiere {count} lugar."}},
	"outcome_counts": {"lines", [...]string{
		"{lines} line: {pass} proven, {conditional_pass} inside and not proven, {conditional_fail} outside and not proven, {fail} outside, {not_judged} not judged. Estimated: {estimated}. Missing: {missing}. Waived: {waived}. Contradictions: {contradictions}.",
		"{lines} Zeile: {pass} nachgewiesen, {conditional_pass} innerhalb und nicht nachgewiesen, {conditional_fail} außerhalb und nicht nachgewiesen, {fail} außerhalb, {not_judged} nicht beurteilt. Geschätzt: {estimated}. Fehlend: {missing}. Mit Sonderfreigabe: {waived}. Widersprüche: {contradictions}.",
		"{lines} ligne. Prouvé : {pass}. Dans les limites, non prouvé : {conditional_pass}. Hors limites, non prouvé : {conditional_fail}. Hors limites : {fail}. Non jugé : {not_judged}. Estimé : {estimated}. Manquant : {missing}. Par dérogation : {waived}. Contradictions : {contradictions}.",
		"{lines} riga. Dimostrato: {pass}. Entro i limiti, non dimostrato: {conditional_pass}. Fuori limite, non dimostrato: {conditional_fail}. Fuori limite: {fail}. Non giudicato: {not_judged}. Stimato: {estimated}. Mancante: {missing}. In deroga: {waived}. Contraddizioni: {contradictions}.",
		"{lines} línea. Demostrado: {pass}. Dentro de límites, sin demostrar: {conditional_pass}. Fuera de límites, sin demostrar: {conditional_fail}. Fuera de límites: {fail}. Sin juzgar: {not_judged}. Estimado: {estimated}. Falta: {missing}. Con concesión: {waived}. Contradicciones: {contradictions}."}},
}
