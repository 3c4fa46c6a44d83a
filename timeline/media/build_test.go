package media_test

import (
	"bytes"
	"encoding/binary"
	"io"
	"math"
	"testing"

	"sideport/timeline/media"
)

// box is an MP4 box around its parts.
func box(kind string, parts ...[]byte) []byte {
	body := bytes.Join(parts, nil)
	return append(append(be32(uint32(len(body)+8)), kind...), body...)
}

func be32(v uint32) []byte { return binary.BigEndian.AppendUint32(nil, v) }
func be64(v uint64) []byte { return binary.BigEndian.AppendUint64(nil, v) }

// head0 and head1 are the content of mvhd and mdhd in versions 0 and 1.
func head0(created, timescale, duration uint32, rest ...byte) []byte {
	return bytes.Join([][]byte{be32(0), be32(created), be32(created), be32(timescale), be32(duration), rest}, nil)
}

func head1(created uint64, timescale uint32, duration uint64, rest ...byte) []byte {
	return bytes.Join([][]byte{be32(1 << 24), be64(created), be64(created), be32(timescale), be64(duration), rest}, nil)
}

// el is an EBML element with a size of eight bytes.
func el(id uint32, parts ...[]byte) []byte {
	body := bytes.Join(parts, nil)
	return append(open(id, 0x01<<56|uint64(len(body))), body...)
}

// open is the head of an element whose size field has these eight bytes;
// unknownSize is the size that says nothing.
func open(id uint32, size uint64) []byte {
	head := bytes.TrimLeft(be32(id), "\x00")
	return append(head, be64(size)...)
}

const unknownSize = 0x01FF_FFFF_FFFF_FFFF

func float64Bytes(v float64) []byte { return be64(math.Float64bits(v)) }

// readBytes reads the facts of a container in memory.
func readBytes(tb testing.TB, raw []byte) (media.Facts, error) {
	tb.Helper()
	return media.Read(bytes.NewReader(raw), int64(len(raw)))
}

// counting counts the bytes and calls that reach the reader below it.
type counting struct {
	r            io.ReaderAt
	bytes, calls int64
}

func (c *counting) ReadAt(p []byte, at int64) (int, error) {
	n, err := c.r.ReadAt(p, at)
	c.bytes += int64(n)
	c.calls++
	return n, err
}
