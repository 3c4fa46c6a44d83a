package media_test

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"
	"time"

	"sideport/timeline/media"
)

// sparse is a recording of 2 GiB of nothing between its head and its tail.
type sparse struct {
	name       string
	head, tail []byte
}

const gap = 2 << 30

func sparseFiles() []sparse {
	start := uint32(len(ftyp) + 24) // of the first sample, behind the head of mdat
	moov := box("moov", box("mvhd", head0(created, 1000, 2002)), edited(elst0(2002, 1024)), codeTrack(0, 25, 1, 25, start))
	segment := info(2002)
	webm := el(0x1A45DFA3, el(0x4282, []byte("webm")))
	tracks := el(0x1654AE6B, el(0xAE, el(0xD7, []byte{1}), el(0x83, []byte{1})))
	block := []byte{0x81, 0, 33, 0x80}
	return []sparse{
		{"mp4 with a 64-bit size", bytes.Join([][]byte{ftyp, be32(1), []byte("mdat"), be64(gap + 16)}, nil), moov},
		{"mp4 to the end of the file", bytes.Join([][]byte{ftyp, moov, be32(0), []byte("mdat")}, nil), nil},
		{"matroska", bytes.Join([][]byte{ebml, open(0x18538067, unknownSize), open(0x1F43B675, 0x01<<56|gap)}, nil), segment},
		{"matroska without sizes", bytes.Join([][]byte{ebml, open(0x18538067, unknownSize), open(0x1F43B675, unknownSize), open(0xA3, 0x01<<56|gap)}, nil), segment},
		{"webm", bytes.Join([][]byte{webm, open(0x18538067, unknownSize), segment, tracks,
			open(0x1F43B675, 0x01<<56|uint64(gap+10+len(block))), open(0xA3, 0x01<<56|uint64(gap+len(block))), block}, nil), nil},
	}
}

// file writes the recording with a hole in it; where the disk has no holes the test
// is skipped.
func (s sparse) file(tb testing.TB) (f *os.File, size int64) {
	tb.Helper()
	f, err := os.Create(filepath.Join(tb.TempDir(), "recording"))
	if err != nil {
		tb.Fatal(err)
	}
	tb.Cleanup(func() { _ = f.Close() })
	size = int64(len(s.head)) + gap + int64(len(s.tail))
	if err := f.Truncate(size); err != nil {
		tb.Skipf("no sparse file of %d bytes here: %v", size, err)
	}
	if _, err := f.WriteAt(s.head, 0); err != nil {
		tb.Fatal(err)
	}
	if _, err := f.WriteAt(s.tail, size-int64(len(s.tail))); err != nil {
		tb.Fatal(err)
	}
	return f, size
}

// The picture and sound of a 2 GiB recording are stepped over: the bytes read
// are counted, since a time would say more of the machine.
func TestReadSeeksOverTwoGiB(t *testing.T) {
	for _, tt := range sparseFiles() {
		t.Run(tt.name, func(t *testing.T) {
			f, size := tt.file(t)
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

func BenchmarkReadTwoGiB(b *testing.B) {
	for _, tt := range sparseFiles() {
		b.Run(tt.name, func(b *testing.B) {
			f, size := tt.file(b)
			c := &counting{r: f}
			for b.Loop() {
				if _, err := media.Read(c, size); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(c.bytes)/float64(b.N), "read-B/op")
			b.ReportMetric(float64(c.calls)/float64(b.N), "reads/op")
		})
	}
}

// A recording of 2 GiB in clusters of 1 MiB, as recorders write it, costs one read a
// cluster: the format has no list of them that has to be there.
func TestReadStepsFromClusterToCluster(t *testing.T) {
	const clusters = 2048
	cluster := append(open(0x1F43B675, 0x01<<56|uint64(1<<20-12)), make([]byte, 1<<20-12)...)
	head := bytes.Join([][]byte{ebml, open(0x18538067, unknownSize), info(2002)}, nil)
	c := &counting{r: &pattern{head: head, repeat: cluster}}
	got, err := media.Read(c, int64(len(head))+clusters<<20)
	if err != nil || got.Duration != 2002*time.Millisecond {
		t.Errorf("Read = %v, %v, want 2.002s", got.Duration, err)
	}
	// the first cluster is looked into: 64 blocks at the most, two reads each
	if c.calls > clusters+200 || c.bytes > 12*(clusters+200) {
		t.Errorf("Read took %d bytes in %d reads, want about one of 12 bytes a cluster of %d", c.bytes, c.calls, clusters)
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
