package sheets

import (
	"unicode/utf8"

	"endfloat/api/wire"
	"endfloat/service/judge"
)

// clean leaves out of an answer what no answer can hold: words that are none, texts that are too long, numbers that
// were sent as something else. The problem of the line names them, and what is signed has them as they were sent.
func (w *Line) clean() {
	if w.Part != judge.New && w.Part != judge.Reused {
		w.Part = ""
	}
	w.ShimsBefore, w.ShimsAfter = cleaned(w.ShimsBefore), cleaned(w.ShimsAfter)
	if !short(w.Tool.ID, maxName) || !short(w.Tool.CalibrationDue, maxName) {
		w.Tool = ToolRequest{}
	}
	if v := w.Waiver; v != nil && (!short(v.Who, maxName) || !short(v.Reason, maxReason)) {
		w.Waiver = nil
	}
}

func cleaned(list []ShimRequest) (out []ShimRequest) {
	if len(list) > MaxPieces {
		return nil
	}
	for _, p := range list {
		if p.Thickness.Good() && number(p.Tolerance) && number(p.StandardU) && short(p.Place, maxName) && short(p.SKU, maxName) {
			out = append(out, p)
		}
	}
	return out
}

func number(n wire.Number) bool { return n.Good() || !n.Present() }

func short(text string, most int) bool { return utf8.RuneCountInString(text) <= most }
