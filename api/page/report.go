package page

import (
	"bytes"
	"encoding/base64"
	"slices"
)

// The report is appended rather than drawn by html/template, which costs more than judging does. Every value goes through
// escape or picture, and a test holds the bytes against html/template on the same page (testdata/report.html), which
// decides by context.

// out is a page while it is appended: raw is what is ours, text what is not.
type out struct{ b []byte }

func (o *out) raw(s string) { o.b = append(o.b, s...) }

// text writes a value between two pieces of the page.
func (o *out) text(before, value, after string) {
	o.b = append(o.b, before...)
	o.b = escape(o.b, value)
	o.b = append(o.b, after...)
}

// textIf is text where there is a value.
func (o *out) textIf(before, value, after string) {
	if value != "" {
		o.text(before, value, after)
	}
}

// escape appends a text so that it is text in an element and in a quoted attribute, whatever it holds.
func escape(b []byte, s string) []byte {
	from := 0
	for i := range len(s) {
		var safe string
		switch s[i] {
		case '<':
			safe = "&lt;"
		case '>':
			safe = "&gt;"
		case '&':
			safe = "&amp;"
		case '"':
			safe = "&#34;"
		case '\'':
			safe = "&#39;"
		case '+':
			safe = "&#43;"
		case 0:
			safe = "\uFFFD"
		default:
			continue
		}
		b = append(append(b, s[from:i]...), safe...)
		from = i + 1
	}
	return append(b, s[from:]...)
}

// picture is the address of a picture that stands in the page itself: an image runs nothing. Of the letters of base64
// (RFC 4648, section 4) the plus alone is escaped in an attribute.
func (o *out) picture(svg []byte) {
	o.raw("data:image/svg&#43;xml;base64,")
	var letters [1024]byte
	for part := range slices.Chunk(svg, len(letters)/4*3) {
		rest := letters[:base64.StdEncoding.EncodedLen(len(part))]
		base64.StdEncoding.Encode(rest, part)
		for {
			i := bytes.IndexByte(rest, '+')
			if i < 0 {
				break
			}
			o.b = append(append(o.b, rest[:i]...), "&#43;"...)
			rest = rest[i+1:]
		}
		o.b = append(o.b, rest...)
	}
}

func (v *Report) appendTo(b []byte) []byte {
	o := &out{b}
	o.text(`<!doctype html>
<html lang="`, v.Lang, `">
<head><meta charset="utf-8"><meta name="viewport" content="width=device-width,initial-scale=1"><title>`)
	o.text("", v.Title, "</title><style>")
	o.raw(string(v.Style))
	o.text("</style></head>\n<body>\n<main>\n<h1>", v.Heading, "</h1>\n")
	o.fields("fields", v.Fields)
	o.text(`<section class="outcome `, v.Verdict, `"><h2>`)
	o.text("", v.OutcomeH, `</h2><p class="word">`)
	o.text("", v.Outcome, "</p><p>")
	o.text("", v.Counts, "</p></section>\n")
	for _, w := range v.Warnings {
		o.text("<p><strong>", w, "</strong></p>\n")
	}
	o.section(`<div class="sides">`+"\n<section>", &v.Waivers)
	o.gates(v)
	o.section("</div>\n<section>", &v.Contradictions)
	o.text(`<p class="small">`, v.Signature, "</p>\n")
	o.text(`<p class="notice small">`, v.Notice, "</p>\n")
	o.section(`<section class="small">`, &v.Cautions)
	o.table(v)
	o.section(`<section class="many">`, &v.Missing)
	o.section(`<section class="many">`, &v.Renewed)
	o.section(`<section class="many">`, &v.Order)
	o.fields("fields signs", v.Signs)
	o.raw("</main>\n</body>\n</html>\n")
	return o.b
}

