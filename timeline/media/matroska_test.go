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

var ebml = el(0x1A45DFA3, el(0x4282, []byte("matroska")))

// The ids are those of RFC 9559.
func info(length float64, more ...[]byte) []byte {
	return el(0x1549A966, append([][]byte{el(0x2AD7B1, be32(1_000_000)), el(0x4489, float64Bytes(length))}, more...)...)
}

func TestMatroskaInfo(t *testing.T) {
	for _, tt := range []struct {
		name     string
		info     []byte
		duration time.Duration
		created  string
	}{
		{"milliseconds", info(2002), 2002 * time.Millisecond, ""},
		{"part of a millisecond", info(33.366667), 33366667, ""},
		{"float of four bytes", el(0x1549A966, el(0x4489, []byte{0x44, 0xfa, 0x40, 0})), 2002 * time.Millisecond, ""},
		{"another scale", el(0x1549A966, el(0x2AD7B1, be32(100)), el(0x4489, float64Bytes(20_020_000))), 2002 * time.Millisecond, ""},
		{"no length", el(0x1549A966), 0, ""},
		{"not a number", info(nan()), 0, ""},
		{"below zero", info(-5), 0, ""},
		{"longer than is held", info(1e300), 0, ""},
		// 2001-01-01 is the zero of DateUTC, RFC 9559
		{"the zero date", info(0, el(0x4461, be64(0))), 0, "2001-01-01T00:00:00Z"},
		{"a date", info(0, el(0x4461, be64((1772356472-978307200)*1_000_000_000+500_000_000))), 0, "2026-03-01T09:14:32.5Z"},
	} {
		got, err := readBytes(t, append(bytes.Clone(ebml), el(0x18538067, tt.info)...))
		if err != nil {
			t.Errorf("%s: Read error = %v", tt.name, err)
		}
		if got.Duration != tt.duration || got.Created != tt.created {
			t.Errorf("%s: Read = %v, %q, want %v, %q", tt.name, got.Duration, got.Created, tt.duration, tt.created)
		}
	}
}

func nan() float64 {
	zero := 0.0
	return zero / zero
}

// A segment and a cluster without a size, as live recorders write them; the tags
// behind the cluster are read all the same.
func TestUnknownSizes(t *testing.T) {
	tags := el(0x1254C367, el(0x7373, el(0x67C8, el(0x45A3, []byte("PATIENT")), el(0x4487, []byte("x")))))
	body := bytes.Join([][]byte{
		ebml, open(0x18538067, unknownSize), info(2002),
		open(0x1F43B675, unknownSize), el(0xE7, []byte{0}), el(0xA3, make([]byte, 500)),
		open(0x1F43B675, unknownSize), el(0xE7, []byte{9}), el(0xA0, make([]byte, 500)),
		tags,
	}, nil)
	got, err := readBytes(t, body)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff([]media.Tag{{"PATIENT", "x"}}, got.Tags); diff != "" || got.Duration != 2002*time.Millisecond {
		t.Errorf("Read = %v, tags (-want +got):\n%s", got.Duration, diff)
	}
}

func TestMatroskaTracksTagsAndFiles(t *testing.T) {
	entry := func(parts ...[]byte) []byte { return el(0xAE, parts...) }
	raw := append(bytes.Clone(ebml), el(0x18538067,
		info(1000, el(0x7BA9, []byte("Case 12")), el(0x4D80, []byte("muxer 1")), el(0x5741, []byte("writer 2")), el(0x7384, []byte("name.mkv"))),
		el(0x1654AE6B,
			entry(el(0x83, []byte{1}), el(0x86, []byte("V_VP9")), el(0x22B59C, []byte("und")), el(0x23E383, be32(33366667)), el(0x536E, []byte("picture"))),
			entry(el(0x83, []byte{1}), el(0x86, []byte("V_AV1")), el(0x23E383, be32(100_000_000))),
			entry(el(0x83, []byte{2}), el(0x86, []byte("A_OPUS")), el(0x22B59C, []byte("hin")), el(0x22B59D, []byte("hi-IN"))),
			entry(el(0x83, []byte{17}), el(0x86, []byte("S_TEXT/WEBVTT"))),
			entry(el(0x83, []byte{33})),
		),
		el(0x1254C367, el(0x7373,
			el(0x67C8, el(0x45A3, []byte("ARTIST")), el(0x4487, []byte("A. Author")),
				el(0x67C8, el(0x45A3, []byte("ROLE")), el(0x4487, []byte("surgeon")))),
			el(0x67C8, el(0x45A3, []byte("PICTURE")), el(0x4485, make([]byte, 9))))),
		el(0x1941A469, el(0x61A7, el(0x466E, []byte("notes.pdf")), el(0x467E, []byte("about")))),
	)...)
	got, err := readBytes(t, raw)
	if err != nil {
		t.Fatal(err)
	}
	wantTracks := []media.Track{
		{Kind: "video", Codec: "V_VP9", Name: "picture", Rate: timecode.Rate{Num: 30000, Den: 1001}, Exact: media.Exact{Num: 1e9, Den: 1e9}},
		{Kind: "video", Codec: "V_AV1", Language: "eng", Rate: timecode.Rate{Num: 10, Den: 1}, Exact: media.Exact{Num: 1e9, Den: 1e9}},
		{Kind: "audio", Codec: "A_OPUS", Language: "hi-IN"},
		{Kind: "text", Codec: "S_TEXT/WEBVTT", Language: "eng"},
		{Kind: "other", Language: "eng"},
	}
	if diff := cmp.Diff(wantTracks, got.Tracks); diff != "" {
		t.Errorf("Read tracks (-want +got):\n%s", diff)
	}
	wantTags := []media.Tag{
		{"title", "Case 12"}, {"muxing_app", "muxer 1"}, {"writing_app", "writer 2"}, {"filename", "name.mkv"},
		{"ARTIST", "A. Author"}, {"ARTIST/ROLE", "surgeon"}, {"PICTURE", "data of 9 bytes"},
		{"attachment", "notes.pdf"}, {"attachment", "about"},
	}
	if diff := cmp.Diff(wantTags, got.Tags); diff != "" {
		t.Errorf("Read tags (-want +got):\n%s", diff)
	}
}

