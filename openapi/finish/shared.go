package finish

import (
	"strings"

	"github.com/getkin/kin-openapi/openapi3"
)

const responsePrefix = "#/components/responses/"

// keyScheme names the one security scheme.
const keyScheme = "key"

// problems are the shared answers, by status.
var problems = map[string]struct{ name, about string }{
	"400": {"CannotBeRead", "The request cannot be read: a fault of syntax or shape, named with its place."},
	"401": {"KeyNotKnown", "The Authorization header names a key that is not known here. No key is needed."},
	"404": {"NoSuchThing", "No such address, key or revision."},
	"406": {"NotAcceptable", "No form that the Accept header or the format parameter allows."},
	"413": {"TooLarge", "The body is larger than this address reads."},
	"415": {"WrongMediaType", "The body is of a media type, charset or encoding that this address does not read."},
	"422": {"ValuesNotAccepted", "The request can be read, but its values cannot be accepted; each fault is listed with its place and remedy."},
	"429": {"TooManyRequests", "The quota is used up for now; Retry-After says when to come back."},
	"500": {"FaultOfOurs", "A fault on this side. The text is fixed; the instance names the occurrence."},
	"503": {"NotNow", "Not now; Retry-After says when to come back. Nothing was stored."},
}

// headers are the header fields that several answers share.
var headers = map[string]struct{ about, example string }{
	"Access-Control-Allow-Origin": {"Pages of every origin may read the answer (Fetch standard).", "*"},
	"Cache-Control":               {"How long the answer may be kept (RFC 9111).", "public, max-age=60, stale-while-revalidate=300, stale-if-error=86400"},
	"Catalogue-Revision":          {"The catalogue revision that the answer depends on.", "r-5f1c2a9e0b7d"},
	"Content-Language":            {"The language of the sentences.", "en"},
	"ETag":                        {"A strong validator of this representation (RFC 9110).", `"5f1c2a9e0b7d5f1c"`},
}

// limits are the header fields that say what a caller may still ask for.
var limits = map[string]struct{ about, example string }{
	"RateLimit": {"What is left of the quota, and in how many seconds all of it is there again (draft-ietf-httpapi-ratelimit-headers, a list of RFC 9651). " +
		"The name says whom the quota is counted by: address or key. Absent where nothing is limited.", `"address";r=5995;t=1`},
	"RateLimit-Policy": {"The quota: so many units in so many seconds. A question costs from 1 to 10 units, and one more for each 8 KiB of its body; " +
		"what costs more than the whole quota costs the whole.", `"address";q=6000;w=60`},
}

// share adds what operations refer to.
func share(doc *openapi3.T) {
	c := doc.Components
	c.Headers, c.Responses, c.Parameters = openapi3.Headers{}, openapi3.ResponseBodies{}, openapi3.ParametersMap{}
	for name, h := range headers {
		c.Headers[name] = header(h.about, openapi3.NewStringSchema(), h.example)
	}
	seconds := openapi3.NewInt64Schema().WithMin(0)
	c.Headers["Retry-After"] = header("Seconds to wait before the request is sent again (RFC 9110).", seconds, 1)
	for name, h := range limits {
		c.Headers[name] = header(h.about, openapi3.NewStringSchema().WithMaxLength(200), h.example)
		c.Headers[name].Value.Required = false // quotas may be off
	}
	c.Headers["Vary"] = header("The header fields of a request that choose the form (RFC 9110); the parameters format and lang choose in place of theirs.",
		openapi3.NewStringSchema(), "Accept, Accept-Language, Accept-Encoding")
	c.Headers["Vary"].Value.Required = false // where there is one form alone
	for status, p := range problems {
		r := openapi3.NewResponse().WithDescription(p.about)
		r.Content = openapi3.Content{problemMedia: openapi3.NewMediaType().WithSchemaRef(
			&openapi3.SchemaRef{Ref: schemaPrefix + "Problem"})}
		r.Headers = openapi3.Headers{"Access-Control-Allow-Origin": {Ref: "#/components/headers/Access-Control-Allow-Origin"},
			"Content-Language": {Ref: "#/components/headers/Content-Language"},
			"Cache-Control":    header("A problem is not kept (RFC 9111).", openapi3.NewStringSchema(), "no-store")}
		if status == "429" || status == "503" {
			r.Headers["Retry-After"] = &openapi3.HeaderRef{Ref: "#/components/headers/Retry-After"}
		}
		if status == "429" {
			for name := range limits {
				r.Headers[name] = &openapi3.HeaderRef{Ref: "#/components/headers/" + name}
			}
		}
		if status == "401" {
			r.Headers["WWW-Authenticate"] = header("How a key is sent (RFC 6750).", openapi3.NewStringSchema(), `Bearer realm="endfloat", error="invalid_token"`)
		}
		c.Responses[p.name] = &openapi3.ResponseRef{Value: r}
	}
	same := openapi3.NewResponse().WithDescription("What the caller holds is still right; there is no body.")
	same.Headers = openapi3.Headers{}
	for _, name := range []string{"Access-Control-Allow-Origin", "Cache-Control", "ETag", "Vary"} { // RFC 9110, section 15.4.5
		same.Headers[name] = &openapi3.HeaderRef{Ref: "#/components/headers/" + name}
	}
	c.Responses["NotModified"] = &openapi3.ResponseRef{Value: same}
	match := openapi3.NewHeaderParameter("If-None-Match").WithSchema(openapi3.NewStringSchema().WithMaxLength(2000)).
		WithDescription("ETags that the caller holds: 304 without a body where one still stands.")
	c.Parameters["IfNoneMatch"] = &openapi3.ParameterRef{Value: match}
	key := openapi3.NewSecurityScheme().WithType("http").WithScheme("bearer").
		WithDescription("Optional: a key raises the quota and may pin a stricter policy for what is judged.")
	c.SecuritySchemes = openapi3.SecuritySchemes{keyScheme: &openapi3.SecuritySchemeRef{Value: key}}
	doc.Info.Contact = nil // whoever runs the service is named by /.well-known/security.txt
	doc.Servers = openapi3.Servers{{URL: "/", Description: "The service that serves this file."}}
}

func header(about string, s *openapi3.Schema, example any) *openapi3.HeaderRef {
	return &openapi3.HeaderRef{Value: &openapi3.Header{Parameter: openapi3.Parameter{
		Description: about, Required: true, Schema: s.NewRef(), Example: example}}}
}

// prune drops the shared answers that no operation refers to.
func prune(doc *openapi3.T) {
	used := map[string]bool{}
	for _, item := range doc.Paths.Map() {
		for _, op := range item.Operations() {
			for _, r := range op.Responses.Map() {
				used[strings.TrimPrefix(r.Ref, responsePrefix)] = true
			}
		}
	}
	for name := range doc.Components.Responses {
		if !used[name] {
			delete(doc.Components.Responses, name)
		}
	}
}
