package picture

import (
	"bytes"
	"math"
	"strings"
	"unicode"
	"unicode/utf8"
)

// writer collects shapes. It is not safe for concurrent use.
type writer struct{ buf bytes.Buffer }

func (w *writer) add(parts ...string) {
	for _, p := range parts {
		w.buf.WriteString(p)
	}
}

func (w *writer) rect(x, y, wide, high float64, fill string) {
	w.add(`<rect x="`, num(x), `" y="`, num(y), `" width="`, num(math.Max(0, round(wide))), `" height="`, num(high), `" fill="`, fill, `"/>`)
}

// hatch is a rectangle in the pattern of wear, with an edge so that it prints.
func (w *writer) hatch(x, y, wide, high float64) {
	if wide <= 0 {
		return
	}
	w.add(`<rect x="`, num(x), `" y="`, num(y), `" width="`, num(round(wide)), `" height="`, num(high), `" fill="url(#worn)" stroke="#14171a" stroke-width="0.8"/>`)
}

func (w *writer) path(d, fill, stroke, thick string) {
	w.add(`<path d="`, d, `" fill="`, fill, `" stroke="`, stroke, `" stroke-width="`, thick, `"/>`)
}

func (w *writer) text(x, y, size float64, weight, anchor, s string) {
	w.add(`<text x="`, num(round(x)), `" y="`, num(round(y)), `" font-size="`, num(size), `" font-weight="`, weight, `" text-anchor="`, anchor, `">`, escape(s), `</text>`)
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

// em is how wide a letter is taken to be, in parts of the size of the type.
const em = 0.56

// together keeps a mark with the word before it and a unit with its number.
func together(s string) string {
	r := []rune(s)
	for i := 1; i+1 < len(r); i++ {
		if r[i] == ' ' && (strings.ContainsRune("%;:", r[i+1]) || unicode.IsDigit(r[i-1]) && unicode.IsLetter(r[i+1])) {
			r[i] = '\u00a0'
		}
	}
	return string(r)
}

// wrap breaks a text into lines of at most wide ems. A word that is longer stands alone and is cut.
func wrap(s string, wide float64) []string {
	most := int(wide / em)
	var lines []string
	line := ""
	for _, word := range strings.FieldsFunc(together(s), func(r rune) bool { return r == ' ' || r == '\n' || r == '\t' }) {
		for utf8.RuneCountInString(word) > most {
			r := []rune(word)
			lines = appendLine(lines, line)
			line, word = "", string(r[most:])
			lines = append(lines, string(r[:most]))
		}
		if line != "" && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > most {
			lines = appendLine(lines, line)
			line = word
			continue
		}
		line = strings.TrimPrefix(line+" "+word, " ")
	}
	return appendLine(lines, line)
}

func appendLine(lines []string, line string) []string {
	if line == "" {
		return lines
	}
	return append(lines, line)
}

// labels keeps labels apart: one that would lie over another goes a row lower.
type labels struct{ taken []label }

type label struct {
	from, to float64
	row      int
}

const (
	labelSize = 11.0
	rowHigh   = 14.0
)

func (l *labels) put(w *writer, x, y float64, text, weight string) {
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
