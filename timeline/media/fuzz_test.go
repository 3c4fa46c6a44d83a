package media_test

import (
	"bytes"
	"testing"
	"time"

	"sideport/timeline/media"
)

// FuzzRead: no panic, no endless walk, and facts within the limits stated.
func FuzzRead(f *testing.F) {
	seeds := [][]byte{
		append(bytes.Clone(ftyp), box("moov",
			box("mvhd", head0(created, 1000, 2002)),
			track("vide", 0, 30000, "picture", stsd("avc1"), stts(600, 1001)),
			box("udta",
				box("meta", be32(0), box("hdlr", make([]byte, 25)), box("ilst", box("\xa9nam", data(1, []byte("t"))))),
				box("\xa9xyz", []byte{0, 2, 0, 0, 'a', 'b'}),
				box("chpl", be32(0), []byte{1}, be64(0), []byte{1, 'p'})),
			box("mvex", box("trex", be32(0), be32(1), be32(1), be32(1500))))...),
		bytes.Join([][]byte{ftyp, box("moof", box("traf", box("tfhd", be32(0), be32(1)), box("trun", be32(0x100), be32(1), be32(5))))}, nil),
		append(bytes.Clone(ebml), el(0x18538067, info(2002),
			el(0x1043A770, el(0x45B9, el(0xB6, el(0x91, be64(1)), el(0x80, el(0x85, []byte("t")))))),
			el(0x1254C367, el(0x7373, el(0x67C8, el(0x45A3, []byte("A")), el(0x4487, []byte("b"))))))...),
		bytes.Join([][]byte{ebml, open(0x18538067, unknownSize), info(1), open(0x1F43B675, unknownSize), el(0xA3, []byte{1})}, nil),
	}
	for i, s := range seeds {
		if got, _ := readBytes(f, s); got.Container == "" {
			f.Fatalf("seed %d is no container", i)
		}
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, raw []byte) {
		c := &counting{r: bytes.NewReader(raw)}
		facts, _ := media.Read(c, int64(len(raw)))
		if limit := 200 * (int64(len(raw)) + 10); c.bytes > limit {
			t.Errorf("Read took %d bytes of a file of %d", c.bytes, len(raw))
		}
		if facts.Duration < 0 {
			t.Errorf("Read duration = %v", facts.Duration)
		}
		if facts.Created != "" {
			if _, err := time.Parse(time.RFC3339Nano, facts.Created); err != nil {
				t.Errorf("Read created = %q: %v", facts.Created, err)
			}
		}
		for _, ch := range facts.Chapters {
			if ch.From < 0 || ch.Level < 0 {
				t.Errorf("Read chapter = %+v", ch)
			}
		}
		for _, tr := range facts.Tracks {
			if tr.Rate.Num < 0 || tr.Rate.Den < 0 || tr.Rate.Num != 0 && tr.Rate.Den == 0 {
				t.Errorf("Read rate = %+v", tr.Rate)
			}
		}
	})
}