func TestMatroskaChapters(t *testing.T) {
	atom := func(from, to uint64, title string, inner ...[]byte) []byte {
		return el(0xB6, append([][]byte{el(0x91, be64(from)), el(0x92, be64(to)), el(0x80, el(0x85, []byte(title))), el(0x80, el(0x85, []byte("second language")))}, inner...)...)
	}
	raw := append(bytes.Clone(ebml), el(0x18538067, info(1000), el(0x1043A770,
		el(0x45B9, atom(0, 5, "not this edition")),
		el(0x45B9, el(0x45DB, []byte{1}),
			atom(0, 41_000_000_000, "Port", atom(1_000_000_000, 2_000_000_000, "Wound"), el(0xB6, el(0x98, []byte{1}), el(0x91, be64(9)))),
			el(0xB6, el(0x5654, []byte("rhexis")), el(0x91, be64(41_000_000_000)), el(0x80, el(0x85, []byte("Rhexis")))),
		)))...)
	got, err := readBytes(t, raw)
	if err != nil {
		t.Fatal(err)
	}
	want := []timeline.Chapter{
		{To: 41 * time.Second, HasTo: true, Title: "Port"},
		{From: time.Second, To: 2 * time.Second, HasTo: true, Level: 1, Title: "Wound"},
		{ID: "rhexis", From: 41 * time.Second, Title: "Rhexis"},
	}
	if diff := cmp.Diff(want, got.Chapters); diff != "" {
		t.Errorf("Read chapters (-want +got):\n%s", diff)
	}
}

// The limits hold for the file, not for each edition in it.
func TestMatroskaChaptersAreBoundedOverAllEditions(t *testing.T) {
	const limit = 10_000
	with := func(editions, each int) []byte {
		edition := el(0x45B9, bytes.Repeat(el(0xB6, el(0x91, be64(1))), each))
		return append(bytes.Clone(ebml), el(0x18538067, info(1000), el(0x1043A770, bytes.Repeat(edition, editions)))...)
	}
	for _, tt := range []struct {
		name           string
		editions, each int
		damaged        bool
	}{
		{"as many chapters as there may be", 2, limit / 2, false},
		{"more chapters in all", 2, limit/2 + 1, true},
		{"as many editions as there may be", limit, 0, false},
		{"more editions", limit + 1, 0, true},
	} {
		got, err := readBytes(t, with(tt.editions, tt.each))
		if errors.Is(err, media.ErrDamaged) != tt.damaged || err != nil && !tt.damaged {
			t.Errorf("%s: Read gave %v, want damaged %v", tt.name, err, tt.damaged)
		}
		if len(got.Chapters) != tt.each {
			t.Errorf("%s: %d chapters, want the %d of the first edition", tt.name, len(got.Chapters), tt.each)
		}
	}
}

func TestDamagedMatroska(t *testing.T) {
	deep := []byte{}
	for range 40 {
		deep = el(0x67C8, el(0x45A3, []byte("A")), deep)
	}
	for _, tt := range []struct {
		name string
		raw  []byte
	}{
		{"no info", append(bytes.Clone(ebml), el(0x18538067)...)},
		{"no segment", ebml},
		{"no valid id", append(bytes.Clone(ebml), el(0x18538067, info(1), []byte{0, 0, 0, 0})...)},
		{"no valid size", append(bytes.Clone(ebml), el(0x18538067, info(1), []byte{0xEC, 0, 0, 0})...)},
		{"child ends behind its parent", bytes.Join([][]byte{ebml, el(0x18538067, info(1), open(0x1254C367, 0x01<<56|5000)), make([]byte, 64)}, nil)},
		{"tags too deep", append(bytes.Clone(ebml), el(0x18538067, info(1), el(0x1254C367, el(0x7373, deep)))...)},
	} {
		if got, err := readBytes(t, tt.raw); !errors.Is(err, media.ErrDamaged) || got.Container != "matroska" {
			t.Errorf("%s: Read = %q, %v, want ErrDamaged", tt.name, got.Container, err)
		}
	}
	// a recording that was cut off in its last cluster is whole as far as it goes
	cut := bytes.Join([][]byte{ebml, open(0x18538067, 0x01<<56|100_000), info(2002), open(0x1F43B675, 0x01<<56|90_000), make([]byte, 50)}, nil)
	if got, err := readBytes(t, cut); err != nil || got.Duration != 2002*time.Millisecond {
		t.Errorf("Read of a recording cut off = %v, %v, want 2.002s", got.Duration, err)
	}
}
