package catalogue

import "strings"

// Bounds of an engine number.
const (
	longestNumber = 64 // bytes as stamped
	serialDigits  = 18 // digits of a serial number, leading zeros included
)

// Normalise is an engine number as it is compared: upper case, without the spaces, dashes, dots, slashes and
// underscores that people put between its groups. Only ASCII letters are raised.
func Normalise(number string) string {
	var b strings.Builder
	for _, c := range number {
		switch {
		case c == ' ' || c == '\t' || c == '-' || c == '.' || c == '/' || c == '_' || c == '\u00a0' || c == '\u2010' || c == '\u2011' || c == '\u2013':
		case 'a' <= c && c <= 'z':
			b.WriteRune(c - 'a' + 'A')
		default:
			b.WriteRune(c)
		}
	}
	return b.String()
}

// alike writes every character that a stamp or an eye confuses as one digit: O, Q and D read as 0, I and L as 1, B as 8,
// S as 5 and Z as 2 (common practice, no source). The length stays.
func alike(s string) string { return lookAlikes.Replace(s) }

var lookAlikes = strings.NewReplacer("O", "0", "Q", "0", "D", "0", "I", "1", "L", "1", "B", "8", "S", "5", "Z", "2")

// serialOf reads digits as a serial number; leading zeros do not count.
func serialOf(digits string) (n uint64, ok bool) {
	if digits == "" || len(digits) > serialDigits {
		return 0, false
	}
	for i := range len(digits) {
		c := digits[i]
		if c < '0' || c > '9' {
			return 0, false
		}
		n = n*10 + uint64(c-'0')
	}
	return n, true
}

// Covers reports whether a serial number lies in the run, both ends inside.
func (r SerialRange) Covers(serial uint64) bool {
	return serial >= r.From && (r.To == 0 || serial <= r.To)
}
