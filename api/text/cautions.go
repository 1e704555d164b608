package text

// cautionSentences are the warnings about harm. Their codes and severities are catalogue data.
var cautionSentences = sentences{
	"left_hand_thread": {
		"Left-hand thread: tightens anticlockwise, loosens clockwise.",
		"Linksgewinde: anziehen gegen den Uhrzeigersinn, lösen im Uhrzeigersinn.",
		"Filetage à gauche : se serre dans le sens antihoraire, se desserre dans le sens horaire.",
		"Filettatura sinistra: si serra in senso antiorario, si svita in senso orario.",
		"Rosca a izquierdas: se aprieta en sentido antihorario, se afloja en sentido horario."},
	"word_caution_of_caller": {
		"Caution of the caller's own spec: {caution}.",
		"Warnhinweis der eigenen Vorgabe: {caution}.",
		"Mise en garde de la spécification du demandeur : {caution}.",
		"Avvertenza della specifica del richiedente: {caution}.",
		"Advertencia de la especificación del solicitante: {caution}."},
	"not_for_brake_steering_lifting": {
		"Not for brake, steering, lifting or restraint fasteners.",
		"Nicht für Verbindungen an Bremse, Lenkung, Hebezeug oder Rückhaltesystem.",
		"Pas pour les fixations de frein, de direction, de levage ou de retenue.",
		"Non per elementi di fissaggio di freni, sterzo, sollevamento o ritenuta.",
		"No para fijaciones de frenos, dirección, elevación o retención."},
	"demo_values": {
		"DEMO values: invented, for trying the service only. Never build an engine by them.",
		"DEMO-Werte: erfunden, nur zum Ausprobieren. Nie einen Motor danach bauen.",
		"Valeurs DEMO : inventées, pour essai du service seulement. Ne jamais monter un moteur d'après elles.",
		"Valori DEMO: inventati, solo per provare il servizio. Mai montare un motore con essi.",
		"Valores DEMO: inventados, solo para probar el servicio. Nunca montar un motor con ellos."},
	"verify_with_maker": {
		"Check against the maker's own current manual; local rules and a qualified technician come first.",
		"Am aktuellen Handbuch des Herstellers prüfen; örtliche Vorschriften und Fachpersonal gehen vor.",
		"À vérifier avec le manuel actuel du constructeur ; les règles locales et un technicien qualifié priment.",
		"Verificare con il manuale aggiornato del costruttore; le norme locali e un tecnico qualificato prevalgono.",
		"Comprobar con el manual vigente del fabricante; prevalecen las normas locales y un técnico cualificado."},
	"circlip_eye_protection": {
		"Circlips and springs can fly off: wear eye protection.",
		"Sicherungsringe und Federn können wegspringen: Augenschutz tragen.",
		"Les circlips et les ressorts peuvent être projetés : porter des lunettes de protection.",
		"Anelli elastici e molle possono saltare via: portare occhiali protettivi.",
		"Los anillos elásticos y los muelles pueden salir disparados: usar protección ocular."},
	"hot_parts": {
		"Hot parts burn: wear gloves, and re-torque only when fully cold unless the spec says hot.",
		"Heiße Teile, Verbrennungsgefahr: Handschuhe tragen; nur ganz kalt nachziehen, wenn nichts anderes angegeben ist.",
		"Les pièces chaudes brûlent : porter des gants ; ne resserrer qu'à froid complet sauf indication contraire.",
		"Le parti calde ustionano: portare guanti; riserrare solo a freddo completo salvo diversa indicazione.",
		"Las piezas calientes queman: usar guantes; reapretar solo totalmente frío salvo indicación contraria."},
	"flywheel_puller": {
		"Flywheel: use the proper puller and holding tool, never a hammer on the shaft end; mind the magnets.",
		"Schwungrad: passenden Abzieher und Haltewerkzeug benutzen, nie auf das Wellenende schlagen; Vorsicht bei den Magneten.",
		"Volant : utiliser l'extracteur et l'outil de maintien appropriés, jamais de marteau sur le bout d'arbre ; attention aux aimants.",
		"Volano: usare l'estrattore e l'attrezzo di bloccaggio adatti, mai il martello sull'estremità dell'albero; attenzione ai magneti.",
		"Volante: usar el extractor y el útil de sujeción adecuados, nunca un martillo en el extremo del eje; cuidado con los imanes."},
	"fuel_vapour": {
		"Fuel vapour and exhaust gas: no flame or spark, ventilate well.",
		"Kraftstoffdämpfe und Abgas: keine Flammen oder Funken, gut lüften.",
		"Vapeurs de carburant et gaz d'échappement : ni flamme ni étincelle, bien ventiler.",
		"Vapori di carburante e gas di scarico: niente fiamme o scintille, ventilare bene.",
		"Vapores de combustible y gases de escape: sin llamas ni chispas, ventilar bien."},
	"pressure": {
		"Pressure: limit it, wear eye protection, never spin bearings with air.",
		"Druck: begrenzen, Augenschutz tragen, Lager nie mit Druckluft drehen.",
		"Pression : la limiter, porter des lunettes, ne jamais faire tourner les roulements à l'air comprimé.",
		"Pressione: limitarla, portare occhiali, mai far girare i cuscinetti con aria compressa.",
		"Presión: limitarla, usar protección ocular, nunca girar rodamientos con aire."},
	"stored_energy": {
		"The engine can start or kick: spark plug out, lead earthed, drive disconnected.",
		"Der Motor kann anspringen oder zurückschlagen: Zündkerze heraus, Kabel an Masse, Antrieb getrennt.",
		"Le moteur peut démarrer ou donner un retour : bougie déposée, fil à la masse, transmission désaccouplée.",
		"Il motore può avviarsi o dare un contraccolpo: candela tolta, cavo a massa, trasmissione scollegata.",
		"El motor puede arrancar o dar un retroceso: bujía fuera, cable a masa, transmisión desconectada."},
	"rotating_parts": {
		"Rotating parts: keep guards on and hands, clothes and hair away.",
		"Drehende Teile: Schutzabdeckungen nicht abnehmen, Hände, Kleidung und Haare fernhalten.",
		"Pièces en rotation : garder les protections, éloigner mains, vêtements et cheveux.",
		"Parti rotanti: lasciare le protezioni, tenere lontani mani, abiti e capelli.",
		"Piezas giratorias: mantener las protecciones y alejar manos, ropa y pelo."},
	"one_time_part": {
		"One-time part: renew it, never use it twice.",
		"Einmalteil: erneuern, nie zweimal verwenden.",
		"Pièce à usage unique : la remplacer, ne jamais la réutiliser.",
		"Pezzo monouso: sostituirlo, mai riutilizzarlo.",
		"Pieza de un solo uso: renovarla, nunca reutilizarla."},
	"do_not_close": {
		"Do not close or run it until this is proven.",
		"Nicht schließen oder laufen lassen, bevor dies nachgewiesen ist.",
		"Ne pas refermer ni faire tourner avant que ce soit prouvé.",
		"Non chiudere né avviare finché non è dimostrato.",
		"No cerrar ni poner en marcha hasta que esté demostrado."},
	"qualified_technician": {
		"Work for a qualified technician; keep to local rules.",
		"Arbeit für Fachpersonal; örtliche Vorschriften beachten.",
		"Travail pour un technicien qualifié ; respecter les règles locales.",
		"Lavoro per un tecnico qualificato; rispettare le norme locali.",
		"Trabajo para un técnico cualificado; respetar las normas locales."},
	"thread_lock_dust": {
		"Thread lock, solvent and old gasket dust harm skin and lungs: gloves, no dry scraping.",
		"Schraubensicherung, Lösemittel und alter Dichtungsstaub schaden Haut und Lunge: Handschuhe, nicht trocken schaben.",
		"Frein-filet, solvant et poussière de vieux joints nuisent à la peau et aux poumons : gants, pas de grattage à sec.",
		"Frenafiletti, solventi e polvere di vecchie guarnizioni nuocciono a pelle e polmoni: guanti, non raschiare a secco.",
		"Fijador de roscas, disolvente y polvo de juntas viejas dañan piel y pulmones: guantes, no raspar en seco."},
}
