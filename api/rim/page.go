package rim

import (
	"crypto/sha256"
	"encoding/base64"
	"hash/maphash"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"sync"
)

// Page is a ready answer to a GET: its bytes and the header fields that go with them, and the same compressed once
// somebody takes it so. It is immutable; the slices are shared by all the answers it serves.
type Page struct {
	Body   []byte
	Route  *Route // that made it; nil: nobody said
	plain  form
	packed func() *form // nil for a page that is never compressed
}

// form is a page in one content coding.
type form struct {
	body     []byte
	etag     string
	fields   []field
	lasts    []field // fields of a 304
	longBody []string
}

type field struct {
	name  string
	value []string
}

// PageOf makes a page. The tag is strong: it changes with the bytes, with the content coding and with anything named
// in identity. Fields are pairs of canonical names and values; empty values are left out. Where there is a coding, the
// page varies by Accept-Encoding whatever its size, so that all answers of an address vary by the same.
func PageOf(coding Coding, body []byte, identity string, fields ...Header) *Page {
	p := &Page{Body: body}
	if coding.Packer != nil {
		fields = varying(fields, "Accept-Encoding")
	}
	if coding.Packer != nil && len(body) > coding.Above {
		p.packed = sync.OnceValue(func() *form {
			f := formOf(coding.Packer.Pack(body), identity+"\ngzip", append(slices.Clone(fields), Header{"Content-Encoding", "gzip"}))
			return &f
		})
	}
	p.plain = formOf(body, identity, fields)
	return p
}

// varying is fields with one more name in Vary.
func varying(fields []Header, name string) []Header {
	fields = slices.Clone(fields)
	for i := range fields {
		if fields[i].Name == "Vary" {
			if fields[i].Value != "" {
				name = fields[i].Value + ", " + name
			}
			fields[i].Value = name
			return fields
		}
	}
	return append(fields, Header{"Vary", name})
}

func formOf(body []byte, identity string, fields []Header) form {
	sum := sha256.New()
	sum.Write([]byte(identity))
	sum.Write([]byte{0})
	sum.Write(body)
	f := form{body: body, etag: `"` + base64.RawURLEncoding.EncodeToString(sum.Sum(nil)[:15]) + `"`}
	for _, h := range append(slices.Clip(fields), Header{"Etag", f.etag}) {
		if h.Value == "" {
			continue
		}
		v := field{h.Name, []string{h.Value}}
		f.fields = append(f.fields, v)
		switch h.Name {
		case "Content-Type", "Content-Language", "Content-Encoding", "Access-Control-Expose-Headers": // the caller holds them
		default:
			f.lasts = append(f.lasts, v)
		}
	}
	if len(body) > automaticLength {
		f.longBody = []string{strconv.Itoa(len(body))}
	}
	return f
}

// automaticLength is the size up to which net/http states the length of an answer by itself.
const automaticLength = 2000

// Serve writes the page in the content coding that the caller takes, or 304 where the caller holds it in that coding,
// and returns the status.
func (p *Page) Serve(w http.ResponseWriter, r *http.Request) int {
	f := &p.plain
	if p.packed != nil && Gzip(joined(r.Header["Accept-Encoding"])) {
		f = p.packed()
	}
	h := w.Header()
	if match := r.Header["If-None-Match"]; match != nil && f.held(match) {
		for _, v := range f.lasts {
			h[v.name] = v.value
		}
		w.WriteHeader(http.StatusNotModified)
		return http.StatusNotModified
	}
	for _, v := range f.fields {
		h[v.name] = v.value
	}
	if f.longBody != nil {
		h["Content-Length"] = f.longBody
	}
	w.WriteHeader(http.StatusOK)
	if r.Method != http.MethodHead || f.longBody == nil {
		_, _ = w.Write(f.body) // a caller that has gone away is no fault
	}
	return http.StatusOK
}

// joined is a header field that may stand several times as one (RFC 9110, section 5.3).
func joined(values []string) string {
	if len(values) == 1 {
		return values[0]
	}
	return strings.Join(values, ",")
}

// held is the weak comparison of RFC 9110, section 13.1.2: the tag with its quotes stands in the list, or a star.
func (f *form) held(match []string) bool {
	return slices.ContainsFunc(match, func(m string) bool {
		return strings.Contains(m, f.etag) || strings.TrimSpace(m) == "*"
	})
}

// Pages is a bounded store of ready answers. It is safe for concurrent use; a miss costs nothing but the work. An
// answer is kept under its address with the form and language it has, and under the header fields that led to it.
type Pages struct {
	seed   maphash.Seed
	shards [16]shard
}

type shard struct {
	mu    sync.RWMutex
	pages map[pageKey]*Page
	bytes int
}

type pageKey struct {
	uri, form, lang string
}

// Bounds of one shard; past them it starts anew.
const (
	shardPages = 512
	shardBytes = 4 << 20
	maxURI     = 4096 // fifty keys of a card
	maxPage    = 2 << 20
)

// NewPages is an empty store.
func NewPages() *Pages {
	p := &Pages{seed: maphash.MakeSeed()}
	for i := range p.shards {
		p.shards[i].pages = map[pageKey]*Page{}
	}
	return p
}

func (p *Pages) shard(uri string) *shard {
	return &p.shards[maphash.String(p.seed, uri)%uint64(len(p.shards))]
}

// Get is the page for an address in a form and language, or as header fields asked for it; or nil.
func (p *Pages) Get(uri, form, lang string) *Page {
	s := p.shard(uri)
	s.mu.RLock()
	page := s.pages[pageKey{uri, form, lang}]
	s.mu.RUnlock()
	return page
}

// Put keeps a page unless it or its address is too long.
func (p *Pages) Put(uri, form, lang string, page *Page) {
	size := len(page.Body)
	if page.packed != nil {
		size += size / 4 // compressed it takes less than that
	}
	p.put(uri, form, lang, page, size)
}

// Alias keeps a page that is kept already under what header fields say.
func (p *Pages) Alias(uri, accept, tongue string, page *Page) {
	p.put(uri, accept, tongue, page, len(accept)+len(tongue))
}

func (p *Pages) put(uri, form, lang string, page *Page, bytes int) {
	if len(uri) > maxURI || len(page.Body) > maxPage {
		return
	}
	s := p.shard(uri)
	s.mu.Lock()
	defer s.mu.Unlock()
	if len(s.pages) >= shardPages || s.bytes >= shardBytes {
		clear(s.pages)
		s.bytes = 0
	}
	s.pages[pageKey{strings.Clone(uri), strings.Clone(form), strings.Clone(lang)}] = page
	s.bytes += bytes + len(uri)
}
