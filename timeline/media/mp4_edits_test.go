package media_test

import (
	"bytes"
	"testing"
	"time"

	"sideport/timeline/media"
	"sideport/timeline/timecode"
)

// edited is a video track of timescale 12800 with 51200 units of media (4 s) whose
// first sample is shown at 1024, and an edit list of the given rows.
func edited(elst []byte) []byte {
	ctts := box("ctts", be32(0), be32(1), be32(100), be32(1024))
	return box("trak",
		box("tkhd", be32(0), be32(0), be32(0), be32(1), be32(0)),
		box("edts", elst),
		box("mdia",
			box("mdhd", head0(0, 12800, 51200, 0, 0, 0, 0)),
			box("hdlr", be32(0), be32(0), []byte("vide"), make([]byte, 12)),
			box("minf", box("stbl", stsd("avc1"), stts(100, 512), ctts))))
}

func elst0(rows ...uint32) []byte {
	parts := [][]byte{be32(0), be32(uint32(len(rows) / 2))}
	for i := 0; i < len(rows); i += 2 {
		parts = append(parts, be32(rows[i]), be32(rows[i+1]), be32(1<<16))
	}
	return box("elst", parts...)
}

// Lengths and starts worked out by hand from ISO/IEC 14496-12, edit list box: the
// movie counts 1000 units a second.
func TestEditLists(t *testing.T) {
	const nothing = 1<<32 - 1 // -1: an empty edit
	for _, tt := range []struct {
		name   string
		elst   []byte
		exact  media.Exact
		starts time.Duration
	}{
		{"none", box("free"), media.Exact{Num: 51200, Den: 12800}, 80 * time.Millisecond},
		{"the delay of reordered frames is taken off", elst0(4000, 1024), media.Exact{Num: 51200, Den: 12800}, 0},
		{"the list rounds to the movie's units", elst0(3999, 1024), media.Exact{Num: 51200, Den: 12800}, 0},
		{"to the end", elst0(0, 1024), media.Exact{Num: 51200, Den: 12800}, 0},
		{"cut at the front", elst0(3000, 1024+12800), media.Exact{Num: 38400, Den: 12800}, 0},
		{"cut at the end", elst0(1500, 1024), media.Exact{Num: 1500, Den: 1000}, 0},
		{"begins late", elst0(500, nothing, 4000, 1024), media.Exact{Num: 51200, Den: 12800}, 500 * time.Millisecond},
		{"two stretches", elst0(1000, 1024, 500, nothing, 2000, 26624), media.Exact{Num: 3500, Den: 1000}, 0},
		{"nothing shown", elst0(500, nothing), media.Exact{}, 500 * time.Millisecond},
		{"version 1", box("elst", be32(1<<24), be32(1), be64(4000), be64(1024), be32(1<<16)), media.Exact{Num: 51200, Den: 12800}, 0},
		{"longer than any video", box("elst", be32(1<<24), be32(1), be64(1<<63), be64(0), be32(1<<16)), media.Exact{}, 0},
	} {
		for _, last := range []bool{false, true} { // the movie's header may stand behind the tracks
			parts := [][]byte{box("mvhd", head0(0, 1000, 4000)), edited(tt.elst)}
			if last {
				parts[0], parts[1] = parts[1], parts[0]
			}
			got, err := readBytes(t, append(bytes.Clone(ftyp), box("moov", parts...)...))
			if err != nil || len(got.Tracks) != 1 {
				t.Fatalf("%s: Read = %+v, %v", tt.name, got, err)
			}
			if tr := got.Tracks[0]; tr.Exact != tt.exact || tr.Starts != tt.starts {
				t.Errorf("%s, header last %t: track = %v from %v, want %v from %v", tt.name, last, tr.Exact, tr.Starts, tt.exact, tt.starts)
			}
			if got.Exact != (media.Exact{Num: 4000, Den: 1000}) {
				t.Errorf("%s: Read exact = %v, want 4000/1000", tt.name, got.Exact)
			}
		}
	}
}

// codeTrack is a timecode track whose first sample lies at byte at.
func codeTrack(flags, timescale, each uint32, perSecond byte, at uint32) []byte {
	entry := box("tmcd", make([]byte, 6), []byte{0, 1}, be32(0), be32(flags), be32(timescale), be32(each), []byte{perSecond, 0})
	return track("tmcd", 0, timescale, "", box("stsd", be32(0), be32(1), entry), box("stco", be32(0), be32(1), be32(at)))
}

