package text

// labels name what stands beside a value on a product page.
var labels = sentences{
	"word_label_aim":       {"Aim", "Ziel", "Valeur visée", "Obiettivo", "Objetivo"},
	"word_label_wear":      {"Wear limit", "Verschleißgrenze", "Limite d'usure", "Limite di usura", "Límite de desgaste"},
	"word_label_converted": {"Converted", "Umgerechnet", "Converti", "Convertito", "Convertido"},
	"word_label_details":   {"Conditions", "Bedingungen", "Conditions", "Condizioni", "Condiciones"},
	"word_label_source":    {"Source", "Quelle", "Source", "Fonte", "Fuente"},
	"word_label_parts":     {"Parts", "Teile", "Pièces", "Pezzi", "Piezas"},
	"word_label_instead":   {"Instead, with", "Stattdessen, mit", "À la place, avec", "Invece, con", "En su lugar, con"},
	"word_nothing_found":   {"Nothing is known under {asked}.", "Unter {asked} ist nichts bekannt.", "Rien n'est connu sous {asked}.", "Nulla è noto con {asked}.", "No se conoce nada con {asked}."},
	"word_renew_always":    {"renew always", "immer erneuern", "toujours remplacer", "sostituire sempre", "renovar siempre"},
	"word_superseded_by":   {"superseded by {sku}", "ersetzt durch {sku}", "remplacé par {sku}", "sostituito da {sku}", "sustituido por {sku}"},
	"word_times":           {"{count} ×", "{count} ×", "{count} ×", "{count} ×", "{count} ×"},
}
