package snapshot

import (
	"errors"
	"fmt"
	"runtime"
	"sync"
	"sync/atomic"

	"endfloat/service/catalogue"
	"endfloat/specdb/manifest"
)

// A batch is as many pieces as are fetched at once.
const (
	batchPieces = 64
	batchBytes  = 1 << 20
)

// Blobs gives out the bytes of pieces, in their order; those of a piece that is not there are nil. It is called from
// several goroutines.
type Blobs func(pieces []manifest.Piece) ([][]byte, error)

// ErrMissing is a piece that is not where it should be.
var ErrMissing = errors.New("a part of the content is missing")

// errDigest is a piece whose bytes are others.
var errDigest = errors.New("the content does not agree with its digest")

// Load reads the pieces of a record on half the processors and checks each against its digest. Families whose digest held
// has are taken from there and not read again; held may be nil. Errors: ErrMissing, those of blobs, a piece that is not
// what the record says; nothing is returned beside an error.
func (r Record) Load(held map[string]*catalogue.Family, blobs Blobs) (Content, error) {
	var out Content
	got, err := fetch([]manifest.Piece{r.Head}, blobs)
	if err == nil {
		out.Head, err = DecodeHead(got[0])
	}
	if err != nil {
		return Content{}, fmt.Errorf("head: %w", err)
	}
	if out.Head.Date != r.Date {
		return Content{}, fmt.Errorf("the head is of %s, the record of %s", clip(out.Head.Date), clip(r.Date))
	}
	out.Withdrawn = r.Withdrawn
	out.Families = make([]*catalogue.Family, len(r.Families))
	var wanted []int
	for i, f := range r.Families {
		if out.Families[i] = held[f.Digest]; out.Families[i] == nil {
			wanted = append(wanted, i)
		}
	}
	out.Manifest = manifest.New(r.Date, r.Head, r.Families)
	if err := r.families(out.Families, wanted, blobs); err != nil {
		return Content{}, err
	}
	return out, nil
}

// families fills the places that are wanted. The first fault ends the work.
func (r Record) families(out []*catalogue.Family, wanted []int, blobs Blobs) error {
	next := make(chan []int)
	var failed atomic.Pointer[error]
	var wait sync.WaitGroup
	for range max(1, runtime.GOMAXPROCS(0)/2) {
		wait.Go(func() {
			for batch := range next {
				if failed.Load() != nil {
					continue
				}
				if err := r.batch(out, batch, blobs); err != nil {
					failed.CompareAndSwap(nil, &err)
				}
			}
		})
	}
	for len(wanted) > 0 {
		n, size := 0, 0
		for n < len(wanted) && n < batchPieces && size < batchBytes {
			size += r.Families[wanted[n]].Size
			n++
		}
		next <- wanted[:n]
		wanted = wanted[n:]
	}
	close(next)
	wait.Wait()
	if err := failed.Load(); err != nil {
		return *err
	}
	return nil
}

// batch never panics: a revision is read while the one before it serves, and that must go on.
func (r Record) batch(out []*catalogue.Family, batch []int, blobs Blobs) (err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("the reader gave up: %v", p)
		}
	}()
	pieces := make([]manifest.Piece, len(batch))
	for k, i := range batch {
		pieces[k] = r.Families[i]
	}
	got, err := fetch(pieces, blobs)
	if err != nil {
		return err
	}
	for k, i := range batch {
		f, err := DecodeFamily(got[k])
		if err != nil {
			return fmt.Errorf("family %s: %w", clip(pieces[k].Key), err)
		}
		if f.Key != pieces[k].Key {
			return fmt.Errorf("family %s calls itself %s", clip(pieces[k].Key), clip(f.Key))
		}
		out[i] = f
		runtime.Gosched() // whoever waits for an answer goes first
	}
	return nil
}

// fetch gets pieces and holds each to its size and digest.
func fetch(pieces []manifest.Piece, blobs Blobs) ([][]byte, error) {
	got, err := blobs(pieces)
	if err != nil {
		return nil, err
	}
	for i, p := range pieces {
		switch {
		case got[i] == nil:
			err = ErrMissing
		case !p.Is(got[i]):
			err = errDigest
		}
		if err != nil && p.Key != "" {
			return nil, fmt.Errorf("family %s: %w", clip(p.Key), err)
		}
		if err != nil {
			return nil, err
		}
	}
	return got, nil
}
