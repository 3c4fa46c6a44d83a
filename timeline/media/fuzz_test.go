package media_test

import (
	"bytes"
	"testing"
	"time"

	"sideport/timeline/media"
)

// checkFacts holds the facts of any bytes to the limits stated: no panic, no
// endless walk, no impossible length, date or rate.
func checkFacts(t *testing.T, raw []byte) {
	t.Helper()
	c := &counting{r: bytes.NewReader(raw)}
	facts, _ := media.Read(c, int64(len(raw)))
	if limit := 200 * (int64(len(raw)) + 10); c.bytes > limit {
		t.Errorf("Read took %d bytes of a file of %d", c.bytes, len(raw))
	}
	if facts.Duration < 0 || facts.Exact.Duration() != facts.Duration {
		t.Errorf("Read duration = %v, exact %v", facts.Duration, facts.Exact)
	}
	if facts.Created != "" {
		if _, err := time.Parse(time.RFC3339Nano, facts.Created); err != nil || facts.CreatedIn == "" {
			t.Errorf("Read created = %q in %q: %v", facts.Created, facts.CreatedIn, err)
		}
	}
	if c := facts.Start; !c.Rate.IsZero() && c.Rate.CodeText(c.Frame) != c.Text || c.Frame < 0 {
		t.Errorf("Read start = %+v", c)
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
		if tr.Starts < 0 || tr.Exact.Num < 0 || tr.Exact.Den < 0 {
			t.Errorf("Read track from %v lasts %v", tr.Starts, tr.Exact)
		}
	}
}

// seed adds the seeds of a target and fails when one is not what it is meant to be.
func seed(f *testing.F, container string, seeds ...[]byte) {
	f.Helper()
	if len(seeds) == 0 {
		f.Fatal("no seeds")
	}
	for i, s := range seeds {
		if got, _ := readBytes(f, s); got.Container != container {
			f.Fatalf("seed %d is %q, want %q", i, got.Container, container)
		}
		f.Add(s)
	}
	f.Fuzz(checkFacts)
}

func FuzzMP4(f *testing.F) {
	seed(f, "mp4",
		append(bytes.Clone(ftyp), box("moov",
			box("mvhd", head0(created, 1000, 2002)),
			track("vide", 0, 30000, "picture", stsd("avc1"), stts(600, 1001)),
			box("udta",
				box("meta", be32(0), box("hdlr", make([]byte, 25)), box("ilst", box("\xa9nam", data(1, []byte("t"))))),
				box("\xa9xyz", []byte{0, 2, 0, 0, 'a', 'b'}),
				box("chpl", be32(0), []byte{1}, be64(0), []byte{1, 'p'})),
			box("mvex", box("trex", be32(0), be32(1), be32(1), be32(1500))))...),
		append(bytes.Clone(ftyp), box("moov", edited(elst0(500, 1<<32-1, 3000, 1024)), codeTrack(1, 30000, 1001, 30, 0x10), box("mvhd", head1(created, 600, 1200)))...),
		append(bytes.Clone(ftyp), box("moov", box("mvhd", head0(created-2082844800, 1000, 0)), edited(box("elst", be32(1<<24), be32(1), be64(0), be64(1024), be32(1<<16))))...),
		bytes.Join([][]byte{ftyp, box("moof", box("traf", box("tfhd", be32(0), be32(1)), box("trun", be32(0x100), be32(1), be32(5))))}, nil),
		bytes.Join([][]byte{ftyp, box("moov", box("mvhd", head0(0, 1000, 0)), track("vide", 0, 30000, "", stsd("avc1"), stts())),
			box("moof", box("traf", box("tfhd", be32(0x8), be32(1), be32(1500)), box("tfdt", be32(0), be32(90000)), box("trun", be32(0x800), be32(3), be32(3000))))}, nil),
	)
}

func FuzzMatroska(f *testing.F) {
	seed(f, "matroska",
		append(bytes.Clone(ebml), el(0x18538067, info(2002),
			el(0x1043A770, el(0x45B9, el(0xB6, el(0x91, be64(1)), el(0x80, el(0x85, []byte("t")))))),
			el(0x1254C367, el(0x7373, el(0x67C8, el(0x45A3, []byte("A")), el(0x4487, []byte("b"))))))...),
		append(bytes.Clone(ebml), el(0x18538067, info(2002, el(0x4461, be64(5))),
			el(0x1654AE6B, el(0xAE, el(0xD7, []byte{1}), el(0x83, []byte{1}), el(0x23E383, be32(33366667)))),
			el(0x1F43B675, el(0xE7, []byte{5}), el(0xA3, []byte{0x81, 0, 1, 0}), el(0xA0, el(0xA1, []byte{0x81, 0xFF, 0xFF, 0}))),
			el(0x1254C367, el(0x7373, el(0x67C8, el(0x45A3, []byte("TIMECODE")), el(0x4487, []byte("01:00:00;00"))))))...),
		append(bytes.Clone(ebml), el(0x18538067, info(2002), // an hour of one digit, counted drop-frame
			el(0x1654AE6B, el(0xAE, el(0xD7, []byte{1}), el(0x83, []byte{1}), el(0x23E383, be32(33366667)))),
			el(0x1254C367, el(0x7373, el(0x67C8, el(0x45A3, []byte("TIMECODE")), el(0x4487, []byte("1:00:00;02"))))))...),
		bytes.Join([][]byte{ebml, open(0x18538067, unknownSize), info(1), open(0x1F43B675, unknownSize), el(0xA3, []byte{1})}, nil),
	)
}
