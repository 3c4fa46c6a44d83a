package media_test

import (
	"bytes"
	"errors"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"sideport/timeline"
	"sideport/timeline/media"
	"sideport/timeline/timecode"
)

var ftyp = box("ftyp", []byte("isom\x00\x00\x00\x00"))

// created is 2026-03-01T09:14:32Z in seconds since 1904: 2 082 844 800 more than
// in Unix time. Source: ISO/IEC 14496-12, mvhd.
const created = 1772356472 + 2082844800

func TestMovieHeader(t *testing.T) {
	for _, tt := range []struct {
		name     string
		mvhd     []byte
		duration time.Duration
		created  string
	}{
		{"version 0", head0(created, 600, 1201), 2001666667, "2026-03-01T09:14:32Z"},
		{"version 1", head1(created, 90000, 1<<33), 95443717688889, "2026-03-01T09:14:32Z"},
		{"no creation time", head0(0, 1000, 2000), 2 * time.Second, ""},
		{"unknown length", head0(created, 1000, 1<<32-1), 0, "2026-03-01T09:14:32Z"},
		{"unknown length, version 1", head1(created, 1000, 1<<64-1), 0, "2026-03-01T09:14:32Z"},
		{"no timescale", head0(created, 0, 2000), 0, "2026-03-01T09:14:32Z"},
		{"a creation time counted from 1970", head0(created-2082844800, 1000, 2000), 2 * time.Second, "2026-03-01T09:14:32Z"},
		{"the last second before 1970", head0(2082844799, 1000, 2000), 2 * time.Second, "2036-01-01T23:59:59Z"}, // read as counted from 1970
		{"the first second of 1970", head0(2082844800, 1000, 2000), 2 * time.Second, "1970-01-01T00:00:00Z"},
		// the last second a version 0 header holds; computed in captions-chapters 5.4
		{"last second of 32 bits", head0(1<<32-1, 1000, 0), 0, "2040-02-06T06:28:15Z"},
	} {
		got, err := readBytes(t, append(bytes.Clone(ftyp), box("moov", box("mvhd", tt.mvhd))...))
		if err != nil {
			t.Errorf("%s: Read error = %v", tt.name, err)
		}
		if got.Duration != tt.duration || got.Created != tt.created {
			t.Errorf("%s: Read = %v, %q, want %v, %q", tt.name, got.Duration, got.Created, tt.duration, tt.created)
		}
	}
}

// track is a trak box with the given parts of its tables.
func track(kind string, language uint16, timescale uint32, handler string, tables ...[]byte) []byte {
	return box("trak",
		box("tkhd", be32(0), be32(0), be32(0), be32(1), be32(0)),
		box("mdia",
			box("mdhd", head0(0, timescale, 0, byte(language>>8), byte(language), 0, 0)),
			box("hdlr", be32(0), be32(0), []byte(kind), make([]byte, 12), []byte(handler)),
			box("minf", box("stbl", tables...))))
}

func stsd(codec string) []byte {
	return box("stsd", be32(0), be32(1), be32(16), []byte(codec), be32(0), be32(0))
}

func stts(pairs ...uint32) []byte {
	parts := [][]byte{be32(0), be32(uint32(len(pairs) / 2))}
	for _, v := range pairs {
		parts = append(parts, be32(v))
	}
	return box("stts", parts...)
}

