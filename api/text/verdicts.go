package text

// verdictWords say in a builder's words what a verdict is. The code is verdict_ and the verdict, narrowed by its reason.
var verdictWords = sentences{
	"verdict_pass":                           {"inside", "innerhalb", "dans les limites", "entro i limiti", "dentro de límites"},
	"verdict_pass_word":                      {"in order", "in Ordnung", "conforme", "conforme", "conforme"},
	"verdict_pass_worn":                      {"worn but serviceable ({used} of the allowance used)", "verschlissen, noch brauchbar ({used} des Verschleißvorrats verbraucht)", "usé mais utilisable ({used} de la réserve consommée)", "usurato ma utilizzabile ({used} della riserva consumata)", "desgastado pero utilizable ({used} de la reserva consumida)"},
	"verdict_conditional_pass":               {"inside, not proven", "innerhalb, nicht nachgewiesen", "dans les limites, non prouvé", "entro i limiti, non dimostrato", "dentro de límites, sin demostrar"},
	"verdict_conditional_pass_share":         {"inside, not proven ({probability})", "innerhalb, nicht nachgewiesen ({probability})", "dans les limites, non prouvé ({probability})", "entro i limiti, non dimostrato ({probability})", "dentro de límites, sin demostrar ({probability})"},
	"verdict_conditional_pass_estimated":     {"inside by estimate, not measured", "innerhalb nach Schätzung, nicht gemessen", "dans les limites par estimation, non mesuré", "entro i limiti a stima, non misurato", "dentro de límites por estimación, sin medir"},
	"verdict_conditional_pass_one_place_out": {"the mean is inside, a place is outside", "Mittel innerhalb, eine Stelle außerhalb", "la moyenne est dans les limites, un point est hors limites", "media entro i limiti, un punto fuori limite", "la media está dentro de límites, un punto está fuera de límites"},
	"verdict_conditional_fail":               {"outside, not proven", "außerhalb, nicht nachgewiesen", "hors limites, non prouvé", "fuori limite, non dimostrato", "fuera de límites, sin demostrar"},
	"verdict_conditional_fail_share":         {"outside, not proven ({probability} inside)", "außerhalb, nicht nachgewiesen ({probability} innerhalb)", "hors limites, non prouvé ({probability} dans les limites)", "fuori limite, non dimostrato ({probability} entro i limiti)", "fuera de límites, sin demostrar ({probability} dentro de límites)"},
	"verdict_conditional_fail_estimated":     {"outside by estimate, not measured", "außerhalb nach Schätzung, nicht gemessen", "hors limites par estimation, non mesuré", "fuori limite a stima, non misurato", "fuera de límites por estimación, sin medir"},
	"verdict_fail":                           {"not in order", "nicht in Ordnung", "non conforme", "non conforme", "no conforme"},
	"verdict_fail_below":                     {"outside: below the lower limit", "außerhalb, unter der unteren Grenze", "hors limites, sous la limite inférieure", "fuori limite, sotto il limite inferiore", "fuera de límites, por debajo del límite inferior"},
	"verdict_fail_above":                     {"outside: above the upper limit", "außerhalb, über der oberen Grenze", "hors limites, au-dessus de la limite supérieure", "fuori limite, sopra il limite superiore", "fuera de límites, por encima del límite superior"},
	"verdict_fail_angle_below":               {"outside: the angle is too small", "außerhalb, der Winkel ist zu klein", "hors limites, l'angle est trop petit", "fuori limite, l'angolo è troppo piccolo", "fuera de límites, el ángulo es demasiado pequeño"},
	"verdict_fail_angle_above":               {"outside: the angle is too large", "außerhalb, der Winkel ist zu groß", "hors limites, l'angle est trop grand", "fuori limite, l'angolo è troppo grande", "fuera de límites, el ángulo es demasiado grande"},
	"verdict_fail_worn_out":                  {"worn out: past the wear limit", "verschlissen, jenseits der Verschleißgrenze", "usé, au-delà de la limite d'usure", "usurato, oltre il limite di usura", "desgastado, más allá del límite de desgaste"},
	"verdict_not_judged":                     {"not judged: {reason}", "nicht beurteilt ({reason})", "non jugé ({reason})", "non giudicato ({reason})", "sin juzgar ({reason})"},
	"verdict_problem":                        {"not judged, the row cannot be accepted: {reason}", "nicht beurteilt, die Zeile ist nicht annehmbar: {reason}", "non jugé, la ligne n'est pas acceptable : {reason}", "non giudicato, la riga non è accettabile: {reason}", "sin juzgar, la fila no se puede aceptar: {reason}"},
	"word_basis_measured":                    {"measured", "gemessen", "mesuré", "misurato", "medido"},
	"word_basis_estimated":                   {"estimated, not measured", "geschätzt, nicht gemessen", "estimé, non mesuré", "stimato, non misurato", "estimado, no medido"},
	"word_basis_derived":                     {"worked out from other readings", "aus anderen Messungen errechnet", "calculé d'après d'autres mesures", "calcolato da altre misure", "calculado a partir de otras medidas"},
	"word_position_below":                    {"below the lower limit", "unter der unteren Grenze", "sous la limite inférieure", "sotto il limite inferiore", "por debajo del límite inferior"},
	"word_position_within":                   {"within the limits", "innerhalb der Grenzen", "dans les limites", "entro i limiti", "dentro de los límites"},
	"word_position_above":                    {"above the upper limit", "über der oberen Grenze", "au-dessus de la limite supérieure", "sopra il limite superiore", "por encima del límite superior"},
	"word_position_worn_out":                 {"past the wear limit", "jenseits der Verschleißgrenze", "au-delà de la limite d'usure", "oltre il limite di usura", "más allá del límite de desgaste"},
	"word_lowest_place":                      {"lowest place {value}", "tiefste Stelle {value}", "point le plus bas {value}", "punto più basso {value}", "punto más bajo {value}"},
	"word_highest_place":                     {"highest place {value}", "höchste Stelle {value}", "point le plus haut {value}", "punto più alto {value}", "punto más alto {value}"},
	"word_tightest_pairing":                  {"tightest pairing {value}", "engste Paarung {value}", "appariement le plus serré {value}", "accoppiamento più stretto {value}", "emparejamiento más justo {value}"},
	"word_loosest_pairing":                   {"loosest pairing {value}", "weiteste Paarung {value}", "appariement le plus lâche {value}", "accoppiamento più largo {value}", "emparejamiento más holgado {value}"},
	"word_on_the_mean":                       {"mean {value}", "Mittel {value}", "moyenne {value}", "media {value}", "media {value}"},
	"word_allowed_new":                       {"new parts {value}", "Neuteile {value}", "pièces neuves {value}", "pezzi nuovi {value}", "piezas nuevas {value}"},
	"word_wear_limit":                        {"wear limit {value}", "Verschleißgrenze {value}", "limite d'usure {value}", "limite di usura {value}", "límite de desgaste {value}"},
	"view_supplier_can":                      {"The supplier can prove that the value is inside.", "Der Lieferant kann nachweisen, dass der Wert innerhalb liegt.", "Le fournisseur peut prouver que la valeur est dans les limites.", "Il fornitore può dimostrare che il valore è entro i limiti.", "El proveedor puede demostrar que el valor está dentro de límites."},
	"view_supplier_cannot":                   {"The supplier cannot prove that the value is inside.", "Der Lieferant kann nicht nachweisen, dass der Wert innerhalb liegt.", "Le fournisseur ne peut pas prouver que la valeur est dans les limites.", "Il fornitore non può dimostrare che il valore è entro i limiti.", "El proveedor no puede demostrar que el valor está dentro de límites."},
	"view_customer_can":                      {"The customer can prove that the value is outside.", "Der Kunde kann nachweisen, dass der Wert außerhalb liegt.", "Le client peut prouver que la valeur est hors limites.", "Il cliente può dimostrare che il valore è fuori limite.", "El cliente puede demostrar que el valor está fuera de límites."},
	"view_customer_cannot":                   {"The customer cannot prove that the value is outside.", "Der Kunde kann nicht nachweisen, dass der Wert außerhalb liegt.", "Le client ne peut pas prouver que la valeur est hors limites.", "Il cliente non può dimostrare che il valore è fuori limite.", "El cliente no puede demostrar que el valor está fuera de límites."},
}