func (o *out) fields(class string, list []Field) {
	o.raw(`<dl class="` + class + `">`)
	for _, f := range list {
		o.text("<div><dt>", f.Label, "</dt><dd>")
		o.text("", f.Value, "</dd></div>")
	}
	o.raw("</dl>\n")
}

func (o *out) section(before string, s *Section) {
	o.raw(before)
	o.text("<h2>", s.Heading, "</h2>")
	if len(s.Items) > 0 {
		o.list("<ul>", s.Items)
	} else {
		o.text("<p>", s.None, "</p>")
	}
	o.raw("</section>\n")
}

func (o *out) list(before string, items []string) {
	o.raw(before)
	for _, it := range items {
		o.text("<li>", it, "</li>")
	}
	o.raw("</ul>")
}

func (o *out) gates(v *Report) {
	o.text("<section><h2>", v.Gates.Heading, "</h2>")
	for _, g := range v.GateList {
		if g.Blocked {
			o.text(`<p class="blocked">`, g.Name, "")
		} else {
			o.text("<p>", g.Name, "")
		}
		o.text("", g.State, "</p>")
		if len(g.Items) > 0 {
			o.list(`<ul class="small">`, g.Items)
		}
		if len(g.Open) > 0 {
			o.text(`<p class="small">`, g.OpenH, "</p>")
			o.list(`<ul class="small">`, g.Open)
		}
	}
	o.raw("</section>\n")
}

func (o *out) table(v *Report) {
	o.text(`<table>
<colgroup><col class="r1"><col class="r2"><col class="r3"><col class="r4"><col class="r5"></colgroup>
<thead><tr><th scope="col">#</th><th scope="col">`, v.Heads.Line, " · ")
	o.text("", v.Foot, `</th><th scope="col">`)
	o.text("", v.Heads.Found, `</th><th scope="col">`)
	o.text("", v.Heads.Built, `</th><th scope="col">`)
	o.text("", v.Heads.Verdict, "</th></tr></thead>\n")
	for i := range v.Lines {
		o.line(&v.Lines[i])
	}
	o.raw("</table>\n")
}

func (o *out) line(l *ReportLine) {
	o.text(`<tbody class="line">`+"\n<tr><td>", l.Number, "")
	o.textIf(`<p class="key">`, l.ID, "</p>")
	o.raw("</td>\n<td>")
	o.textIf(`<p class="left">`, l.Left, "</p>")
	o.text(`<p class="name">`, l.Name, "")
	o.textIf(` <span class="mark">`, l.Critical, "</span>")
	o.text("</p><p>", l.Limits.Before, "<strong>")
	o.text("", l.Limits.Band, "</strong>")
	o.text("", l.Limits.After, "</p>\n")
	if len(l.Picture) > 0 {
		o.raw(`<img class="band" src="`)
		o.picture(l.Picture)
		o.text(`" alt="`, l.Alt, `">`)
	}
	for _, c := range l.Cautions {
		o.text(`<p class="small">⚠ `, c, "</p>")
	}
	o.text(`<p class="key">`, l.Key, "</p></td>\n")
	for _, s := range [...]*Stage{&l.Found, &l.Built} {
		o.text(`<td><p class="name">`, s.Value, "</p>")
		o.textIf(`<p class="small">`, s.Said, "</p>")
		o.text(`<p class="small">`, s.Detail, "</p></td>\n")
	}
	o.raw("<td>")
	o.textIf(`<p class="mark">`, l.Mark, "</p>")
	o.text("<p>", l.Verdict, "</p>")
	for _, a := range l.Advice {
		o.text(`<p class="small">`, a, "</p>")
	}
	o.raw("</td></tr>\n")
	if len(l.Done) > 0 {
		o.raw(`<tr class="done"><td></td><td colspan="4">`)
		for _, f := range l.Done {
			o.text("<span><b>", f.Label, "</b> ")
			o.text("", f.Value, "</span> ")
		}
		o.raw("</td></tr>\n")
	}
	o.raw("</tbody>\n")
}
