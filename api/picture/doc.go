// Package picture draws a band with its limits, the aim, the wear limit and a reading as a small SVG.
//
// It decides geometry, shapes and colours. It refuses to know verdicts and words: labels come in as finished text. The
// picture reads at 320 px, in print and without colours: what is allowed is a solid bar, what is worn a hatched one, the
// aim a triangle, the reading a diamond with its interval as a beam. Text that a screen reader needs is in title and
// desc.
//
//	svg := picture.Band{Heading: "Axial play", Lower: picture.At(0.08, "0.08"), Upper: picture.At(0.35, "0.35 mm")}.SVG()
package picture
