package snapshot

import (
	"bufio"
	"crypto/sha256"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"runtime"
	"strings"
	"sync"

	"endfloat/service/catalogue"
	"endfloat/specdb/manifest"
)

// Suffix ends the name of every snapshot file.
const Suffix = ".endfloat"

// magic begins every snapshot file; the last byte is the version of the file, not of the blobs.
const magic = "endfloat\x00\x01"

// Bounds of a snapshot file.
const (
	maxIndex  = 256 << 20 // bytes before the content
	maxFamily = 64 << 20  // bytes of one family
	maxHead   = 8 << 20
)

// ErrNoSnapshot is a file that does not begin like a snapshot.
var ErrNoSnapshot = errors.New("this is no snapshot of a catalogue")

// Content is a whole revision.
type Content struct {
	manifest.Manifest
	manifest.Head
	Families []*catalogue.Family // in the order of the manifest
}

// index is what stands before the blobs of a file.
type index struct {
	name, date, head string
	headSize         int
	families         []indexed
	withdrawn        []manifest.Withdrawn
}

type indexed struct {
	key, digest string
	size        int
}

func (x *index) walk(c *codec) {
	str(c, &x.name)
	str(c, &x.date)
	str(c, &x.head)
	c.int(&x.headSize)
	list(c, &x.withdrawn, withdrawn)
	list(c, &x.families, func(c *codec, f *indexed) {
		str(c, &f.key)
		str(c, &f.digest)
		c.int(&f.size)
	})
}

// Write writes a revision. The families are encoded one after the other, so that it costs little memory beside them.
func Write(w io.Writer, content Content) error {
	head := EncodeHead(content.Head)
	x := index{name: content.Name, date: content.Manifest.Date, head: manifest.Digest(head), headSize: len(head), withdrawn: content.Withdrawn}
	for _, f := range content.Families {
		blob := EncodeFamily(f)
		x.families = append(x.families, indexed{f.Key, manifest.Digest(blob), len(blob)})
	}
	buf := bufio.NewWriterSize(w, 1<<20)
	front := encode(x.walk)
	size := binary.BigEndian.AppendUint32(nil, uint32(len(front)))
	sum := sha256.Sum256(front)
	for _, part := range [][]byte{[]byte(magic), size, front, sum[:], head} {
		if _, err := buf.Write(part); err != nil {
			return err
		}
	}
	for _, f := range content.Families {
		if _, err := buf.Write(EncodeFamily(f)); err != nil {
			return err
		}
	}
	return buf.Flush()
}

// Read reads a whole file of the given size on half the processors. Families that have, given a digest, returns are
// taken from there and not read again; have may be nil. Errors: ErrNoSnapshot, or what does not agree with its
// digest; nothing is returned beside an error.
func Read(r io.ReaderAt, size int64, have func(digest string) *catalogue.Family) (Content, error) {
	x, at, err := readIndex(r, size)
	if err != nil {
		return Content{}, err
	}
	blob, err := section(r, at, x.headSize, x.head)
	if err != nil {
		return Content{}, fmt.Errorf("head: %w", err)
	}
	out := Content{}
	if out.Head, err = DecodeHead(blob); err != nil {
		return Content{}, err
	}
	out.Withdrawn = x.withdrawn
	entries := make([]manifest.Entry, len(x.families))
	for i, f := range x.families {
		entries[i] = manifest.Entry{Key: f.key, Digest: f.digest}
	}
	if out.Manifest = manifest.New(out.Head.Date, x.head, entries); out.Name != x.name || x.date != out.Head.Date {
		return Content{}, fmt.Errorf("the content makes %s, the file says %s", out.Name, clip(x.name))
	}
	out.Families, err = readFamilies(r, at+int64(x.headSize), x.families, have)
	if err != nil {
		return Content{}, err
	}
	return out, nil
}

func clip(s string) string { return strings.ToValidUTF8(s[:min(len(s), 80)], "") }

// readIndex is the front of a file and where the content begins.
func readIndex(r io.ReaderAt, size int64) (x index, at int64, err error) {
	front := make([]byte, len(magic)+4)
	if size < int64(len(front)) {
		return x, 0, ErrNoSnapshot
	}
	if _, err := r.ReadAt(front, 0); err != nil {
		return x, 0, err
	}
	if string(front[:len(magic)]) != magic {
		return x, 0, ErrNoSnapshot
	}
	n := int64(binary.BigEndian.Uint32(front[len(magic):]))
	at = int64(len(front)) + n + sha256.Size
	if n > maxIndex || at > size {
		return x, 0, io.ErrUnexpectedEOF
	}
	data := make([]byte, n+sha256.Size)
	if _, err := r.ReadAt(data, int64(len(front))); err != nil {
		return x, 0, err
	}
	if sha256.Sum256(data[:n]) != [sha256.Size]byte(data[n:]) {
		return x, 0, errors.New("the index does not agree with its digest")
	}
	if err := decode(data[:n], x.walk); err != nil {
		return x, 0, fmt.Errorf("index: %w", err)
	}
	end := at + int64(x.headSize)
	for i, f := range x.families {
		if f.size > maxFamily || i > 0 && x.families[i-1].key >= f.key {
			return x, 0, errBroken
		}
		end += int64(f.size)
	}
	if x.headSize > maxHead || end != size {
		return x, 0, io.ErrUnexpectedEOF
	}
	return x, at, nil
}

// section is a blob that must have its digest.
func section(r io.ReaderAt, at int64, size int, digest string) ([]byte, error) {
	blob := make([]byte, size)
	if _, err := r.ReadAt(blob, at); err != nil && (!errors.Is(err, io.EOF) || size > 0) {
		return nil, err
	}
	if manifest.Digest(blob) != digest {
		return nil, errors.New("the content does not agree with its digest")
	}
	return blob, nil
}

func readFamilies(r io.ReaderAt, at int64, list []indexed, have func(string) *catalogue.Family) ([]*catalogue.Family, error) {
	out := make([]*catalogue.Family, len(list))
	faults := make([]error, len(list))
	starts := make([]int64, len(list))
	for i, f := range list {
		starts[i] = at
		at += int64(f.size)
	}
	next := make(chan int)
	var wait sync.WaitGroup
	for range min(max(1, runtime.GOMAXPROCS(0)/2), max(1, len(list))) {
		wait.Go(func() {
			for i := range next {
				if have != nil {
					out[i] = have(list[i].digest)
				}
				if out[i] == nil {
					out[i], faults[i] = readFamily(r, starts[i], list[i])
				}
			}
		})
	}
	for i := range list {
		next <- i
	}
	close(next)
	wait.Wait()
	return out, errors.Join(faults...)
}

func readFamily(r io.ReaderAt, at int64, x indexed) (*catalogue.Family, error) {
	blob, err := section(r, at, x.size, x.digest)
	if err != nil {
		return nil, fmt.Errorf("family %s: %w", clip(x.key), err)
	}
	f, err := DecodeFamily(blob)
	if err == nil && f.Key != x.key {
		err = fmt.Errorf("family %s calls itself %s", clip(x.key), clip(f.Key))
	}
	return f, err
}
