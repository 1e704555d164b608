package picture

import (
	"strings"
	"unicode/utf8"
)

// usual is how many bytes a picture mostly has, half of them shapes.
const usual = 3 << 10

// Colours: of ink and paper, of what is allowed, and of the reading.
const (
	ink    = "#14171a"
	paper  = "#fff"
	steel  = "#2f6fb3"
	bright = "#a83c00"
	none   = "none"
)

// SVG is the picture. It holds no script, no link and no style sheet of another place.
func (b Band) SVG() []byte { return b.AppendSVG(make([]byte, 0, usual)) }

// AppendSVG appends what SVG gives to page.
func (b Band) AppendSVG(page []byte) []byte {
	var room [usual / 2]byte
	w := &writer{room[:0]}
	y := 4.0
	if b.Above != "" {
		y = w.lines(y, 12, "bold", b.Above)
	}
	y = w.lines(y, 13, "bold", b.Heading)
	y = w.lines(y, 12, "normal", b.Line)
	if s, ok := b.fit(); ok {
		y = b.draw(w, s, y+6)
	}
	for _, n := range b.Notes {
		y = w.lines(y+3, 10.5, "normal", n)
	}
	shapes := w.buf
	w = &writer{page}
	b.head(w, y+6)
	w.buf = append(w.buf, shapes...)
	w.raw("</g></svg>\n")
	return w.buf
}

// head is what stands before the shapes: how high the picture is, its text alternative, and the pattern of wear.
func (b Band) head(w *writer, height float64) {
	lang := b.Lang
	if lang == "" {
		lang = "en"
	}
	h := string(appendNum(nil, height))
	w.raw(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 320 `, h, `" width="320" height="`, h, `" role="img" aria-labelledby="t d" xml:lang="`, escape(lang), `">`,
		`<title id="t">`, escape(b.Heading), `</title><desc id="d">`, escape(b.Description), `</desc>`,
		`<defs><pattern id="worn" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><rect width="6" height="6" fill="#fff"/><rect width="2.4" height="6" fill="#6b6f76"/></pattern></defs>`,
		`<rect width="320" height="`, h, `" fill="#fff"/><g font-family="system-ui,'Segoe UI',Roboto,'DejaVu Sans',sans-serif" fill="#14171a">`)
}

// draw puts the reading over the bar, the limits under it and the aim and wear limit below; it returns where it ended.
func (b Band) draw(w *writer, s scale, top float64) float64 {
	bar := top + 26
	b.worn(w, s, bar)
	b.allowed(w, s, bar)
	b.reading(w, s, bar-13)
	w.level(left, right, bar+barHigh, pen{none, ink, "1"})
	row := bar + barHigh + 5
	placed := labels{make([]label, 0, 5)}
	for _, m := range [...]Mark{b.Lower, b.Upper} {
		if m.Has {
			w.upright(s.x(m.Value), bar-3, row, pen{none, ink, "2"})
			placed.put(w, s.x(m.Value), row+12, m.Label, "bold")
		}
	}
	for _, m := range [...]Mark{b.WearLower, b.WearUpper} {
		if m.Has {
			x := s.x(m.Value)
			w.begin(x-1.6, bar-6)
			w.down(row)
			w.move(x+1.6, bar-6)
			w.down(row)
			w.end(pen{none, ink, "1.2"})
			placed.put(w, x, row+12, m.Label, "normal")
		}
	}
	if b.Aim.Has {
		x := s.x(b.Aim.Value)
		w.shape(x, bar+barHigh-9, "l6 12h-12z", pen{paper, ink, "1.6"})
		placed.put(w, x, row+12, b.Aim.Label, "normal")
	}
	return placed.bottom(row) + 6
}

// allowed is the solid bar; a side without a limit runs out to the edge and ends in an arrow.
func (b Band) allowed(w *writer, s scale, y float64) {
	if !b.Lower.Has && !b.Upper.Has {
		return
	}
	from, to := s.or(b.Lower, left), s.or(b.Upper, right)
	w.bar(from, y, to-from, barHigh, steel)
	if !b.Lower.Has {
		w.shape(left+9, y+4, "l-7 6 7 6z", pen{paper, none, "0"})
	}
	if !b.Upper.Has {
		w.shape(right-9, y+4, "l7 6 -7 6z", pen{paper, none, "0"})
	}
}

// worn is the hatched bar between the band and the wear limit.
func (b Band) worn(w *writer, s scale, y float64) {
	if b.WearUpper.Has {
		from := s.or(b.Upper, left)
		w.hatch(from, y+3, s.x(b.WearUpper.Value)-from, barHigh-6)
	}
	if b.WearLower.Has {
		from := s.x(b.WearLower.Value)
		w.hatch(from, y+3, s.or(b.Lower, right)-from, barHigh-6)
	}
}

// reading is a diamond on a beam; one that is off the scale is an arrow at its end.
func (b Band) reading(w *writer, s scale, y float64) {
	if b.From.Has || b.To.Has {
		from, to := s.or(b.From, left), s.or(b.To, right)
		w.level(from, to, y, pen{none, bright, "3"})
		if b.From.Has {
			w.shape(from, y-6, "v12", pen{none, bright, "2"})
		}
		if b.To.Has {
			w.shape(to, y-6, "v12", pen{none, bright, "2"})
		}
	}
	if !b.Reading.Has {
		return
	}
	edge := pen{paper, bright, "2"}
	if b.Proven {
		edge.fill = bright
	}
	x := s.x(b.Reading.Value)
	switch s.off(b.Reading.Value) {
	case -1:
		w.shape(left, y, "l12 -8v16z", edge)
	case 1:
		w.shape(right, y, "l-12 -8v16z", edge)
	default:
		w.shape(x, y-8, "l8 8 -8 8 -8 -8z", edge)
		w.upright(x, y+8, y+13+barHigh, pen{none, bright, "1.4"})
	}
}

var escapes = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;", "'", "&#39;")

// escape makes text safe inside XML: what XML 1.0 does not allow is dropped.
func escape(s string) string {
	if plain(s) {
		return s
	}
	s = strings.Map(func(r rune) rune {
		if r < ' ' && r != '\t' && r != '\n' || r == utf8.RuneError || r == 0xFFFE || r == 0xFFFF {
			return -1
		}
		return r
	}, strings.ToValidUTF8(s, ""))
	return escapes.Replace(s)
}

// plain reports whether every letter of a text can stand in XML as it is; bytes that are no UTF-8 come as utf8.RuneError.
func plain(s string) bool {
	for _, r := range s {
		switch {
		case r < ' ', r == '&', r == '<', r == '>', r == '"', r == '\'', r == utf8.RuneError, r == 0xFFFE, r == 0xFFFF:
			return false
		}
	}
	return true
}
