package embed_test

import (
	"bytes"
	"compress/gzip"
	"crypto/sha512"
	"encoding/base64"
	"encoding/hex"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"endfloat/api/embed"
	"endfloat/api/rim"
)

func ask(name string) *rim.Request {
	return &rim.Request{Media: rim.MediaJS, Param: func(string) string { return name }}
}

func manifest(t *testing.T, public string) embed.Manifest {
	t.Helper()
	r, err := embed.New(public).Manifest(ask(""))
	m, ok := r.Value.(embed.Manifest)
	if err != nil || !ok {
		t.Fatalf("%+v %v", r.Value, err)
	}
	return m
}

func field(r rim.Reply, name string) string {
	for _, h := range r.Header {
		if h.Name == name {
			return h.Value
		}
	}
	return ""
}

// The hash is that of Subresource Integrity (W3C, section 3.1): the base64 of SHA-384 behind its name.
func TestTheManifestNamesWhatIsServed(t *testing.T) {
	t.Parallel()
	m := manifest(t, "https://limits.example")
	card := embed.New("")
	name := strings.TrimPrefix(m.Href, "https://limits.example/embed/v1/")
	pinned, err := card.File(ask(name))
	if err != nil {
		t.Fatal(err)
	}
	sum := sha512.Sum384(pinned.Bytes)
	if m.Integrity != "sha384-"+base64.StdEncoding.EncodeToString(sum[:]) || m.Bytes != len(pinned.Bytes) || m.Element != "endfloat-spec" {
		t.Errorf("%+v", m)
	}
	if want := `<script type="module" src="` + m.Href + `" integrity="` + m.Integrity + `" crossorigin></script>`; m.Tag != want {
		t.Errorf("%s", m.Tag)
	}
	if cc := field(pinned, "Cache-Control"); cc != "public, max-age=31536000, immutable" {
		t.Errorf("a file whose name says its content may be kept for %q", cc)
	}
	latest, err := card.File(ask(embed.Latest))
	if err != nil || !bytes.Equal(latest.Bytes, pinned.Bytes) || field(latest, "Cache-Control") != "" {
		t.Errorf("%v %v", latest.Header, err)
	}
	if relative := manifest(t, ""); relative.Href != "/embed/v1/"+name || relative.Latest != "/embed/v1/spec-card.js" {
		t.Errorf("%+v", relative)
	}
}

func TestEveryFileHasTheNameOfItsContent(t *testing.T) {
	t.Parallel()
	files, err := filepath.Glob("files/*.js")
	if err != nil || len(files) == 0 {
		t.Fatal(files, err)
	}
	for _, f := range files {
		body, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		sum := sha512.Sum384(body)
		if want := "spec-card." + hex.EncodeToString(sum[:6]) + ".js"; filepath.Base(f) != want {
			t.Errorf("%s has the content of %s", f, want)
		}
	}
}

func TestNothingElseIsServed(t *testing.T) {
	t.Parallel()
	card := embed.New("")
	for _, name := range []string{"", ".", "..", "/", "manifest.json", "files/manifest.json", "../embed.go", "..\\embed.go", "spec-card.js/", "/spec-card.js",
		"SPEC-CARD.JS", "spec-card.000000000000.js", "spec-card.js\x00", "%2e%2e/embed.go", "source/spec-card.js"} {
		if _, err := card.File(ask(name)); err == nil || !strings.Contains(err.Error(), "unknown_file") {
			t.Errorf("%q: %v", name, err)
		}
	}
}

// mostPacked is how many bytes the card may have once it is compressed.
const mostPacked = 2200

// The card is small, and holds nothing that a strict policy of its host forbids.
func TestTheCardIsSmallAndQuiet(t *testing.T) {
	t.Parallel()
	card, err := embed.New("").File(ask(embed.Latest))
	if err != nil {
		t.Fatal(err)
	}
	var packed bytes.Buffer
	z, err := gzip.NewWriterLevel(&packed, gzip.BestCompression)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := z.Write(card.Bytes); err != nil || z.Close() != nil {
		t.Fatal(err)
	}
	t.Logf("the card has %d bytes, %d compressed", len(card.Bytes), packed.Len())
	if packed.Len() > mostPacked {
		t.Errorf("%d bytes compressed", packed.Len())
	}
	for _, loud := range []string{"eval(", "innerHTML", "outerHTML", "insertAdjacent", "document.write", "new Function", ".style", "console.log", "console.error", "document.cookie", "localStorage", "http://", "https://"} {
		if bytes.Contains(card.Bytes, []byte(loud)) {
			t.Errorf("the card has %s", loud)
		}
	}
}
