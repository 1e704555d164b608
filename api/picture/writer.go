package picture

import (
	"math"
	"strconv"
	"unicode/utf8"
)

// writer appends shapes to a picture. It is not safe for concurrent use.
type writer struct{ buf []byte }

// raw appends pieces that are ours.
func (w *writer) raw(parts ...string) {
	for _, p := range parts {
		w.buf = append(w.buf, p...)
	}
}

// attr appends an attribute with a number.
func (w *writer) attr(name string, f float64) {
	w.raw(" ", name, `="`)
	w.num(f)
	w.raw(`"`)
}

func (w *writer) num(f float64) { w.buf = appendNum(w.buf, f) }

func (w *writer) rect(x, y, wide, high float64, fill string) {
	w.raw(`<rect`)
	w.attr("x", x)
	w.attr("y", y)
	w.attr("width", math.Max(0, round(wide)))
	w.attr("height", high)
	w.raw(` fill="`, fill, `"`)
}

// bar is a solid rectangle.
func (w *writer) bar(x, y, wide, high float64, fill string) {
	w.rect(x, y, wide, high, fill)
	w.raw("/>")
}

// hatch is a rectangle in the pattern of wear, with an edge so that it prints.
func (w *writer) hatch(x, y, wide, high float64) {
	if wide <= 0 {
		return
	}
	w.rect(x, y, wide, high, "url(#worn)")
	w.raw(` stroke="#14171a" stroke-width="0.8"/>`)
}

// pen is how a path is drawn: what fills it, the colour of its line, and how thick that is.
type pen struct{ fill, stroke, thick string }

// begin begins a path at a point, end ends it.
func (w *writer) begin(x, y float64) {
	w.raw(`<path d="`)
	w.move(x, y)
}

func (w *writer) move(x, y float64) {
	w.raw("M")
	w.num(x)
	w.raw(" ")
	w.num(y)
}

func (w *writer) down(y float64) {
	w.raw("V")
	w.num(y)
}

func (w *writer) end(p pen) {
	w.raw(`" fill="`, p.fill, `" stroke="`, p.stroke, `" stroke-width="`, p.thick, `"/>`)
}

// shape is a path that is given from its first point on.
func (w *writer) shape(x, y float64, d string, p pen) {
	w.begin(x, y)
	w.raw(d)
	w.end(p)
}

// level is a line from left to right.
func (w *writer) level(from, to, y float64, p pen) {
	w.begin(from, y)
	w.raw("H")
	w.num(to)
	w.end(p)
}

// upright is a line from top to bottom.
func (w *writer) upright(x, from, to float64, p pen) {
	w.begin(x, from)
	w.down(to)
	w.end(p)
}

func (w *writer) text(x, y, size float64, weight, anchor, s string) {
	w.raw(`<text`)
	w.attr("x", round(x))
	w.attr("y", round(y))
	w.attr("font-size", size)
	w.raw(` font-weight="`, weight, `" text-anchor="`, anchor, `">`, escape(s), `</text>`)
}

// lines writes a text from the left, wrapped at the width, and returns where it ended.
func (w *writer) lines(y, size float64, weight, s string) float64 {
	for _, line := range wrap(s, (right-left)/size) {
		y += size * 1.25
		w.text(left, y, size, weight, "start", line)
	}
	return y
}

func round(f float64) float64 { return math.Round(f*100) / 100 }

// appendNum appends a number with the fewest digits that mean it. Of one with up to three fractional digits they are
// found without looking for them: n/1000 is the number that is nearest to those digits, and no fewer give it.
func appendNum(b []byte, f float64) []byte {
	n := math.Round(f * 1000)
	if n < 0 || n > 1e9 || n/1000 != f || n == 0 {
		return strconv.AppendFloat(b, f, 'f', -1, 64)
	}
	whole, rest := int64(n)/1000, int64(n)%1000
	b = strconv.AppendInt(b, whole, 10)
	if rest == 0 {
		return b
	}
	b = append(b, '.', byte('0'+rest/100), byte('0'+rest/10%10), byte('0'+rest%10))
	for b[len(b)-1] == '0' {
		b = b[:len(b)-1]
	}
	return b
}

// labels keeps labels apart: one that would lie over another goes a row lower.
type labels struct{ taken []label }

type label struct {
	from, to float64
	row      int
}

// Sizes of labels. Letters are wider than wrap takes them to be: labels are digits and units, which must not touch.
const (
	labelSize = 11.0
	rowHigh   = 14.0
	plainEm   = 0.64
	boldEm    = 0.7
)

func (l *labels) put(w *writer, x, y float64, text, weight string) {
	em := plainEm
	if weight == "bold" {
		em = boldEm
	}
	wide := float64(utf8.RuneCountInString(text)) * labelSize * em
	from := math.Max(2, math.Min(x-wide/2, width-2-wide))
	row := 0
	for l.hits(from, from+wide, row) {
		row++
	}
	l.taken = append(l.taken, label{from, from + wide, row})
	w.text(from+wide/2, y+float64(row)*rowHigh, labelSize, weight, "middle", text)
}

func (l *labels) hits(from, to float64, row int) bool {
	for _, t := range l.taken {
		if t.row == row && from < t.to+6 && t.from < to+6 {
			return true
		}
	}
	return false
}

// bottom is where the lowest label ends.
func (l *labels) bottom(row float64) float64 {
	lowest := 0
	for _, t := range l.taken {
		lowest = max(lowest, t.row+1)
	}
	return row + float64(lowest)*rowHigh
}
