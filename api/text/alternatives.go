package text

import (
	"strconv"
	"strings"

	"endfloat/service/note"
)

// mostNamed is how many variants and marks a line names; it counts the others.
const mostNamed = 6

// Other is what a variant or a part mark has in place of a value. One of Variant and Mark is there.
type Other struct {
	Variant, Mark string
	Display       Display
}

// Deciding names the variant or the part mark that decides a value: "variant b", "marked crank:U1".
func (b *Book) Deciding(lang, variant, mark string) string {
	if mark != "" {
		return b.Note(lang, note.New("word_marked", note.Str("mark", mark)))
	}
	return b.Note(lang, note.New("word_variant", note.Str("variant", variant)))
}

// Varying is a summary that says too what the variants and marks have that may be meant instead, each after what decides
// it: "0.15–0.40 mm; DEMO; variant b: 0.20–0.45 mm". Those that have the same are named together, what all have is said
// once, and beyond six the others are counted.
func (b *Book) Varying(lang string, base Display, others []Other) string {
	return b.Joined(lang, base.Summary, b.Instead(lang, base, others))
}

// Instead is what Varying adds to a summary; empty where there are no others.
func (b *Book) Instead(lang string, base Display, others []Other) string {
	w := speller{b, lang}
	var values []string
	names := map[string]string{}
	for _, o := range others[:min(len(others), mostNamed)] {
		value, name := w.unlike(base, o.Display), b.Deciding(lang, o.Variant, o.Mark)
		if before, there := names[value]; there {
			names[value] = before + ", " + name
			continue
		}
		names[value] = name
		values = append(values, value)
	}
	line := ""
	for _, v := range values {
		line = b.Joined(lang, line, names[v]+w.say("word_colon")+v)
	}
	if more := len(others) - mostNamed; more > 0 {
		line = b.Joined(lang, line, w.say("word_more_variants", note.Str("count", strconv.Itoa(more))))
	}
	return line
}

// unlike is the summary of another value without what it has in common with the base; where the base has a left-hand
// thread, one that has not says so.
func (w speller) unlike(base, other Display) string {
	line := other.Summary
	if other.Source == base.Source {
		line = w.cutLast(line, other.Source)
		if other.Details == base.Details {
			line = w.cutLast(line, other.Details)
		}
	}
	if base.Hand != "" && other.Hand == "" {
		line = w.say("word_right_hand") + w.say("word_colon") + line
	}
	return line
}

// cutLast takes the last part off a line that Joined made.
func (w speller) cutLast(line, part string) string {
	if part == "" {
		return line
	}
	return strings.TrimSuffix(line, w.say("word_semicolon")+part)
}
