// Package client asks the service over HTTP: what is allowed, and verdicts on a table of readings however long it is.
//
// It refuses to know the trade: every limit, verdict and sentence is the service's own, and numbers pass through as they
// were written. It knows addresses and media types alone and shares no code with the service.
//
//	c, err := client.New(client.Options{Server: "http://127.0.0.1:8080"})
//	err = c.Ask(ctx, os.Stdout, client.Question{Key: "pl-85/counter-shaft/key-bolt"})
package client
