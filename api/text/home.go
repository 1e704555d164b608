package text

// homeWords are the first page: what this is, and three ways in.
var homeWords = sentences{
	"word_home_lead": {
		"For people who rebuild small engines: what play is allowed, where to aim, when a part is worn out, what torque a fastener takes; the verdict on what was measured, honest about its uncertainty; and which shims to fit.",
		"Für alle, die kleine Motoren überholen: welches Spiel erlaubt ist, welcher Wert das Ziel ist, wann ein Teil verschlissen ist, welches Drehmoment eine Schraube bekommt; ein Urteil über das Gemessene, ehrlich über seine Unsicherheit; und welche Scheiben einzubauen sind.",
		"Pour ceux qui remettent en état de petits moteurs : quel jeu est admis, quelle valeur viser, quand une pièce est usée, à quel couple serrer une fixation ; le verdict sur ce qui a été mesuré, honnête quant à son incertitude ; et quelles cales monter.",
		"Per chi revisiona piccoli motori: quale gioco è ammesso, a che valore mirare, quando un pezzo è usurato, a quale coppia serrare un elemento; il giudizio su ciò che si è misurato, onesto sulla sua incertezza; e quali spessori montare.",
		"Para quien reconstruye motores pequeños: qué juego se admite, a qué valor apuntar, cuándo una pieza está desgastada, a qué par apretar una fijación; el veredicto sobre lo medido, honesto sobre su incertidumbre; y qué suplementos montar."},
	"word_home_page": {"A product page", "Eine Produktseite", "Une page produit", "Una pagina prodotto", "Una página de producto"},
	"word_home_page_how": {
		"Two lines show a card in the page's language, with its warnings. What stands inside stays where this service is away.",
		"Zwei Zeilen zeigen eine Karte in der Sprache der Seite, mit ihren Warnhinweisen. Was darin steht, bleibt stehen, wenn dieser Dienst nicht erreichbar ist.",
		"Deux lignes montrent une fiche dans la langue de la page, avec ses mises en garde. Ce qui s'y trouve reste affiché quand ce service est absent.",
		"Due righe mostrano una scheda nella lingua della pagina, con le sue avvertenze. Ciò che contiene resta quando questo servizio non risponde.",
		"Dos líneas muestran una ficha en el idioma de la página, con sus advertencias. Lo que hay dentro se queda cuando este servicio no responde."},
	"word_home_fallback":    {"See the maker's manual.", "Siehe Handbuch des Herstellers.", "Voir le manuel du constructeur.", "Vedere il manuale del costruttore.", "Véase el manual del fabricante."},
	"word_home_page_tag":    {"The tag of this build, with its integrity hash", "Das Element dieser Fassung, mit Prüfsumme", "La balise de cette version, avec son empreinte", "Il tag di questa versione, con la sua impronta", "La etiqueta de esta versión, con su huella"},
	"word_home_page_server": {"The same without a script, for a shop that renders on its server", "Dasselbe ohne Skript, für einen Shop, der seine Seiten auf dem Server erzeugt", "La même chose sans script, pour une boutique qui génère ses pages sur son serveur", "Lo stesso senza script, per un negozio che genera le pagine sul suo server", "Lo mismo sin script, para una tienda que genera sus páginas en el servidor"},
	"word_home_dealer":      {"A dealer's system", "Ein Händlersystem", "Le système d'un concessionnaire", "Il sistema di un rivenditore", "El sistema de un concesionario"},
	"word_home_dealer_how": {
		"Readings in, verdicts out, with the revision that judged them: asked again by it, the answer is the same.",
		"Messwerte hinein, Urteile heraus, mit dem Stand, nach dem geurteilt wurde: mit ihm neu gefragt, ist die Antwort wieder dieselbe.",
		"Des mesures en entrée, des verdicts en sortie, avec la révision qui a jugé : redemandée avec elle, la réponse est la même.",
		"Letture in entrata, giudizi in uscita, con la revisione che ha giudicato: chiedendo di nuovo con quella, la risposta è la stessa.",
		"Entran lecturas y salen veredictos, con la revisión que las juzgó: al preguntar de nuevo con ella, la respuesta es la misma."},
	"word_home_practice": {"Cases with expected answers, to hold a client against", "Fälle mit erwarteten Antworten, um ein Programm daran zu prüfen", "Des cas avec leurs réponses attendues, pour éprouver un client", "Casi con le risposte attese, per mettere alla prova un client", "Casos con respuestas esperadas, para poner a prueba un cliente"},
	"word_home_script":   {"A script, a shell line, a spreadsheet cell", "Ein Skript, eine Befehlszeile, eine Tabellenzelle", "Un script, une ligne de commande, une cellule de tableur", "Uno script, una riga di comando, una cella di foglio", "Un script, una línea de comandos, una celda de hoja de cálculo"},
	"word_home_script_how": {
		"The program that serves is also a small client. Tables go in as CSV and come back in their order, whatever their length.",
		"Das Programm, das den Dienst leistet, ist auch ein kleiner Client. Tabellen gehen als CSV hinein und kommen in ihrer Reihenfolge zurück, egal wie lang sie sind.",
		"Le programme qui sert est aussi un petit client. Les tableaux entrent en CSV et reviennent dans leur ordre, quelle que soit leur longueur.",
		"Il programma che serve è anche un piccolo client. Le tabelle entrano in CSV e tornano nel loro ordine, qualunque sia la lunghezza.",
		"El programa que sirve es también un pequeño cliente. Las tablas entran en CSV y vuelven en su orden, sea cual sea su longitud."},
	"word_home_cell":    {"One number, for a cell:", "Eine Zahl, für eine Zelle:", "Un seul nombre, pour une cellule :", "Un solo numero, per una cella:", "Un solo número, para una celda:"},
	"word_home_where":   {"Where things are", "Wo alles zu finden ist", "Où tout se trouve", "Dove si trova tutto", "Dónde está todo"},
	"word_home_version": {"Version {version}", "Fassung {version}", "Version {version}", "Versione {version}", "Versión {version}"},
	"word_home_quiet":   {"No key, no cookie, no tracking; nothing that is sent is stored.", "Kein Schlüssel, kein Cookie, kein Tracking; nichts Gesendetes wird gespeichert.", "Ni clé, ni cookie, ni pistage ; rien de ce qui est envoyé n'est conservé.", "Nessuna chiave, nessun cookie, nessun tracciamento; nulla di ciò che si invia è conservato.", "Sin clave, sin cookies, sin rastreo; nada de lo que se envía se guarda."},
}
