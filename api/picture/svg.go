package picture

import (
	"bytes"
	"strconv"
	"strings"
	"unicode/utf8"
)

// usual is how many bytes the shapes of a picture mostly have.
const usual = 2 << 10

// SVG is the picture. It holds no script, no link and no style sheet of another place.
func (b Band) SVG() []byte {
	w := &writer{}
	w.buf.Grow(usual)
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
	return b.page(w.buf.Bytes(), y+6)
}

func (b Band) page(body []byte, height float64) []byte {
	lang := b.Lang
	if lang == "" {
		lang = "en"
	}
	var out bytes.Buffer
	out.Grow(len(body) + usual/2)
	h := num(height)
	out.WriteString(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 320 ` + h + `" width="320" height="` + h + `" role="img" aria-labelledby="t d" xml:lang="` + escape(lang) + `">` +
		`<title id="t">` + escape(b.Heading) + `</title><desc id="d">` + escape(b.Description) + `</desc>` +
		`<defs><pattern id="worn" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><rect width="6" height="6" fill="#fff"/><rect width="2.4" height="6" fill="#6b6f76"/></pattern></defs>` +
		`<rect width="320" height="` + h + `" fill="#fff"/><g font-family="system-ui,'Segoe UI',Roboto,'DejaVu Sans',sans-serif" fill="#14171a">`)
	out.Write(body)
	out.WriteString("</g></svg>\n")
	return out.Bytes()
}

// draw puts the reading over the bar, the limits under it and the aim and wear limit below; it returns where it ended.
func (b Band) draw(w *writer, s scale, top float64) float64 {
	bar := top + 26
	b.worn(w, s, bar)
	b.allowed(w, s, bar)
	b.reading(w, s, bar-13)
	w.path("M"+num(left)+" "+num(bar+barHigh)+"H"+num(right), "none", "#14171a", "1")
	row := bar + barHigh + 5
	var placed labels
	for _, m := range []Mark{b.Lower, b.Upper} {
		if m.Has {
			w.path("M"+num(s.x(m.Value))+" "+num(bar-3)+"V"+num(row), "none", "#14171a", "2")
			placed.put(w, s.x(m.Value), row+12, m.Label, "bold")
		}
	}
	for _, m := range []Mark{b.WearLower, b.WearUpper} {
		if m.Has {
			x := s.x(m.Value)
			w.path("M"+num(x-1.6)+" "+num(bar-6)+"V"+num(row)+"M"+num(x+1.6)+" "+num(bar-6)+"V"+num(row), "none", "#14171a", "1.2")
			placed.put(w, x, row+12, m.Label, "normal")
		}
	}
	if b.Aim.Has {
		x := s.x(b.Aim.Value)
		w.path("M"+num(x)+" "+num(bar+barHigh-9)+"l6 12h-12z", "#fff", "#14171a", "1.6")
		placed.put(w, x, row+12, b.Aim.Label, "normal")
	}
	return placed.bottom(row) + 6
}

// allowed is the solid bar; a side without a limit runs out to the edge and ends in an arrow.
func (b Band) allowed(w *writer, s scale, y float64) {
	if !b.Lower.Has && !b.Upper.Has {
		return
	}
	from, to := left, right
	if b.Lower.Has {
		from = s.x(b.Lower.Value)
	}
	if b.Upper.Has {
		to = s.x(b.Upper.Value)
	}
	w.rect(from, y, to-from, barHigh, "#2f6fb3")
	if !b.Lower.Has {
		w.path("M"+num(left+9)+" "+num(y+4)+"l-7 6 7 6z", "#fff", "none", "0")
	}
	if !b.Upper.Has {
		w.path("M"+num(right-9)+" "+num(y+4)+"l7 6 -7 6z", "#fff", "none", "0")
	}
}

// worn is the hatched bar between the band and the wear limit.
func (b Band) worn(w *writer, s scale, y float64) {
	if b.WearUpper.Has {
		from := left
		if b.Upper.Has {
			from = s.x(b.Upper.Value)
		}
		w.hatch(from, y+3, s.x(b.WearUpper.Value)-from, barHigh-6)
	}
	if b.WearLower.Has {
		to := right
		if b.Lower.Has {
			to = s.x(b.Lower.Value)
		}
		w.hatch(s.x(b.WearLower.Value), y+3, to-s.x(b.WearLower.Value), barHigh-6)
	}
}

// reading is a diamond on a beam; one that is off the scale is an arrow at its end.
func (b Band) reading(w *writer, s scale, y float64) {
	if b.From.Has || b.To.Has {
		from, to := left, right
		if b.From.Has {
			from = s.x(b.From.Value)
		}
		if b.To.Has {
			to = s.x(b.To.Value)
		}
		w.path("M"+num(from)+" "+num(y)+"H"+num(to), "none", "#a83c00", "3")
		if b.From.Has {
			w.path("M"+num(from)+" "+num(y-6)+"v12", "none", "#a83c00", "2")
		}
		if b.To.Has {
			w.path("M"+num(to)+" "+num(y-6)+"v12", "none", "#a83c00", "2")
		}
	}
	if !b.Reading.Has {
		return
	}
	fill := "#fff"
	if b.Proven {
		fill = "#a83c00"
	}
	x := s.x(b.Reading.Value)
	switch s.off(b.Reading.Value) {
	case -1:
		w.path("M"+num(left)+" "+num(y)+"l12 -8v16z", fill, "#a83c00", "2")
	case 1:
		w.path("M"+num(right)+" "+num(y)+"l-12 -8v16z", fill, "#a83c00", "2")
	default:
		w.path("M"+num(x)+" "+num(y-8)+"l8 8 -8 8 -8 -8z", fill, "#a83c00", "2")
		w.path("M"+num(x)+" "+num(y+8)+"V"+num(y+13+barHigh), "none", "#a83c00", "1.4")
	}
}

func num(f float64) string { return strconv.FormatFloat(f, 'f', -1, 64) }

var escapes = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;", "'", "&#39;")

// escape makes text safe inside XML: what XML 1.0 does not allow is dropped.
func escape(s string) string {
	if !strings.ContainsFunc(s, special) {
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

// special reports whether a letter cannot stand in XML as it is; bytes that are no UTF-8 come as utf8.RuneError.
func special(r rune) bool {
	return r < ' ' || r == '&' || r == '<' || r == '>' || r == '"' || r == '\'' || r == utf8.RuneError || r == 0xFFFE || r == 0xFFFF
}
