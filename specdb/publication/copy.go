package publication

import (
	"bufio"
	"bytes"
	"crypto/ed25519"
	"crypto/sha256"
	"encoding/binary"
	"errors"
	"io"
	"os"

	"endfloat/specdb/snapshot"
	"endfloat/specdb/whole"
)

// CopyName is the file of the last good copy in its directory.
const CopyName = "last-good-copy"

// copyMagic begins it; the last byte is the version of the file.
const copyMagic = "endfloat\x00\x03"

// ErrNoCopy is a directory without a copy.
var ErrNoCopy = errors.New("there is no copy")

// WriteCopy keeps a revision with its seal in a directory, in place of the copy before it; a power cut leaves one of the
// two. Errors: those of the disk, and content that is not what was sealed.
func WriteCopy(dir *os.Root, sealed []byte, content snapshot.Content) error {
	return whole.Write(dir, CopyName, 0, func(w io.Writer) error { return writeCopy(w, sealed, content) })
}

func writeCopy(w io.Writer, sealed []byte, content snapshot.Content) error {
	text, _, err := split(sealed)
	if err != nil {
		return err
	}
	if !bytes.Equal(text, snapshot.EncodeRecord(snapshot.NewRecord(content))) {
		return errors.New("the content is not what was sealed")
	}
	buf := bufio.NewWriterSize(w, 1<<20)
	sum := sha256.Sum256(sealed)
	for _, part := range [][]byte{[]byte(copyMagic), binary.BigEndian.AppendUint32(nil, uint32(len(sealed))), sealed, sum[:]} {
		if _, err := buf.Write(part); err != nil {
			return err
		}
	}
	if err := snapshot.WriteBlobs(buf, content); err != nil {
		return err
	}
	return buf.Flush()
}

// ReadCopy is the copy of a directory, held to the same signature as what is published. Errors: ErrNoCopy, those of
// Open, those of the disk, and any byte that is another.
func ReadCopy(dir *os.Root, trusted []ed25519.PublicKey) (snapshot.Content, Ref, error) {
	f, err := dir.Open(CopyName)
	if errors.Is(err, os.ErrNotExist) {
		return snapshot.Content{}, Ref{}, ErrNoCopy
	}
	if err != nil {
		return snapshot.Content{}, Ref{}, err
	}
	defer func() { _ = f.Close() }() // only read
	info, err := f.Stat()
	if err != nil {
		return snapshot.Content{}, Ref{}, err
	}
	if !info.Mode().IsRegular() {
		return snapshot.Content{}, Ref{}, ErrBroken
	}
	return readCopy(f, info.Size(), trusted)
}

func readCopy(r io.ReaderAt, size int64, trusted []ed25519.PublicKey) (snapshot.Content, Ref, error) {
	front := make([]byte, len(copyMagic)+4)
	if _, err := r.ReadAt(front, 0); err != nil || string(front[:len(copyMagic)]) != copyMagic {
		return snapshot.Content{}, Ref{}, ErrBroken
	}
	n := int64(binary.BigEndian.Uint32(front[len(copyMagic):]))
	at := int64(len(front)) + n + sha256.Size
	if n > MaxSealed || at > size {
		return snapshot.Content{}, Ref{}, ErrBroken
	}
	data := make([]byte, n+sha256.Size)
	if _, err := r.ReadAt(data, int64(len(front))); err != nil {
		return snapshot.Content{}, Ref{}, err
	}
	sealed := data[:n]
	if sha256.Sum256(sealed) != [sha256.Size]byte(data[n:]) {
		return snapshot.Content{}, Ref{}, ErrBroken
	}
	record, err := Open(sealed, trusted)
	if err != nil {
		return snapshot.Content{}, Ref{}, err
	}
	blobs, err := snapshot.FileBlobs(r, at, size, record)
	if err != nil {
		return snapshot.Content{}, Ref{}, err
	}
	content, err := record.Load(nil, blobs)
	return content, RefOf(record.Name, sealed), err
}