// The frame numbers are those of the table in timecode's tests, which npm
// smpte-timecode 1.3.6 computed.
func TestTimecodeTrack(t *testing.T) {
	drop := timecode.Rate{Num: 30000, Den: 1001, Drop: true}
	ntsc := timecode.Rate{Num: 30000, Den: 1001}
	for _, tt := range []struct {
		name            string
		flags           uint32
		timescale, each uint32
		perSecond       byte
		frame           uint32
		want            media.Code
	}{
		{"drop", 1, 30000, 1001, 30, 107892, media.Code{Text: "01:00:00;00", Rate: drop, Frame: 107892}},
		{"non-drop", 0, 30000, 1001, 30, 108000, media.Code{Text: "01:00:00:00", Rate: ntsc, Frame: 108000}},
		{"a rounded rate", 0, 2997, 100, 30, 108000, media.Code{Text: "01:00:00:00", Rate: ntsc, Frame: 108000}},
		{"a day is the most that is shown", 2, 25, 1, 25, 90012, media.Code{Text: "01:00:00:12", Rate: timecode.Rate{Num: 25, Den: 1}, Frame: 90012}},
		{"zero", 0, 25, 1, 25, 0, media.Code{Text: "00:00:00:00", Rate: timecode.Rate{Num: 25, Den: 1}}},
		{"drop at a rate that has none", 1, 25, 1, 25, 90012, media.Code{Text: "01:00:00:12", Rate: timecode.Rate{Num: 25, Den: 1}, Frame: 90012}},
		{"a rate that timecode does not have", 0, 15, 1, 15, 54014, media.Code{Text: "01:00:00:14"}},
		{"a plain counter", 8, 25, 1, 25, 90012, media.Code{}},
		{"below zero", 4, 25, 1, 25, 1<<32 - 25, media.Code{}},
		{"no rate", 0, 0, 0, 0, 90012, media.Code{}},
	} {
		raw := bytes.Join([][]byte{ftyp, box("mdat", be32(tt.frame)),
			box("moov", box("mvhd", head0(0, 1000, 2000)), codeTrack(tt.flags, tt.timescale, tt.each, tt.perSecond, uint32(len(ftyp)+8)))}, nil)
		got, err := readBytes(t, raw)
		if err != nil || got.Start != tt.want {
			t.Errorf("%s: Read start = %+v, %v, want %+v", tt.name, got.Start, err, tt.want)
		}
	}
	// a sample past the end of the file is none
	raw := bytes.Join([][]byte{ftyp, box("moov", box("mvhd", head0(0, 1000, 2000)), codeTrack(0, 25, 1, 25, 1<<31))}, nil)
	if got, err := readBytes(t, raw); err != nil || got.Start != (media.Code{}) {
		t.Errorf("Read start past the end = %+v, %v, want none", got.Start, err)
	}
}

// Where the creation time is from: the tag of MOV files states its offset.
func TestCreatedIn(t *testing.T) {
	dated := func(value string) []byte {
		return box("moov", box("mvhd", head0(created, 1000, 2000)), box("meta", box("hdlr", make([]byte, 25)),
			box("keys", be32(0), be32(1), box("mdta", []byte("com.apple.quicktime.creationdate"))),
			box("ilst", box("\x00\x00\x00\x01", data(1, []byte(value))))))
	}
	for _, tt := range []struct {
		name, want, in string
		moov           []byte
	}{
		{"header", "2026-03-01T09:14:32Z", "mvhd", box("moov", box("mvhd", head0(created, 1000, 2000)))},
		{"header counted from 1970", "2026-03-01T09:14:32Z", "mvhd-1970", box("moov", box("mvhd", head0(created-2082844800, 1000, 2000)))},
		{"unset", "", "", box("moov", box("mvhd", head0(0, 1000, 2000)))},
		{"offset without a colon", "2026-11-25T13:45:30+05:30", "creationdate", dated("2026-11-25T13:45:30+0530")},
		{"offset with a colon", "2026-11-25T13:45:30-08:00", "creationdate", dated("2026-11-25T13:45:30-08:00")},
		{"a date that is none", "2026-03-01T09:14:32Z", "mvhd", dated("yesterday")},
	} {
		got, err := readBytes(t, append(bytes.Clone(ftyp), tt.moov...))
		if err != nil || got.Created != tt.want || got.CreatedIn != tt.in {
			t.Errorf("%s: Read created = %q in %q, %v, want %q in %q", tt.name, got.Created, got.CreatedIn, err, tt.want, tt.in)
		}
	}
}
