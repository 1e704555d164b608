package catalogue

import (
	"crypto/sha256"
	"encoding/base64"
	"maps"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"endfloat/api/rim"
	"endfloat/service/note"
)

// Sizes of a page.
const (
	pageSize  = 50
	tableSize = 1000 // of a CSV page, and the most of any
)

// window is the part of a list that a request asks for.
type window struct {
	size  int
	after string // the last key of the page before; empty at the start
	query [8]byte
	rev   [4]byte
}

// paging reads page_size and page_token. A token of another query or revision is a fault.
func paging(r *rim.Request) (window, error) {
	w := window{size: pageSize}
	if r.Media == rim.MediaCSV {
		w.size = tableSize
	}
	if s := r.One("page_size"); s != "" {
		n, err := strconv.Atoi(s)
		if err != nil || n < 1 || n > tableSize {
			return w, rim.BadParameter("page_size", "bad_parameter", note.New("found_no_size_page", note.Str("word", rim.Quote(s))), note.New("fix_send_whole_number", note.Str("least", "1"), note.Str("most", strconv.Itoa(tableSize))))
		}
		w.size = n
	}
	w.query, w.rev = queryPrint(r), revisionPrint(r)
	token := r.One("page_token")
	if token == "" {
		return w, nil
	}
	raw, err := base64.RawURLEncoding.DecodeString(token)
	if err != nil || len(raw) <= len(w.query)+len(w.rev) {
		return w, badToken(note.New("found_no_token_service"))
	}
	if string(raw[:len(w.rev)]) != string(w.rev[:]) {
		return w, badToken(note.New("found_token_belongs_another_revision"))
	}
	raw = raw[len(w.rev):]
	if string(raw[:len(w.query)]) != string(w.query[:]) {
		return w, badToken(note.New("found_token_belongs_another_query"))
	}
	w.after = string(raw[len(w.query):])
	return w, nil
}

func badToken(detail note.Note) error {
	return rim.BadParameter("page_token", "bad_page_token", detail,
		note.New("fix_send_next_page_token"))
}

// next is the token of the page after the one that ends with key.
func (w window) next(key string) string {
	raw := slices.Concat(w.rev[:], w.query[:], []byte(key))
	return base64.RawURLEncoding.EncodeToString(raw)
}

// revisionPrint tells revisions apart.
func revisionPrint(r *rim.Request) (p [4]byte) {
	sum := sha256.Sum256([]byte(r.Revision.Name))
	copy(p[:], sum[:])
	return p
}

// queryPrint tells queries apart: the address with all parameters but those that only say how the page is shown.
func queryPrint(r *rim.Request) (p [8]byte) {
	var b strings.Builder
	b.WriteString(r.Route.Path)
	for _, name := range slices.Sorted(maps.Keys(r.Query)) {
		switch name {
		case "page_size", "page_token", "revision", "format", "lang":
			continue
		}
		for _, v := range r.Query[name] {
			b.WriteString("\x00" + name + "\x00" + v)
		}
	}
	sum := sha256.Sum256([]byte(b.String()))
	copy(p[:], sum[:])
	return p
}

// link is the header that leads to the next page; the address is relative and never built from Host.
func (w window) link(r *rim.Request, token string) rim.Header {
	q := url.Values(maps.Clone(map[string][]string(r.Query)))
	if q == nil {
		q = url.Values{}
	}
	q.Set("page_token", token)
	return rim.Header{Name: "Link", Value: "<" + r.HTTP.URL.EscapedPath() + "?" + q.Encode() + `>; rel="next"`}
}

// page is the run of items after the key of the page before, and whether more follow. Items are in byte order of key.
func page[T any](items []T, key func(T) string, w window) (run []T, more bool) {
	start := 0
	if w.after != "" {
		i, found := slices.BinarySearchFunc(items, w.after, func(t T, after string) int { return strings.Compare(key(t), after) })
		start = i
		if found {
			start++
		}
	}
	run = items[start:]
	if len(run) > w.size {
		return run[:w.size], true
	}
	return run, false
}
