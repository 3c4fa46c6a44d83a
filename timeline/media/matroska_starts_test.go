package media_test

import (
	"bytes"
	"testing"
	"time"

	"sideport/timeline/media"
	"sideport/timeline/timecode"
)

// The block's head is that of RFC 9559: the track's number, then a signed number of
// units from the cluster's own time.
func TestMatroskaFirstTimes(t *testing.T) {
	head := el(0x1549A966, el(0x2AD7B1, be32(1_000_000)), el(0x4489, float64Bytes(5000)))
	tracks := el(0x1654AE6B,
		el(0xAE, el(0xD7, []byte{1}), el(0x83, []byte{1})),
		el(0xAE, el(0xD7, []byte{0x40, 0x02}), el(0x83, []byte{2})),
		el(0xAE, el(0xD7, []byte{3}), el(0x83, []byte{17})))
	cluster := [][]byte{
		el(0xE7, be32(1400)),
		el(0xA3, []byte{0x81, 0, 33, 0x80, 9, 9}),
		el(0xA0, el(0xA1, []byte{0x20, 0x40, 0x02, 0xFF, 0xF6, 0, 9})), // number of three bytes; 10 before the cluster
		el(0xA3, []byte{0x81, 0, 66, 0x80}),
	}
	for name, raw := range map[string][]byte{
		"sized":    append(bytes.Clone(ebml), el(0x18538067, head, tracks, el(0x1F43B675, cluster...), el(0x1F43B675, el(0xE7, []byte{1})))...),
		"no sizes": bytes.Join([][]byte{ebml, open(0x18538067, unknownSize), head, tracks, open(0x1F43B675, unknownSize), bytes.Join(cluster, nil)}, nil),
	} {
		got, err := readBytes(t, raw)
		if err != nil || len(got.Tracks) != 3 {
			t.Fatalf("%s: Read = %+v, %v", name, got, err)
		}
		want := []media.Track{
			{Kind: "video", Language: "eng", Starts: 1433 * time.Millisecond, Exact: media.Exact{Num: 3_567_000_000, Den: 1e9}},
			{Kind: "audio", Language: "eng", Starts: 1390 * time.Millisecond},
			{Kind: "text", Language: "eng"},
		}
		for i := range want {
			if got.Tracks[i] != want[i] {
				t.Errorf("%s: track %d = %+v, want %+v", name, i, got.Tracks[i], want[i])
			}
		}
		if got.Exact != (media.Exact{Num: 5e9, Den: 1e9}) || got.Duration != 5*time.Second {
			t.Errorf("%s: length = %v, %v, want 5 s", name, got.Exact, got.Duration)
		}
	}
}

func TestMatroskaTimecodeTag(t *testing.T) {
	for _, tt := range []struct {
		name, text string
		each       uint32 // nanoseconds a frame
		want       media.Code
	}{
		{"drop", "01:00:00;00", 33366667, media.Code{Text: "01:00:00;00", Rate: timecode.Rate{Num: 30000, Den: 1001, Drop: true}, Frame: 107892}},
		{"non-drop", "01:00:00:12", 40000000, media.Code{Text: "01:00:00:12", Rate: timecode.Rate{Num: 25, Den: 1}, Frame: 90012}},
		{"no rate", "01:00:00:12", 0, media.Code{Text: "01:00:00:12"}},
		{"more frames than the rate has", "01:00:00:29", 40000000, media.Code{Text: "01:00:00:29"}},
		{"drop at a rate that has none", "01:00:00;12", 40000000, media.Code{Text: "01:00:00;12"}},
		{"no timecode", "one hour", 40000000, media.Code{}},
		{"no frames", "01:00:00", 40000000, media.Code{}},
	} {
		entry := [][]byte{el(0x83, []byte{1})}
		if tt.each > 0 {
			entry = append(entry, el(0x23E383, be32(tt.each)))
		}
		raw := append(bytes.Clone(ebml), el(0x18538067, info(1000), el(0x1654AE6B, el(0xAE, entry...)),
			el(0x1254C367, el(0x7373, el(0x67C8, el(0x45A3, []byte("TIMECODE")), el(0x4487, []byte(tt.text))))))...)
		if got, err := readBytes(t, raw); err != nil || got.Start != tt.want {
			t.Errorf("%s: Read start = %+v, %v, want %+v", tt.name, got.Start, err, tt.want)
		}
	}
}
