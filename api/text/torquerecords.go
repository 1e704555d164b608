package text

// recordSentences are what judging says of torque records beside the warnings of all readings.
var recordSentences = sentences{
	"because_earlier_stage":   {"a figure on the way to the last stage", "eine Zahl auf dem Weg zur letzten Stufe", "une valeur avant la dernière étape", "una cifra prima dell'ultima fase", "una cifra antes de la última etapa"},
	"last_stage_missing":      {"The last of {stages} stages was not recorded.", "Die letzte von {stages} Stufen wurde nicht aufgeschrieben.", "La dernière des {stages} étapes n'a pas été notée.", "L'ultima delle {stages} fasi non è stata annotata.", "No se anotó la última de las {stages} etapas."},
	"of_stage":                {"It belongs to stage {stage}.", "Es gehört zur Stufe {stage}.", "Cela appartient à l'étape {stage}.", "Appartiene alla fase {stage}.", "Pertenece a la etapa {stage}."},
	"undo_and_tighten_afresh": {"Undo it, prepare or renew it, and tighten it afresh.", "Lösen, vorbereiten oder erneuern und neu anziehen.", "Desserrer, préparer ou remplacer, puis resserrer.", "Svitare, preparare o sostituire, poi serrare di nuovo.", "Aflojarla, prepararla o renovarla y apretarla de nuevo."},
	"running_torque_missing":  {"The running torque of the nut is extra and was not recorded: the reading was held to the band as it stands.", "Das Klemmdrehmoment der Mutter kommt dazu und wurde nicht aufgeschrieben: der Messwert wurde unverändert mit dem Toleranzbereich verglichen.", "Le couple de freinage de l'écrou s'ajoute et n'a pas été noté : la mesure a été comparée telle quelle.", "La coppia di autofrenatura del dado è in più e non è stata annotata: la lettura è stata confrontata così com'è.", "El par de autofrenado de la tuerca es aparte y no se anotó: la lectura se comparó tal cual."},
}