// actionWords say what to do next. The code is action_ and the action.
var actionWords = sentences{
	"action_accept":           {"accept", "annehmen", "accepter", "accettare", "aceptar"},
	"action_accept_with_note": {"accept with a note", "mit Vermerk annehmen", "accepter avec une note", "accettare con una nota", "aceptar con una nota"},
	"action_adjust":           {"adjust", "einstellen", "régler", "regolare", "ajustar"},
	"action_machine":          {"machine", "bearbeiten", "usiner", "lavorare", "mecanizar"},
	"action_replace":          {"replace", "ersetzen", "remplacer", "sostituire", "sustituir"},
	"action_measure_again":    {"measure again", "nochmals messen", "mesurer de nouveau", "misurare di nuovo", "medir de nuevo"},
	"action_ask":              {"ask before going on", "vor dem Weitermachen nachfragen", "demander avant de continuer", "chiedere prima di continuare", "preguntar antes de seguir"},
}

// becauseWords say why a verdict is not decided. The code is because_ and the reason.
var becauseWords = sentences{
	"because_uncertainty":       {"the uncertainty reaches a limit", "die Unsicherheit reicht an eine Grenze", "l'incertitude atteint une limite", "l'incertezza raggiunge un limite", "la incertidumbre alcanza un límite"},
	"because_estimated":         {"it is estimated and not measured", "geschätzt und nicht gemessen", "estimé et non mesuré", "stimato e non misurato", "estimado y no medido"},
	"because_one_place_out":     {"a place is outside", "eine Stelle liegt außerhalb", "un point est hors limites", "un punto è fuori limite", "un punto está fuera de límites"},
	"because_condition":         {"the fastener was tightened in another condition than published", "in anderem Zustand angezogen als veröffentlicht", "serré dans un autre état que publié", "serrato in uno stato diverso da quello pubblicato", "apretado en otro estado que el publicado"},
	"because_angle_missing":     {"the angle is missing", "der Winkel fehlt", "l'angle manque", "manca l'angolo", "falta el ángulo"},
	"because_variant":           {"the value depends on the variant", "der Wert hängt von der Variante ab", "la valeur dépend de la variante", "il valore dipende dalla variante", "el valor depende de la variante"},
	"because_missing":           {"nothing was read", "nichts gemessen", "rien n'a été mesuré", "non è stato misurato nulla", "no se midió nada"},
	"because_blades_contradict": {"the blades contradict each other", "die Fühlerblätter widersprechen sich", "les lames se contredisent", "le lamelle si contraddicono", "las galgas se contradicen"},
	"because_below_gauge":       {"no blade enters", "kein Fühlerblatt passt hinein", "aucune lame n'entre", "nessuna lamella entra", "no entra ninguna galga"},
	"because_above_gauge":       {"every blade enters", "jedes Fühlerblatt passt hinein", "toutes les lames entrent", "ogni lamella entra", "entran todas las galgas"},
	"because_few_places":        {"too few places", "zu wenige Stellen", "trop peu de points", "troppo pochi punti", "demasiado pocos puntos"},
	"because_implausible":       {"the figure cannot be true", "die Zahl kann nicht stimmen", "le chiffre ne peut pas être vrai", "la cifra non può essere vera", "la cifra no puede ser cierta"},
	"because_check_high":        {"a check reading above the band is not over-tight", "eine Nachprüfung über dem Toleranzbereich heißt nicht überzogen", "un contrôle au-dessus de la plage n'est pas un excès de serrage", "un controllo sopra l'intervallo non è un serraggio eccessivo", "una comprobación por encima del intervalo no es un apriete excesivo"},
	"because_no_band":           {"there is no band to hold it to", "es gibt dafür keinen Toleranzbereich", "il n'y a pas de plage à respecter", "non c'è un intervallo a cui riferirsi", "no hay intervalo con que compararlo"},
	"because_not_published":     {"no value is published", "kein Wert veröffentlicht", "aucune valeur publiée", "nessun valore pubblicato", "ningún valor publicado"},
	"because_out_of_scope":      {"brake, steering and lifting fasteners are refused", "Verbindungen an Bremse, Lenkung und Hebezeug werden abgelehnt", "les fixations de frein, de direction et de levage sont refusées", "gli elementi di freni, sterzo e sollevamento sono rifiutati", "se rechazan fijaciones de frenos, dirección y elevación"},
	"because_mixed_units":       {"the units do not go together", "die Einheiten passen nicht zusammen", "les unités ne vont pas ensemble", "le unità non vanno insieme", "las unidades no concuerdan"},
	"because_unknown_category":  {"the word is not known to the spec", "die Vorgabe kennt dieses Wort nicht", "la spécification ne connaît pas ce mot", "la parola non è nota alla specifica", "la palabra no figura en la especificación"},
	"because_no_uncertainty":    {"the policy requires an uncertainty", "die Richtlinie verlangt eine Unsicherheit", "la politique exige une incertitude", "il criterio richiede un'incertezza", "la política exige una incertidumbre"},
}