func TestTracks(t *testing.T) {
	packed := func(s string) uint16 { return uint16(s[0]-0x60)<<10 | uint16(s[1]-0x60)<<5 | uint16(s[2]-0x60) }
	movie := append(bytes.Clone(ftyp), box("moov",
		box("mvhd", head0(0, 1000, 2000)),
		track("vide", packed("und"), 30000, "main picture\x00", stsd("avc1"), stts(600, 1001)),
		track("vide", 0, 12800, "", stsd("hvc1"), stts(99, 512, 1, 40)),
		track("vide", 0x7fff, 1000, "", stsd("avc1"), stts(10, 33, 20, 34)),
		track("soun", packed("hin"), 48000, "\x05voice", stsd("mp4a"), stts(100, 1024)),
		track("text", packed("eng"), 1000, "", stsd("tx3g")),
		track("tmcd", packed("eng"), 25, "", stsd("tmcd")),
	)...)
	got, err := readBytes(t, movie)
	if err != nil {
		t.Fatal(err)
	}
	want := []media.Track{
		{Kind: "video", Codec: "avc1", Name: "main picture", Rate: timecode.Rate{Num: 30000, Den: 1001}},
		{Kind: "video", Codec: "hvc1", Language: "eng", Rate: timecode.Rate{Num: 25, Den: 1}}, // the last frame may be cut
		{Kind: "video", Codec: "avc1", Rate: timecode.Rate{Num: 3000, Den: 101}},              // 30 frames in 1010 ms
		{Kind: "audio", Codec: "mp4a", Language: "hin", Name: "voice"},
		{Kind: "text", Codec: "tx3g", Language: "eng"},
		{Kind: "other", Codec: "tmcd", Language: "eng"},
	}
	if diff := cmp.Diff(want, got.Tracks); diff != "" {
		t.Errorf("Read tracks (-want +got):\n%s", diff)
	}
}

// The numbers of languages of MOV files. The codes are what ffprobe 5.1 prints
// for a file with each number; the same table stands in the QuickTime File Format
// text.
func TestLanguageNumbers(t *testing.T) {
	for code, want := range map[uint16]string{
		0: "eng", 1: "fra", 20: "urd", 21: "hin", 32: "rus", 34: "", 64: "nep", 66: "mar", 67: "ben", 74: "tam", 75: "tel",
		94: "epo", 95: "", 127: "", 128: "wel", 138: "jav", 139: "", 0x3ff: "", 0x7fff: "",
	} {
		got, err := readBytes(t, append(bytes.Clone(ftyp), box("moov", track("soun", code, 1000, ""))...))
		if err != nil || len(got.Tracks) != 1 || got.Tracks[0].Language != want {
			t.Errorf("language of code %d = %+v, %v, want %q", code, got.Tracks, err, want)
		}
	}
}

func data(class uint32, value []byte) []byte { return box("data", be32(class), be32(0), value) }

