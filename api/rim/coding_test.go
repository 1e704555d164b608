package rim_test

import (
	"bytes"
	"compress/gzip"
	"io"
	"net/http/httptest"
	"strconv"
	"strings"
	"testing"

	"endfloat/api/rim"
)

// The rows marked RFC are the examples of RFC 9110, section 12.5.3.
func TestGzip(t *testing.T) {
	t.Parallel()
	for _, row := range []struct {
		name, accept string
		want         bool
	}{
		{"no header", "", false},
		{"RFC: by name", "compress, gzip", true},
		{"RFC: an empty field wants none", " ", false},
		{"RFC: anything", "*", true},
		{"RFC: weights", "compress;q=0.5, gzip;q=1.0", true},
		{"RFC: nothing but these", "gzip;q=1.0, identity; q=0.5, *;q=0", true},
		{"browser", "gzip, deflate, br, zstd", true},
		{"another coding", "br", false},
		{"refused by weight 0", "gzip;q=0", false},
		{"refused although anything is welcome", "*;q=1, gzip;q=0", false},
		{"anything refused", "*;q=0", false},
		{"nothing but gzip", "gzip, *;q=0", true},
		{"none is more welcome", "identity;q=1, gzip;q=0.5", false},
		{"as welcome as none", "identity;q=0.5, gzip;q=0.5", true},
		{"three decimals", "gzip;q=0.001", true},
		{"case and spaces", " GZIP ; Q=0.5 ", true},
		{"the old name (section 8.4.1.3)", "x-gzip", true},
		{"broken weight", "gzip;q=lots", false},
		{"weight over 1", "gzip;q=2", false},
		{"part of a name", "gzipped", false},
		{"commas alone", ",,,", false},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			if got := rim.Gzip(row.accept); got != row.want {
				t.Errorf("%q: %v", row.accept, got)
			}
		})
	}
}

func FuzzGzip(f *testing.F) {
	for _, s := range []string{"", "gzip", "compress, gzip", "*;q=0", "gzip;q=1.0, identity; q=0.5, *;q=0", ";;q=,", "gzip;q=0"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, accept string) {
		if rim.Gzip(accept) && !strings.Contains(strings.ToLower(accept), "gzip") && !strings.Contains(accept, "*") {
			t.Errorf("%q names no gzip", accept)
		}
	})
}

func unpacked(t *testing.T, body io.Reader) string {
	t.Helper()
	z, err := gzip.NewReader(body)
	if err != nil {
		t.Fatal(err)
	}
	text, err := io.ReadAll(z)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func TestAPageIsCompressedAboveItsLimit(t *testing.T) {
	t.Parallel()
	kept, _ := rim.Packers()
	for _, row := range []struct {
		name string
		size int
		vary string
		want string
	}{
		{"exactly 4 KiB", 4096, "Accept, Accept-Encoding", ""}, {"one byte over", 4097, "Accept, Accept-Encoding", "gzip"},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			text := strings.Repeat("0.08–0.35 mm ", 400)[:row.size]
			page := rim.PageOf(rim.Coding{Packer: kept, Above: rim.Compressible}, []byte(text), "x", rim.Header{Name: "Vary", Value: "Accept"})
			r := httptest.NewRequest("GET", "/", nil)
			r.Header["Accept-Encoding"] = []string{"br", "gzip"}
			w := httptest.NewRecorder()
			page.Serve(w, r)
			got := w.Body.String()
			if row.want != "" {
				if n := w.Header().Get("Content-Length"); n != "" && n != strconv.Itoa(w.Body.Len()) {
					t.Errorf("Content-Length %s of %d", n, w.Body.Len())
				}
				got = unpacked(t, w.Body)
			}
			if got != text || w.Header().Get("Content-Encoding") != row.want || w.Header().Get("Vary") != row.vary {
				t.Errorf("%v", w.Header())
			}
		})
	}
	bare := httptest.NewRecorder()
	rim.PageOf(rim.Coding{}, bytes.Repeat([]byte("x"), 5000), "x").Serve(bare, httptest.NewRequest("GET", "/", nil))
	if bare.Header().Get("Vary") != "" {
		t.Errorf("%v", bare.Header())
	}
	alone := rim.PageOf(rim.Coding{Packer: kept, Above: rim.Compressible}, bytes.Repeat([]byte("x"), 5000), "x")
	w := httptest.NewRecorder()
	alone.Serve(w, httptest.NewRequest("GET", "/", nil))
	if w.Header().Get("Vary") != "Accept-Encoding" || w.Header().Get("Content-Encoding") != "" || w.Body.Len() != 5000 {
		t.Errorf("%v", w.Header())
	}
}

func TestTheSameBytesAreCompressedTheSame(t *testing.T) {
	t.Parallel()
	kept, computed := rim.Packers()
	text := bytes.Repeat([]byte(`{"verdict":"pass"},`), 1000)
	for _, p := range []*rim.Packer{kept, computed} {
		first := p.Pack(text)
		p.Pack([]byte("something else between"))
		if again := p.Pack(text); !bytes.Equal(first, again) || len(first) > len(text)/10 {
			t.Errorf("%d and %d bytes", len(first), len(again))
		}
		if unpacked(t, bytes.NewReader(first)) != string(text) {
			t.Error("not what went in")
		}
	}
}