// planWords say what to measure with. The code is plan_ and what is said.
var planWords = sentences{
	"plan_none":          {"nothing to plan: {reason}", "nichts zu planen: {reason}", "rien à prévoir : {reason}", "nulla da pianificare: {reason}", "nada que planificar: {reason}"},
	"plan_words":         {"this spec is judged by words or by an angle", "diese Vorgabe wird nach Wörtern oder einem Winkel beurteilt", "cette spécification se juge par des mots ou un angle", "questa specifica si giudica con parole o un angolo", "esta especificación se juzga con palabras o un ángulo"},
	"plan_places":        {"Measure at {places} places or more.", "An mindestens {places} Stellen messen.", "Mesurer en {places} points ou plus.", "Misurare in {places} punti o più.", "Medir en {places} puntos o más."},
	"plan_instrument":    {"{instrument}: {judgement}.", "{instrument}: {judgement}.", "{instrument} : {judgement}.", "{instrument}: {judgement}.", "{instrument}: {judgement}."},
	"plan_no_instrument": {"No usual instrument is good enough for this band.", "Kein übliches Messmittel genügt für diesen Toleranzbereich.", "Aucun instrument courant ne suffit pour cette plage.", "Nessuno strumento usuale basta per questo intervallo.", "Ningún instrumento usual basta para este intervalo."},
	"plan_good":          {"good enough", "genau genug", "assez précis", "abbastanza preciso", "suficientemente preciso"},
	"plan_good_work_to":  {"good enough, work to {limits}", "genau genug, auf {limits} arbeiten", "assez précis, viser {limits}", "abbastanza preciso, lavorare a {limits}", "suficientemente preciso, trabajar a {limits}"},
	"plan_coarse":        {"too coarse", "zu grob", "trop grossier", "troppo grossolano", "demasiado tosco"},
}
