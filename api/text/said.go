package text

// said are the words for what stands in a parameter as a code, where a sentence shows it: word_said_, the name of the
// parameter, an underscore and the code.
var said = sentences{
	"word_said_verdict_pass":             {"inside", "innerhalb", "dans les limites", "entro i limiti", "dentro de límites"},
	"word_said_verdict_conditional_pass": {"inside, not proven", "innerhalb, nicht nachgewiesen", "dans les limites, non prouvé", "entro i limiti, non dimostrato", "dentro de límites, sin demostrar"},
	"word_said_verdict_conditional_fail": {"outside, not proven", "außerhalb, nicht nachgewiesen", "hors limites, non prouvé", "fuori limite, non dimostrato", "fuera de límites, sin demostrar"},
	"word_said_verdict_fail":             {"outside", "außerhalb", "hors limites", "fuori limite", "fuera de límites"},
	"word_said_verdict_not_judged":       {"not judged", "nicht beurteilt", "non jugé", "non giudicato", "sin juzgar"},

	"word_said_rule_guarded": {"with a guard band (ISO 14253-1)", "mit Sicherheitsband (ISO 14253-1)", "avec bande de garde (ISO 14253-1)", "con banda di guardia (ISO 14253-1)", "con banda de guarda (ISO 14253-1)"},
	"word_said_rule_simple":  {"by the value alone", "allein nach dem Wert", "sur la seule valeur", "sul solo valore", "solo por el valor"},
	"word_said_rule_mean":    {"mean", "Mittel", "moyenne", "media", "media"},
	"word_said_rule_min":     {"lowest place", "tiefste Stelle", "point le plus bas", "punto più basso", "punto más bajo"},
	"word_said_rule_max":     {"highest place", "höchste Stelle", "point le plus haut", "punto più alto", "punto más alto"},
	"word_said_rule_range":   {"largest less smallest", "größter minus kleinster Wert", "plus grand moins plus petit", "massimo meno minimo", "mayor menos menor"},

	"word_said_held_value": {"value", "Wert", "valeur", "valore", "valor"},
	"word_said_held_mean":  {"mean", "Mittel", "moyenne", "media", "media"},
	"word_said_held_min":   {"lowest place", "tiefste Stelle", "point le plus bas", "punto più basso", "punto más bajo"},
	"word_said_held_max":   {"highest place", "höchste Stelle", "point le plus haut", "punto più alto", "punto más alto"},
	"word_said_held_range": {"largest less smallest", "größter minus kleinster Wert", "plus grand moins plus petit", "massimo meno minimo", "mayor menos menor"},

	"word_said_stage_as_built": {"as built", "beim Einbau", "au montage", "al montaggio", "al montar"},
	"word_said_stage_as_found": {"as found", "wie vorgefunden", "à l'état constaté", "nello stato rilevato", "en el estado encontrado"},

	"word_said_source_caller":  {"declared", "angegeben", "déclarée", "dichiarata", "declarada"},
	"word_said_source_assumed": {"assumed", "angenommen", "supposée", "presunta", "supuesta"},
	"word_said_source_bracket": {"from the blades", "aus den Fühlerblättern", "d'après les lames", "dalle lamelle", "de las galgas"},
	"word_said_source_repeats": {"from the repeats", "aus den Wiederholungen", "d'après les répétitions", "dalle ripetizioni", "de las repeticiones"},
	"word_said_source_by_feel": {"by feel", "nach Gefühl", "au toucher", "a sensazione", "al tacto"},

	"word_said_objective_closest":    {"closeness to the aim", "Nähe zum Ziel", "proximité de la valeur visée", "vicinanza all'obiettivo", "cercanía al objetivo"},
	"word_said_objective_fewest_new": {"the fewest new pieces", "die wenigsten neuen Scheiben", "le moins de pièces neuves", "il minor numero di pezzi nuovi", "el menor número de piezas nuevas"},

	"word_said_instrument_feeler":           {"feeler blades", "Fühlerlehre", "jauge d'épaisseur", "spessimetro a lamelle", "galgas de espesores"},
	"word_said_instrument_dial":             {"dial indicator", "Messuhr", "comparateur", "comparatore", "reloj comparador"},
	"word_said_instrument_micrometer":       {"micrometer", "Bügelmessschraube", "micromètre", "micrometro", "micrómetro"},
	"word_said_instrument_bore_gauge":       {"bore gauge", "Innenmessgerät", "alésomètre", "alesametro", "alexómetro"},
	"word_said_instrument_depth_micrometer": {"depth micrometer", "Tiefenmessschraube", "micromètre de profondeur", "micrometro di profondità", "micrómetro de profundidad"},
	"word_said_instrument_calliper":         {"calliper", "Messschieber", "pied à coulisse", "calibro a corsoio", "pie de rey"},
	"word_said_instrument_solder":           {"soft solder", "Lötdraht", "fil d'étain", "filo di stagno", "hilo de estaño"},
	"word_said_instrument_crush_strip":      {"crush strip", "Quetschstreifen", "fil calibré à écraser", "filo calibrato", "hilo calibrado"},

	"word_said_thing_engaged_length": {"an engaged length in mm", "eine Einschraubtiefe in mm", "une longueur en prise en mm", "una lunghezza in presa in mm", "una longitud roscada en mm"},
	"word_said_thing_friction":       {"a coefficient of friction", "eine Reibungszahl", "un coefficient de frottement", "un coefficiente d'attrito", "un coeficiente de rozamiento"},
	"word_said_thing_nut_factor":     {"a nut factor", "ein K-Faktor", "un coefficient de couple", "un fattore di coppia", "un factor de par"},
	"word_said_thing_shear_strength": {"a shear strength in MPa", "eine Scherfestigkeit in MPa", "une résistance au cisaillement en MPa", "una resistenza al taglio in MPa", "una resistencia a cortadura en MPa"},
	"word_said_thing_stiffness":      {"a stiffness", "eine Steifigkeit", "une raideur", "una rigidezza", "una rigidez"},
	"word_said_type_array":           {"an array", "eine Liste", "une liste", "una lista", "una lista"},
	"word_said_type_bool":            {"true or false", "true oder false", "true ou false", "true o false", "true o false"},
	"word_said_type_number":          {"a number", "eine Zahl", "un nombre", "un numero", "un número"},
	"word_said_type_object":          {"an object", "ein Objekt", "un objet", "un oggetto", "un objeto"},
	"word_said_type_string":          {"a string", "ein Text", "un texte", "un testo", "un texto"},
	"word_said_type_null":            {"null", "null", "null", "null", "null"},
	"word_said_type_wrong":           {"of the wrong JSON type", "vom falschen JSON-Typ", "du mauvais type JSON", "del tipo JSON sbagliato", "del tipo JSON equivocado"},

	"word_said_wanted_array":       {"an array", "eine Liste", "une liste", "una lista", "una lista"},
	"word_said_wanted_bool":        {"true or false", "true oder false", "true ou false", "true o false", "true o false"},
	"word_said_wanted_json_number": {"a JSON number", "eine JSON-Zahl", "un nombre JSON", "un numero JSON", "un número JSON"},
	"word_said_wanted_object":      {"an object", "ein Objekt", "un objet", "un oggetto", "un objeto"},
	"word_said_wanted_string":      {"a string", "einen Text", "un texte", "un testo", "un texto"},
	"word_said_wanted_unknown":     {"the JSON type that the OpenAPI file names", "den JSON-Typ, den die OpenAPI-Datei nennt,", "le type JSON qu'indique le fichier OpenAPI", "il tipo JSON indicato nel file OpenAPI", "el tipo JSON que indica el archivo OpenAPI"},
}

// inWords is the word for a code in a parameter; the code itself where there is none.
func (b *Book) inWords(at int, name, value string) string {
	prefix := "word_said_"
	if name == "because" {
		prefix = ""
	}
	if f, known := b.forms[prefix+name+"_"+value]; known && len(f.params) == 0 {
		return f.texts[at]
	}
	return value
}
