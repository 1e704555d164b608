// Package face answers what is about the service itself: where everything is, codes, problems, documents and health.
//
// It refuses to know engines. What an operator decides comes in as Settings; nothing is ever built from the Host of a
// request.
//
//	about := face.New(book, source, face.Settings{Version: "1.0.0"})
//	reply, err := about.Index(request)
package face

import (
	"endfloat/api/text"
	"endfloat/service/catalogue"
)

// Settings are what whoever runs the service decides. The zero value is ready.
type Settings struct {
	Version   string
	PublicURL string          // where the service is reached, without a slash at the end; empty: addresses stay relative
	Contact   string          // URI for reports about security; empty: the role mailbox security at the public host
	Draining  func() bool     // the service is about to stop; nil: never
	Warnings  func() []string // what is wrong although the service is ready; nil: nothing
	// Has reports whether an address is answered, in gin's notation; nil: every one is.
	Has func(method, path string) bool
}

// Handlers answer for the service itself. They are safe for concurrent use.
type Handlers struct {
	book     *text.Book
	source   catalogue.Source
	settings Settings
	pages    pages
	practice []PracticeCase
}

// New makes the handlers.
func New(book *text.Book, source catalogue.Source, settings Settings) Handlers {
	return Handlers{book, source, settings, newPages(), practice()}
}
