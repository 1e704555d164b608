package text

// words are phrases that texts are put together from.
var words = sentences{
	"word_not_below":     {"not below", "nicht darunter", "pas en dessous", "non al di sotto", "no por debajo"},
	"word_not_above":     {"not above", "nicht darüber", "pas au-dessus", "non al di sopra", "no por encima"},
	"word_at_least":      {"at least {value}", "mindestens {value}", "au moins {value}", "almeno {value}", "al menos {value}"},
	"word_at_most":       {"at most {value}", "höchstens {value}", "au plus {value}", "al massimo {value}", "como máximo {value}"},
	"word_aim":           {"aim {value}", "Ziel {value}", "viser {value}", "mirare a {value}", "objetivo {value}"},
	"word_worn_out_past": {"worn out past {value}", "verschlissen über {value}", "usé au-delà de {value}", "usurato oltre {value}", "desgastado más allá de {value}"},
	"word_left_hand": {"LEFT-HAND THREAD (tightens anticlockwise, loosens clockwise)", "LINKSGEWINDE (anziehen gegen, lösen im Uhrzeigersinn)",
		"FILETAGE À GAUCHE (se serre en sens antihoraire, se desserre en sens horaire)", "FILETTATURA SINISTRA (si serra in senso antiorario, si svita in senso orario)",
		"ROSCA A IZQUIERDAS (se aprieta en sentido antihorario, se afloja en sentido horario)"},
	"word_not_published": {"not published", "nicht veröffentlicht", "non publié", "non pubblicato", "no publicado"},
	"word_out_of_scope": {"out of scope: brake, steering and lifting fasteners are refused", "nicht im Umfang: Verbindungen an Bremse, Lenkung und Hebezeug werden abgelehnt",
		"hors du domaine : les fixations de frein, de direction et de levage sont refusées", "fuori ambito: elementi di freni, sterzo e sollevamento sono rifiutati",
		"fuera de alcance: se rechazan fijaciones de frenos, dirección y elevación"},
	"word_policy":    {"±{percent} by policy, not published", "±{percent} nach Hausregel, nicht veröffentlicht", "±{percent} par règle interne, non publié", "±{percent} per regola interna, non pubblicato", "±{percent} por norma propia, no publicado"},
	"word_converted": {"converted", "umgerechnet", "converti", "convertito", "convertido"},
}