func TestMP4Tags(t *testing.T) {
	meta := box("meta", be32(0), box("hdlr", make([]byte, 25)),
		box("ilst",
			box("\xa9nam", data(1, []byte("Case 12"))),
			box("\xa9day", data(2, []byte("\x002\x000\x002\x006"))),
			box("trkn", data(0, []byte{0, 0, 0, 2, 0, 9, 0, 0})),
			box("covr", data(13, make([]byte, 100))),
			box("cpil", data(21, []byte{0xff, 0xfe})),
			box("free", data(99, make([]byte, 7))),
			box("----", box("mean", be32(0), []byte("x.y")), box("name", be32(0), []byte("reviewer")), data(1, []byte("R1"))),
		))
	keyed := box("meta", box("hdlr", make([]byte, 25)),
		box("ilst",
			box("\x00\x00\x00\x01", data(1, []byte("2026-11-25T13:45:30+0530"))),
			box("\x00\x00\x00\x02", data(1, []byte("+12.9716+077.5946/")))),
		box("keys", be32(0), be32(2),
			box("mdta", []byte("com.example.recorder.creationdate")),
			box("mdta", []byte("com.example.recorder.location"))))
	movie := append(bytes.Clone(ftyp), box("moov",
		keyed,
		box("mvhd", head0(created, 1000, 2000)),
		box("udta", meta,
			box("\xa9xyz", []byte{0, 8, 0x15, 0xc7}, []byte("+12+077/")),
			box("\xa9mod", []byte{0, 200, 0, 0}, []byte("cut short")),
			box("titl", be32(0), []byte{0x15, 0xc7}, []byte("A title\x00")),
			box("dscp", be32(0), []byte{0x15, 0xc7}, []byte("\xfe\xff\x00B\x00\x00")),
			box("loci", be32(0), []byte{0x15, 0xc7}, []byte("Theatre\x00\x00"), be32(77<<16|1<<15), be32(12<<16), be32(0)),
			box("name", []byte("left eye")),
			be32(0)), // the end mark of QuickTime lists
	)...)
	movie = append(movie, box("uuid", []byte("\xbe\x7a\xcf\xcb\x97\xa9\x42\xe8\x9c\x71\x99\x94\x91\xe3\xaf\xac"), []byte("<x/>"))...)
	got, err := readBytes(t, movie)
	if err != nil {
		t.Fatal(err)
	}
	want := []media.Tag{
		{"com.example.recorder.creationdate", "2026-11-25T13:45:30+0530"},
		{"com.example.recorder.location", "+12.9716+077.5946/"},
		{"title", "Case 12"}, {"date", "2026"}, {"track", "2/9"}, {"cover", "picture of 100 bytes"},
		{"cpil", "-2"}, {"free", "data of 7 bytes"}, {"reviewer", "R1"},
		{"location", "+12+077/"}, {"model", "cut short"}, {"title", "A title"}, {"description", "B"},
		{"location", "Theatre +12.0000+77.5000"}, {"name", "left eye"}, {"xmp", "<x/>"},
	}
	if diff := cmp.Diff(want, got.Tags); diff != "" {
		t.Errorf("Read tags (-want +got):\n%s", diff)
	}
	// the stated offset counts, not the header's time
	if want := "2026-11-25T13:45:30+05:30"; got.Created != want {
		t.Errorf("Read created = %q, want %q", got.Created, want)
	}
}

func TestChapterListBox(t *testing.T) {
	entry := func(at uint64, title string) []byte {
		return append(append(be64(at), byte(len(title))), title...)
	}
	for name, list := range map[string][]byte{
		"version 0": bytes.Join([][]byte{be32(0), {2}, entry(0, "Port"), entry(410000000, "Rhexis")}, nil),
		"version 1": bytes.Join([][]byte{be32(1 << 24), be32(0), {2}, entry(0, "Port"), entry(410000000, "Rhexis")}, nil),
	} {
		got, err := readBytes(t, append(bytes.Clone(ftyp), box("moov", box("udta", box("chpl", list)))...))
		if err != nil {
			t.Errorf("%s: Read error = %v", name, err)
		}
		want := []timeline.Chapter{{Title: "Port", To: 41 * time.Second, HasTo: true}, {From: 41 * time.Second, Title: "Rhexis"}}
		if diff := cmp.Diff(want, got.Chapters); diff != "" {
			t.Errorf("%s: Read chapters (-want +got):\n%s", name, diff)
		}
	}
}

func TestDamagedMP4(t *testing.T) {
	for _, tt := range []struct {
		name string
		raw  []byte
	}{
		{"no moov", bytes.Join([][]byte{ftyp, box("mdat", make([]byte, 32))}, nil)},
		{"only ftyp", ftyp},
		{"size below the header", bytes.Join([][]byte{ftyp, be32(4), []byte("moov")}, nil)},
		{"64-bit size below the header", bytes.Join([][]byte{ftyp, be32(1), []byte("moov"), be64(15)}, nil)},
		{"64-bit size negative", bytes.Join([][]byte{ftyp, be32(1), []byte("moov"), be64(1 << 63)}, nil)},
		{"child ends behind its parent", bytes.Join([][]byte{ftyp, box("moov", be32(1000), []byte("mvhd"), head0(0, 1, 1))}, nil)},
		{"short mvhd", bytes.Join([][]byte{ftyp, box("moov", box("mvhd", be32(0)))}, nil)},
		{"unknown version", bytes.Join([][]byte{ftyp, box("moov", box("mvhd", append(be32(9<<24), make([]byte, 96)...)))}, nil)},
		{"key of no size", bytes.Join([][]byte{ftyp, box("moov", box("meta", box("hdlr"), box("keys", be32(0), be32(1), be64(0))))}, nil)},
		{"chapters cut", bytes.Join([][]byte{ftyp, box("moov", box("udta", box("chpl", be32(0), []byte{2}, be64(0))))}, nil)},
	} {
		got, err := readBytes(t, tt.raw)
		if !errors.Is(err, media.ErrDamaged) {
			t.Errorf("%s: Read error = %v, want ErrDamaged", tt.name, err)
		}
		if got.Container != "mp4" {
			t.Errorf("%s: Read container = %q, want mp4", tt.name, got.Container)
		}
	}
}

