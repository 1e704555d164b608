package snapshot

import (
	"bufio"
	"crypto/sha256"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"runtime"
	"slices"
	"strings"

	"endfloat/service/catalogue"
	"endfloat/specdb/manifest"
)

// Suffix ends the name of every snapshot file.
const Suffix = ".endfloat"

// magic begins every snapshot file; the last byte is the version of the file, not of the blobs.
const magic = "endfloat\x00\x01"

// ErrNoSnapshot is a file that does not begin like a snapshot.
var ErrNoSnapshot = errors.New("this is no snapshot of a catalogue")

// Content is a whole revision.
type Content struct {
	manifest.Manifest
	manifest.Head
	Families []*catalogue.Family // in the order of the manifest
}

// NewContent names a revision: families by their digest, the whole by all of them. A family of the same content in held
// stands in for one that is given; held may be nil.
func NewContent(head manifest.Head, families []*catalogue.Family, held map[string]*catalogue.Family) Content {
	c := Content{Head: head, Families: slices.Clone(families)}
	slices.SortFunc(c.Families, func(a, b *catalogue.Family) int { return strings.Compare(a.Key, b.Key) })
	pieces := make([]manifest.Piece, len(c.Families))
	for i, f := range c.Families {
		pieces[i] = manifest.PieceOf(f.Key, EncodeFamily(f))
		if f.Digest == "" {
			f.Digest = pieces[i].Digest
		}
		if same := held[pieces[i].Digest]; same != nil {
			c.Families[i] = same
		}
		runtime.Gosched() // whoever waits for an answer goes first
	}
	c.Manifest = manifest.New(head.Date, manifest.PieceOf("", EncodeHead(head)), pieces)
	return c
}

// Write writes a revision. Errors: those of w and of WriteBlobs.
func Write(w io.Writer, content Content) error {
	buf := bufio.NewWriterSize(w, 1<<20)
	front := EncodeRecord(NewRecord(content))
	size := binary.BigEndian.AppendUint32(nil, uint32(len(front)))
	sum := sha256.Sum256(front)
	for _, part := range [][]byte{[]byte(magic), size, front, sum[:]} {
		if _, err := buf.Write(part); err != nil {
			return err
		}
	}
	if err := WriteBlobs(buf, content); err != nil {
		return err
	}
	return buf.Flush()
}

// errOther is content that is not what its manifest says.
var errOther = errors.New("the content is not what its digests say")

// WriteBlobs writes the head and the families, one behind the other, as FileBlobs reads them. Each is encoded when its
// turn comes, so that it costs little memory beside them, and held to its digest. Errors: those of w, content that is not
// what its manifest says.
func WriteBlobs(w io.Writer, content Content) error {
	if len(content.Families) != len(content.Manifest.Families) {
		return errOther
	}
	if err := writePiece(w, content.Manifest.Head, EncodeHead(content.Head)); err != nil {
		return err
	}
	for i, f := range content.Families {
		if err := writePiece(w, content.Manifest.Families[i], EncodeFamily(f)); err != nil {
			return err
		}
		runtime.Gosched() // whoever waits for an answer goes first
	}
	return nil
}

func writePiece(w io.Writer, p manifest.Piece, blob []byte) error {
	if !p.Is(blob) {
		return errOther
	}
	_, err := w.Write(blob)
	return err
}

// ReadFile is Read of a whole file that is open. Errors: ErrNoSnapshot where it is no plain one, those of Read.
func ReadFile(f fs.File, held map[string]*catalogue.Family) (Content, error) {
	info, err := f.Stat()
	if err != nil {
		return Content{}, err
	}
	r, ok := f.(io.ReaderAt)
	if !ok || !info.Mode().IsRegular() {
		return Content{}, ErrNoSnapshot
	}
	return Read(r, info.Size(), held)
}

// Read reads a whole file of the given size on half the processors. Families whose digest held has are taken from there
// and not read again; held may be nil. Errors: ErrNoSnapshot, or what does not agree with its digest; nothing is
// returned beside an error.
func Read(r io.ReaderAt, size int64, held map[string]*catalogue.Family) (Content, error) {
	record, at, err := readFront(r, size)
	if err != nil {
		return Content{}, err
	}
	blobs, err := FileBlobs(r, at, size, record)
	if err != nil {
		return Content{}, err
	}
	return record.Load(held, blobs)
}

func clip(s string) string { return strings.ToValidUTF8(s[:min(len(s), 80)], "") }

// readFront is the record at the front of a file and where the content begins.
func readFront(r io.ReaderAt, size int64) (record Record, at int64, err error) {
	front := make([]byte, len(magic)+4)
	if size < int64(len(front)) {
		return record, 0, ErrNoSnapshot
	}
	if _, err := r.ReadAt(front, 0); err != nil {
		return record, 0, err
	}
	if string(front[:len(magic)]) != magic {
		return record, 0, ErrNoSnapshot
	}
	n := int64(binary.BigEndian.Uint32(front[len(magic):]))
	at = int64(len(front)) + n + sha256.Size
	if n > maxIndex || at > size {
		return record, 0, io.ErrUnexpectedEOF
	}
	data := make([]byte, n+sha256.Size)
	if _, err := r.ReadAt(data, int64(len(front))); err != nil {
		return record, 0, err
	}
	if sha256.Sum256(data[:n]) != [sha256.Size]byte(data[n:]) {
		return record, 0, errors.New("the index does not agree with its digest")
	}
	if record, err = DecodeRecord(data[:n]); err != nil {
		return record, 0, fmt.Errorf("index: %w", err)
	}
	return record, at, nil
}

// FileBlobs gives out the pieces of a record that lie one behind the other from at to the end of a file. Errors: a file
// that is longer or shorter.
func FileBlobs(r io.ReaderAt, at, size int64, record Record) (Blobs, error) {
	if at+record.Size() != size {
		return nil, io.ErrUnexpectedEOF
	}
	where := make(map[string]int64, len(record.Families)+1)
	for _, p := range record.Pieces() {
		where[p.Digest] = at
		at += int64(p.Size)
	}
	return func(pieces []manifest.Piece) ([][]byte, error) {
		out := make([][]byte, len(pieces))
		for i, p := range pieces {
			out[i] = make([]byte, p.Size)
			if _, err := r.ReadAt(out[i], where[p.Digest]); err != nil && (!errors.Is(err, io.EOF) || p.Size > 0) {
				return nil, err
			}
		}
		return out, nil
	}, nil
}
