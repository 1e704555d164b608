package rim

import (
	"bytes"
	"compress/gzip"
	"io"
	"strings"
	"sync"
)

// Compressible is the size from which an answer is compressed for whoever takes that: more than 4 KiB. Below it the
// header fields and the work cost more than the bytes saved.
const Compressible = 4 << 10

// CompressibleScript is the same for scripts, which are the same for everybody and stay with whoever fetched them: 1 KiB.
const CompressibleScript = 1 << 10

// Coding says by what and above how many bytes a page is compressed. The zero value compresses nothing.
type Coding struct {
	Packer *Packer
	Above  int
}

// Gzip reports whether an answer is sent compressed by what an Accept-Encoding header says (RFC 9110, section 12.5.3):
// gzip is accepted, and at least as welcome as no coding at all. Without the header, and where it cannot be read, the
// answer goes as it is.
func Gzip(accept string) bool {
	switch accept {
	case "":
		return false
	case "gzip", "gzip, deflate", "gzip, deflate, br", "gzip, deflate, br, zstd":
		return true
	}
	packed, plain, rest := -1.0, -1.0, -1.0
	for list := accept; list != ""; {
		var item string
		item, list, _ = strings.Cut(list, ",")
		name, params, _ := strings.Cut(item, ";")
		switch name = strings.TrimSpace(name); {
		case strings.EqualFold(name, "gzip"), strings.EqualFold(name, "x-gzip"): // the same coding, section 8.4.1.3
			packed = max(packed, weight(params))
		case strings.EqualFold(name, "identity"):
			plain = weight(params)
		case name == "*":
			rest = weight(params)
		}
	}
	if packed < 0 {
		packed = rest
	}
	return packed > 0 && packed >= plain
}

// Packer compresses answers. It keeps its writers to be used again: one takes most of a megabyte to set up. It is safe
// for concurrent use.
type Packer struct {
	level int
	pool  sync.Pool
}

// Packers of the two kinds of answers: those that are kept are compressed well, once, and those that are computed are
// compressed fast.
func Packers() (kept, computed *Packer) {
	return &Packer{level: gzip.DefaultCompression}, &Packer{level: gzip.BestSpeed}
}

// Pack is body compressed. The same body always gives the same bytes.
func (p *Packer) Pack(body []byte) []byte {
	z, _ := p.pool.Get().(*gzip.Writer)
	if z == nil {
		z, _ = gzip.NewWriterLevel(io.Discard, p.level) // the levels are ours
	}
	defer p.pool.Put(z)
	out := bytes.NewBuffer(make([]byte, 0, len(body)/3))
	z.Reset(out)
	_, _ = z.Write(body) // a buffer takes everything
	_ = z.Close()
	return out.Bytes()
}
