// Package integration holds the service against what it promises, from outside: the built program over HTTP, the
// OpenAPI file through tools that are not ours, and the rules of the house over the source.
//
// It refuses to know how answers come about: it never imports the service. What needs the built program stands behind
// the build tag integration; integration/run runs everything.
package integration
