package catalogue

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"endfloat/service/catalogue"
	"endfloat/service/spec"
)

// slipLength is the least length of a word, in letters, in which one slip of typing is overlooked.
const slipLength = 5

// findFamilies lists the families that every word of q fits: all of them where q is empty.
func findFamilies(rev *catalogue.Revision, q string) []*catalogue.Family {
	words := strings.Fields(fold(q))
	if len(words) == 0 {
		return rev.Families
	}
	var found []*catalogue.Family
	for _, f := range rev.Families {
		if fits(familyWords(f), words) {
			found = append(found, f)
		}
	}
	return found
}

func familyWords(f *catalogue.Family) []string {
	text := append([]string{f.Key, f.Maker}, f.Aliases...)
	text = append(text, all(f.Name)...)
	return split(append(text, all(f.Description)...))
}

// specWords are the words by which a spec is found: its keys and its names in every language.
func specWords(s *spec.Spec, f *catalogue.Family) []string {
	text := append([]string{string(s.Key), string(s.Kind), f.Maker}, f.Aliases...)
	text = append(text, all(s.Name)...)
	text = append(text, all(s.ComponentName)...)
	text = append(text, all(s.FamilyName)...)
	if s.Fastener != nil {
		text = append(text, s.Fastener.Thread)
	}
	return split(text)
}

func all(t spec.Text) []string {
	by := t.All()
	return by[:]
}

func split(text []string) []string {
	return strings.FieldsFunc(fold(strings.Join(text, " ")), func(r rune) bool { return unicode.IsSpace(r) || r == '/' || r == ',' })
}

// fold drops case and accents, so that Spätzündung is found as spatzundung.
func fold(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Mn, r) {
			return -1
		}
		return unicode.ToLower(r)
	}, norm.NFD.String(strings.ToValidUTF8(s, "")))
}

// fits reports whether every word asked for begins or stands in one of the words there are, or is one slip away from
// one of them.
func fits(have, asked []string) bool {
	for _, a := range asked {
		if !has(have, a) {
			return false
		}
	}
	return true
}

func has(have []string, asked string) bool {
	slip := len([]rune(asked)) >= slipLength
	for _, h := range have {
		if strings.Contains(h, asked) || slip && oneSlip(h, asked) {
			return true
		}
	}
	return false
}

// oneSlip reports whether one letter added, dropped, changed or exchanged with its neighbour turns a into b.
func oneSlip(a, b string) bool {
	if len(a) > len(b) {
		a, b = b, a
	}
	if len(b)-len(a) > 1 {
		return false
	}
	i := 0
	for i < len(a) && a[i] == b[i] {
		i++
	}
	if len(a) < len(b) {
		return a[i:] == b[i+1:]
	}
	if i == len(a) || a[i+1:] == b[i+1:] {
		return true
	}
	return i+1 < len(a) && a[i] == b[i+1] && a[i+1] == b[i] && a[i+2:] == b[i+2:]
}
