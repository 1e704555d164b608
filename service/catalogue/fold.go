package catalogue

import (
	"strings"
	"unicode"
)

// Fold drops case and the accents of Latin letters, and writes letters that are two in one as two, so that Spätzündung
// is found as spatzundung and Größe as grosse. Combining marks vanish.
func Fold(s string) string {
	plain := true
	for i := range len(s) {
		if c := s[i]; c >= 0x80 || 'A' <= c && c <= 'Z' {
			plain = false
			break
		}
	}
	if plain {
		return s
	}
	var b strings.Builder
	b.Grow(len(s))
	for _, r := range s {
		r = unicode.ToLower(r)
		switch {
		case r < 0x80:
			b.WriteByte(byte(r))
		case unicode.Is(unicode.Mn, r), r == unicode.ReplacementChar:
		default:
			if to, ok := folded(r); ok {
				b.WriteString(to)
			} else {
				b.WriteRune(r)
			}
		}
	}
	return b.String()
}

// folded is a lower-case letter of Latin-1 or Latin Extended-A without its accent (Unicode, canonical decompositions;
// the letters without one by custom).
func folded(r rune) (string, bool) {
	for _, g := range [...]struct{ from, to string }{
		{"àáâãäåāăą", "a"}, {"çćĉċč", "c"}, {"ďđð", "d"}, {"èéêëēĕėęě", "e"}, {"ĝğġģ", "g"}, {"ĥħ", "h"}, {"ìíîïĩīĭįı", "i"}, {"ĵ", "j"},
		{"ķ", "k"}, {"ĺļľŀł", "l"}, {"ñńņňŉ", "n"}, {"òóôõöøōŏő", "o"}, {"ŕŗř", "r"}, {"śŝşš", "s"}, {"ţťŧ", "t"}, {"ùúûüũūŭůűų", "u"},
		{"ŵ", "w"}, {"ýÿŷ", "y"}, {"źżž", "z"}, {"ß", "ss"}, {"æ", "ae"}, {"œ", "oe"}, {"þ", "th"}, {"µμ", "u"},
	} {
		if strings.ContainsRune(g.from, r) {
			return g.to, true
		}
	}
	return "", false
}
