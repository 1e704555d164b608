// Package api serves the service over HTTP: routes, forms, headers, problems and texts. It decides nothing about
// engines: an if about clearances is in the wrong package here.
//
//	@title			endfloat
//	@version		1
//	@description	What play is allowed, where to aim, when a part is worn out and what torque a fastener takes, with its source; the verdict on what was measured, honest about its uncertainty; which shims to fit. Answers never replace the maker's own current manual, local rules or a qualified technician. Values of source class demo are invented. A key that is left out, or whose text is empty, has no value; null is none.
//	@license.name	MIT
//	@license.url	https://spdx.org/licenses/MIT.html
//	@BasePath		/
//
//	@tag.name			catalogue
//	@tag.description	What is allowed: families, components, specs and shims.
//	@tag.name			judging
//	@tag.description	Verdicts on what was measured.
//	@tag.name			shims
//	@tag.description	What to fit.
//	@tag.name			torque
//	@tag.description	What to set on the wrench, and generic estimates.
//	@tag.name			sheets
//	@tag.description	Check sheets: blank, filled in and judged, signed, verified.
//	@tag.name			service
//	@tag.description	Where everything is, problems, documents and health.
package api
