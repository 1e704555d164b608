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

// Page is a ready answer to a GET: its bytes and the header fields that go with them. It is immutable; the slices are
// shared by all the answers it serves.
type Page struct {
	Body     []byte
	etag     string
	fields   []field
	lasts    []field // fields of a 304
	longBody []string
}

type field struct {
	name  string
	value []string
}

// PageOf makes a page. The tag is strong: it changes with the bytes and with anything named in identity. Fields are
// pairs of canonical names and values; empty values are left out.
func PageOf(body []byte, identity string, fields ...Header) *Page {
	sum := sha256.New()
	sum.Write([]byte(identity))
	sum.Write([]byte{0})
	sum.Write(body)
	p := &Page{Body: body, etag: `"` + base64.RawURLEncoding.EncodeToString(sum.Sum(nil)[:15]) + `"`}
	fields = append(fields, Header{"Etag", p.etag})
	for _, f := range fields {
		if f.Value == "" {
			continue
		}
		v := field{f.Name, []string{f.Value}}
		p.fields = append(p.fields, v)
		switch f.Name {
		case "Content-Type", "Content-Language", "Access-Control-Expose-Headers": // the caller holds them
		default:
			p.lasts = append(p.lasts, v)
		}
	}
	if len(body) > automaticLength {
		p.longBody = []string{strconv.Itoa(len(body))}
	}
	return p
}

// automaticLength is the size up to which net/http states the length of an answer by itself.
const automaticLength = 2000

// ETag is the strong entity tag with its quotes.
func (p *Page) ETag() string { return p.etag }

// Serve writes the page, or 304 where the caller holds it.
func (p *Page) Serve(w http.ResponseWriter, r *http.Request) {
	h := w.Header()
	if match := r.Header["If-None-Match"]; match != nil && p.held(match) {
		for _, f := range p.lasts {
			h[f.name] = f.value
		}
		w.WriteHeader(http.StatusNotModified)
		return
	}
	for _, f := range p.fields {
		h[f.name] = f.value
	}
	if p.longBody != nil {
		h["Content-Length"] = p.longBody
	}
	w.WriteHeader(http.StatusOK)
	if r.Method != http.MethodHead || p.longBody == nil {
		_, _ = w.Write(p.Body) // a caller that has gone away is no fault
	}
}

// held is the weak comparison of RFC 9110, section 13.1.2: the tag with its quotes stands in the list, or a star.
func (p *Page) held(match []string) bool {
	return slices.ContainsFunc(match, func(m string) bool {
		return strings.Contains(m, p.etag) || strings.TrimSpace(m) == "*"
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
	maxURI     = 512
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
func (p *Pages) Put(uri, form, lang string, page *Page) { p.put(uri, form, lang, page, len(page.Body)) }

// Alias keeps a page that is kept already under what header fields say.
func (p *Pages) Alias(uri, accept, tongue string, page *Page) { p.put(uri, accept, tongue, page, 0) }

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
	s.bytes += bytes
}
