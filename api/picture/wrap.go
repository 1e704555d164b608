package picture

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

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