func TestUnknownContainers(t *testing.T) {
	for name, raw := range map[string][]byte{
		"empty": nil, "short": []byte("ftyp"), "text": []byte("0:41 rhexis, a list of times"),
		"RIFF": []byte("RIFF\x00\x00\x00\x00AVI LIST"), "zeros": make([]byte, 64),
		"EBML of another kind": el(0x1A45DFA3, el(0x4282, []byte("other"))),
	} {
		if got, err := readBytes(t, raw); !errors.Is(err, media.ErrUnknown) || got.Container != "" {
			t.Errorf("%s: Read = %+v, %v, want ErrUnknown", name, got, err)
		}
	}
}

// A recording whose movie header has no length: the last fragment ends at
// 90000 + 3 x 1500 of 30000 units a second.
func TestFragments(t *testing.T) {
	fragment := box("moof", box("traf",
		box("tfhd", be32(0x8), be32(1), be32(1500)),
		box("tfdt", be32(0), be32(90000)),
		box("trun", be32(0), be32(3))))
	sampled := box("moof", box("traf",
		box("tfhd", be32(0), be32(1)),
		box("tfdt", be32(1<<24), be64(30000)),
		box("trun", be32(0x301), be32(2), be32(0), be32(1001), be32(7), be32(1002), be32(7))))
	moov := box("moov", box("mvhd", head0(0, 1000, 0)), track("vide", 0, 30000, "", stsd("avc1"), stts()),
		box("mvex", box("trex", be32(0), be32(1), be32(1), be32(1500))))
	for _, tt := range []struct {
		name string
		raw  []byte
		want time.Duration
	}{
		{"usual length", bytes.Join([][]byte{ftyp, moov, sampled, fragment}, nil), 3150 * time.Millisecond},
		{"length of each sample", bytes.Join([][]byte{ftyp, moov, sampled}, nil), 1066766667},
	} {
		got, err := readBytes(t, tt.raw)
		if err != nil || got.Duration != tt.want {
			t.Errorf("%s: Read = %v, %v, want %v", tt.name, got.Duration, err, tt.want)
		}
	}
}

// failing gives an error that is no end of file.
type failing struct{}

var errDisk = errors.New("disk")

func (failing) ReadAt([]byte, int64) (int, error) { return 0, errDisk }

func TestReadReportsTheReadersError(t *testing.T) {
	if _, err := media.Read(failing{}, 1000); !errors.Is(err, errDisk) || errors.Is(err, media.ErrDamaged) {
		t.Errorf("Read of a failing disk = %v, want its error", err)
	}
}

// A file of nothing but tracks, or of fragments of a million tracks, is bounded
// in memory and time.
func TestListsAreLimited(t *testing.T) {
	traks := append(bytes.Clone(ftyp), box("moov", bytes.Repeat(box("trak"), 20_000))...)
	got, err := readBytes(t, traks)
	if !errors.Is(err, media.ErrDamaged) || len(got.Tracks) != 10_000 {
		t.Errorf("Read of 20000 tracks = %d tracks, %v, want 10000 and ErrDamaged", len(got.Tracks), err)
	}
}
