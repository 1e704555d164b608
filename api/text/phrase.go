package text

import (
	"cmp"
	"maps"
	"slices"
	"strings"

	"endfloat/service/spec"
)

// phrases are sentences that are written in English where a fault is found and said again in another language: the five
// texts of each, English first. A value in braces stands for what is there; one whose name begins with said is itself
// said again and must be a phrase.
type phrases [][len(spec.Languages)]string

// phrasebooks lists every table of phrases. An English text may stand in one of them only.
func phrasebooks() []phrases {
	return []phrases{remedies, specRemedies, shopRemedies, rimFinds, readingFinds, shopFinds, problemPages, practiceTitles, instrumentBases}
}

// nested begins the names of values that are phrases themselves, and deepest is how far they may lie in one another.
const (
	nested  = "said"
	deepest = 3
)

// sayings finds the phrase that an English sentence is. Those that begin with a value stand under 0.
type sayings map[byte][]*form

// sayingsOf sorts the forms by how they begin, the most telling first, so that a phrase is never taken for a vaguer one.
func sayingsOf(all []*form) sayings {
	s := sayings{}
	for _, f := range all {
		first := byte(0)
		if lead := f.pieces[0][0]; lead.param == "" {
			first = lead.text[0]
		}
		s[first] = append(s[first], f)
	}
	for _, list := range s {
		slices.SortStableFunc(list, func(a, b *form) int { return cmp.Compare(told(b.pieces[0]), told(a.pieces[0])) })
	}
	return s
}

// told is how many bytes of a text are not values.
func told(list []piece) (n int) {
	for _, p := range list {
		n += len(p.text)
	}
	return n
}

// Again says an English sentence about a fault in another language; ok is false for one that is not among the phrases.
// What the caller sent, and every figure and key, stays as it is.
func (b *Book) Again(lang, english string) (said string, ok bool) {
	at := languageAt(lang)
	if at == 0 {
		return english, true
	}
	return b.again(at, english, deepest)
}

func (b *Book) again(at int, english string, depth int) (string, bool) {
	if english == "" || depth == 0 {
		return "", false
	}
	for _, first := range [...]byte{english[0], 0} {
		for _, f := range b.sayings[first] {
			values, is := values(f.pieces[0], english, nil)
			if !is {
				continue
			}
			if said, ok := b.filled(f, values, at, depth); ok {
				return said, true
			}
		}
	}
	return "", false
}

// filled puts the values into the text of a language, each in the place of its name.
func (b *Book) filled(f *form, values []string, at, depth int) (string, bool) {
	var out strings.Builder
	for _, p := range f.pieces[at] {
		out.WriteString(p.text)
		if p.param == "" {
			continue
		}
		value := values[slices.Index(f.params, p.param)]
		if strings.HasPrefix(p.param, nested) {
			said, ok := b.again(at, value, depth-1)
			if !ok {
				return "", false
			}
			value = said
		}
		out.WriteString(value)
	}
	return out.String(), true
}

// values reads what stands in a sentence in the places of the values; ok is false where it is another sentence. A value
// in quotes ends with its quote; a phrase within ends as late, any other value as early as it can. None is empty.
func values(list []piece, sentence string, got []string) (_ []string, ok bool) {
	if len(list) == 0 {
		return got, sentence == ""
	}
	if list[0].param == "" {
		rest, has := strings.CutPrefix(sentence, list[0].text)
		if !has {
			return nil, false
		}
		return values(list[1:], rest, got)
	}
	end := ending(list, sentence)
	if end <= 0 {
		return nil, false
	}
	return values(list[1:], sentence[end:], append(got, sentence[:end]))
}

// ending is where the value at the head of a list ends; negative where it does not.
func ending(list []piece, sentence string) int {
	if sentence != "" && sentence[0] == '"' && !strings.HasPrefix(list[0].param, nested) {
		return Quoted(sentence)
	}
	if len(list) == 1 {
		return len(sentence)
	}
	after := list[1].text
	if len(list) == 2 {
		if !strings.HasSuffix(sentence, after) {
			return -1
		}
		return len(sentence) - len(after)
	}
	if strings.HasPrefix(list[0].param, nested) {
		return strings.LastIndex(sentence, after)
	}
	return strings.Index(sentence, after)
}

// Quoted is where a text in double quotes at the head of a sentence ends, its quotes included; negative where it does not.
func Quoted(sentence string) int {
	for i := 1; i < len(sentence); i++ {
		switch sentence[i] {
		case '\\':
			i++
		case '"':
			return i + 1
		}
	}
	return -1
}

// Phrases lists every phrase in all languages, English first, with the names of its values in braces.
func (b *Book) Phrases() (list [][len(spec.Languages)]string) {
	for _, first := range slices.Sorted(maps.Keys(b.sayings)) {
		for _, f := range b.sayings[first] {
			list = append(list, f.texts)
		}
	}
	return list
}
