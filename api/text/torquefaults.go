package text

// torqueFaultSentences are faultSentences of questions about torque.
var torqueFaultSentences = sentences{
	"fault_missing_thread":       {"An estimate needs a thread.", "Eine Schätzung braucht ein Gewinde.", "Une estimation demande un filetage.", "Una stima richiede una filettatura.", "Una estimación necesita una rosca."},
	"fault_missing_class":        {"An estimate needs the strength of the bolt.", "Eine Schätzung braucht die Festigkeit der Schraube.", "Une estimation demande la résistance de la vis.", "Una stima richiede la resistenza della vite.", "Una estimación necesita la resistencia del tornillo."},
	"fault_no_face":              {"No standard head of that size is known here.", "Ein Normkopf dieser Größe ist hier nicht bekannt.", "Aucune tête normalisée de ce diamètre n'est connue ici.", "Nessuna testa normalizzata di questa misura è nota qui.", "No se conoce aquí ninguna cabeza normalizada de ese tamaño."},
	"fault_needs_friction":       {"An equal clamp is reckoned from friction.", "Gleiche Klemmkraft wird aus der Reibung berechnet.", "Un serrage égal se calcule à partir du frottement.", "Un serraggio uguale si calcola dall'attrito.", "Un apriete igual se calcula a partir del rozamiento."},
	"fault_unknown_thread":       {"The thread is not known here.", "Das Gewinde ist hier nicht bekannt.", "Le filetage n'est pas connu ici.", "La filettatura non è nota qui.", "La rosca no se conoce aquí."},
	"fault_no_such_pitch":        {"The size has no such pitch.", "Die Größe hat keine solche Steigung.", "Ce diamètre n'a pas ce pas.", "La misura non ha questo passo.", "El tamaño no tiene ese paso."},
	"fault_unknown_class":        {"The class of the bolt is not known here.", "Die Klasse der Schraube ist hier nicht bekannt.", "La classe de la vis n'est pas connue ici.", "La classe della vite non è nota qui.", "La clase del tornillo no se conoce aquí."},
	"fault_class_not_for_thread": {"The class belongs to another system of threads.", "Die Klasse gehört zu einem anderen Gewindesystem.", "La classe appartient à un autre système de filetages.", "La classe appartiene a un altro sistema di filettature.", "La clase pertenece a otro sistema de roscas."},
	"fault_class_not_for_size":   {"The class does not exist in this size.", "Die Klasse gibt es in dieser Größe nicht.", "La classe n'existe pas dans ce diamètre.", "La classe non esiste in questa misura.", "La clase no existe en este tamaño."},
}
