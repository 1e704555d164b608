package redislink

import (
	"fmt"
	"strings"
	"testing"
)

// Replies as the Redis serialization protocol (versions 2 and 3) writes them, and what breaks the bounds.
func TestReplies(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name, sent string
		good       bool
		missing    bool // something is still to come
	}{
		{"a status", "+OK\r\n", true, false},
		{"an error", "-ERR unknown command\r\n", true, false},
		{"a number", ":12\r\n", true, false},
		{"a string", "$3\r\na\r\n\r\n", true, false},
		{"an empty string", "$0\r\n\r\n", true, false},
		{"nulls of both versions", "$-1\r\n*-1\r\n_\r\n", true, false},
		{"a string that is being read", "$10\r\nabc", true, true},
		{"a list in a list", "*2\r\n*1\r\n:1\r\n$1\r\nx\r\n", true, false},
		{"a list that is being read", "*2\r\n:1\r\n", true, true},
		{"an empty list", "*0\r\n", true, false},
		{"a map, a set and a push", "%1\r\n+a\r\n:1\r\n~1\r\n:1\r\n>2\r\n+a\r\n+b\r\n", true, false},
		{"other scalars", "#t\r\n,1.5\r\n(123\r\n=4\r\ntxt:\r\n!3\r\nERR\r\n", true, false},
		{"the largest string", "$83886080\r\n", true, true},
		{"a byte more", "$83886081\r\n", false, false},
		{"a terabyte", "$999999999999\r\n", false, false},
		{"more than any number", "$99999999999999999999999999\r\n", false, false},
		{"a length below a null's", "$-2\r\n", false, false},
		{"a length that is no number", "$x\r\n", false, false},
		{"a streamed string", "$?\r\n", false, false},
		{"the longest list", "*1048576\r\n", true, true},
		{"one more", "*1048577\r\n", false, false},
		{"a map of as many", "%524289\r\n", false, false},
		{"sixteen lists in lists", strings.Repeat("*1\r\n", 16), true, true},
		{"seventeen", strings.Repeat("*1\r\n", 17), false, false},
		{"many beside each other", "*100\r\n" + strings.Repeat("*1\r\n:1\r\n", 100), true, false},
		{"a web server", "HTTP/1.1 400 Bad Request\r\n", false, false},
		{"an empty line", "\r\n", false, false},
		{"a line without a return", "$3\n", false, false},
		{"a line without an end", "+" + strings.Repeat("x", maxLine), false, false},
	} {
		var whole, single framing
		good := whole.feed([]byte(row.sent))
		for i := range len(row.sent) {
			single.feed([]byte{row.sent[i]})
		}
		missing := whole.skip > 0 || len(whole.open) > 0
		if good != row.good || good && missing != row.missing || single.broken == good {
			t.Errorf("%s: good %v, byte by byte %v, missing %v", row.name, good, !single.broken, missing)
		}
	}
}

func FuzzFraming(f *testing.F) {
	for _, s := range []string{"+OK\r\n", "$3\r\nabc\r\n", "*2\r\n:1\r\n$-1\r\n", "%1\r\n+a\r\n*0\r\n", "$99999999999\r\n", "*1\r\n*1\r\n"} {
		f.Add([]byte(s), 1)
	}
	f.Fuzz(func(t *testing.T, sent []byte, cut int) {
		var whole, parts framing
		good := whole.feed(sent)
		cut = min(max(cut, 0), len(sent))
		if again := parts.feed(sent[:cut]) && parts.feed(sent[cut:]); again != good {
			t.Fatalf("cut at %d it is judged otherwise", cut)
		}
		if good && fmt.Sprint(whole.skip, whole.open) != fmt.Sprint(parts.skip, parts.open) {
			t.Fatal("cut it stands elsewhere")
		}
		if good && (whole.skip > maxBulk+2 || len(whole.open) > maxNested) {
			t.Fatal("out of bounds")
		}
	})
}

func BenchmarkFraming(b *testing.B) {
	reply := []byte("*3\r\n$5\r\nabcde\r\n:1\r\n$1000\r\n" + strings.Repeat("x", 1000) + "\r\n")
	b.SetBytes(int64(len(reply)))
	b.ReportAllocs()
	var f framing
	for b.Loop() {
		if !f.feed(reply) {
			b.Fatal("refused")
		}
	}
}
