package text

// edgeSentences are faults that a proxy in front of the service finds before the service is asked (docker/nginx.conf).
var edgeSentences = sentences{
	"fault_bad_http": {"This is no request that can be passed on.", "Das ist keine Anfrage, die weitergegeben werden kann.",
		"Ce n'est pas une requête qui puisse être transmise.", "Questa non è una richiesta che si possa inoltrare.",
		"Esta no es una petición que se pueda transmitir."},
	"fault_no_replica": {"The service cannot be reached now.", "Der Dienst ist gerade nicht zu erreichen.",
		"Le service n'est pas joignable pour l'instant.", "Il servizio non è raggiungibile al momento.",
		"El servicio no está accesible ahora."},
	"fault_too_many_connections": {"Too many requests from one address are open at once.", "Von einer Adresse sind zu viele Anfragen zugleich offen.",
		"Trop de requêtes d'une même adresse sont ouvertes à la fois.", "Troppe richieste di un indirizzo sono aperte insieme.",
		"Demasiadas peticiones de una dirección están abiertas a la vez."},
}
