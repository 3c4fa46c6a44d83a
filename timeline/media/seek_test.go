package media_test

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"
	"time"

	"sideport/timeline/media"
)

// The picture and sound of a 2 GiB recording are stepped over: the bytes read
// are counted, since a time would say more of the machine.
func TestReadSeeksOverTwoGiB(t *testing.T) {
	const gap = 2 << 30
	moov := box("moov", box("mvhd", head0(created, 1000, 2002)))
	segment := info(2002)
	for _, tt := range []struct {
		name       string
		head, tail []byte
	}{
		{"mp4 with a 64-bit size", bytes.Join([][]byte{ftyp, be32(1), []byte("mdat"), be64(gap + 16)}, nil), moov},
		{"mp4 to the end of the file", bytes.Join([][]byte{ftyp, moov, be32(0), []byte("mdat")}, nil), nil},
		{"matroska", bytes.Join([][]byte{ebml, open(0x18538067, unknownSize), open(0x1F43B675, 0x01<<56|gap)}, nil), segment},
		{"matroska without sizes", bytes.Join([][]byte{ebml, open(0x18538067, unknownSize), open(0x1F43B675, unknownSize), open(0xA3, 0x01<<56|gap)}, nil), segment},
	} {
		t.Run(tt.name, func(t *testing.T) {
			f, err := os.Create(filepath.Join(t.TempDir(), "recording"))
			if err != nil {
				t.Fatal(err)
			}
			defer f.Close()
			size := int64(len(tt.head)) + gap + int64(len(tt.tail))
			if err := f.Truncate(size); err != nil {
				t.Skipf("no sparse file of %d bytes here: %v", size, err)
			}
			if _, err := f.WriteAt(tt.head, 0); err != nil {
				t.Fatal(err)
			}
			if _, err := f.WriteAt(tt.tail, size-int64(len(tt.tail))); err != nil {
				t.Fatal(err)
			}
			c := &counting{r: f}
			got, err := media.Read(c, size)
			if err != nil || got.Duration != 2002*time.Millisecond {
				t.Errorf("Read = %v, %v, want 2.002s", got.Duration, err)
			}
			if c.bytes > 4096 || c.calls > 100 {
				t.Errorf("Read took %d bytes in %d reads of a %d-byte file, want at most 4096 in 100", c.bytes, c.calls, size)
			}
		})
	}
}

// Headers of the least size over and over: the limit on headers ends the walk.
func TestReadEndsOnEndlessHeaders(t *testing.T) {
	endless := &pattern{head: ftyp, repeat: []byte{0, 0, 0, 8, 'f', 'r', 'e', 'e'}}
	c := &counting{r: endless}
	if _, err := media.Read(c, 1<<40); err == nil {
		t.Error("Read of endless headers = no error, want ErrDamaged")
	}
	if c.calls > 5_000_000 {
		t.Errorf("Read of endless headers took %d reads", c.calls)
	}
}

// pattern is a file without end: a head and then the same bytes again and again.
type pattern struct{ head, repeat []byte }

func (p *pattern) ReadAt(b []byte, at int64) (int, error) {
	for i := range b {
		if n := at + int64(i); n < int64(len(p.head)) {
			b[i] = p.head[n]
		} else {
			b[i] = p.repeat[(n-int64(len(p.head)))%int64(len(p.repeat))]
		}
	}
	return len(b), nil
}
