package caption_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"testing"
	"time"

	"sideport/export/caption"

	"github.com/google/go-cmp/cmp"
)

// small shows every part of a format once.
func small() caption.Track {
	return caption.Track{
		Language: "en", Kind: caption.Steps, Title: "Steps & values", Notes: []string{"not reviewed"},
		Cues: []caption.Cue{
			{ID: "tunnel", From: 12 * time.Second, To: 20 * time.Second, Text: "Tunnel\nwidth 6.5 mm", Line: caption.Top},
			{ID: "capsulotomy", From: 3*time.Hour + 61200*time.Millisecond, To: 3*time.Hour + 69200*time.Millisecond, Text: "Capsulotomy <5.5 mm", Speaker: "Dr \"A\" > B"},
			{ID: "tunnel", From: 4 * time.Second, To: 12 * time.Second, Text: "ملم"},
		},
	}
}

func TestWriteWebVTT(t *testing.T) {
	want := `WEBVTT Steps & values

NOTE not reviewed

tunnel
00:00:04.000 --> 00:00:12.000
ملم

tunnel-2
00:00:12.000 --> 00:00:20.000 line:0
Tunnel
width 6.5 mm

capsulotomy
03:01:01.200 --> 03:01:09.200
<v Dr "A" &gt; B>Capsulotomy &lt;5.5 mm
`
	got := write(t, func(b *bytes.Buffer) error { return caption.WriteWebVTT(b, small()) })
	if diff := cmp.Diff(want, string(got)); diff != "" {
		t.Errorf("WriteWebVTT (-want +got)\n%s", diff)
	}
}

func TestWriteSubRip(t *testing.T) {
	want := `1
00:00:04,000 --> 00:00:12,000
ملم

2
00:00:12,000 --> 00:00:20,000
Tunnel
width 6.5 mm

3
03:01:01,200 --> 03:01:09,200
Dr "A" > B: Capsulotomy <5.5 mm
`
	got := write(t, func(b *bytes.Buffer) error { return caption.WriteSubRip(b, small()) })
	if diff := cmp.Diff(want, string(got)); diff != "" {
		t.Errorf("WriteSubRip (-want +got)\n%s", diff)
	}
}

func TestWriteTTML(t *testing.T) {
	got := string(write(t, func(b *bytes.Buffer) error { return caption.WriteTTML(b, small()) }))
	_, body, _ := strings.Cut(got, "<body>")
	want := `
    <div>
      <p xml:id="cue-tunnel" style="style-rtl" region="region-bottom" begin="00:00:04.000" end="00:00:12.000"><span style="style-text">ملم</span></p>
      <p xml:id="cue-tunnel-2" style="style-p" region="region-top" begin="00:00:12.000" end="00:00:20.000"><span style="style-text">Tunnel<br/>width 6.5 mm</span></p>
      <p xml:id="cue-capsulotomy" style="style-p" region="region-bottom" begin="03:01:01.200" end="03:01:09.200" ttm:agent="agent-1"><span style="style-text">Capsulotomy &lt;5.5 mm</span></p>
    </div>
  </body>
</tt>
`
	if diff := cmp.Diff(want, body); diff != "" {
		t.Errorf("WriteTTML body (-want +got)\n%s", diff)
	}
	// What IMSC 1.2 asks of a text document, requirement by requirement.
	for _, want := range []string{
		`<?xml version="1.0" encoding="UTF-8"?>`,
		`xmlns="http://www.w3.org/ns/ttml"`, `xml:lang="en"`, `ttp:timeBase="media"`,
		`ttp:contentProfiles="http://www.w3.org/ns/ttml/profile/imsc1.2/text"`,
		`tts:lineHeight="125%"`, `tts:color="white"`,
		`<ttm:title>Steps &amp; values</ttm:title>`, `<ttm:desc>not reviewed</ttm:desc>`,
		`<ttm:name type="full">Dr &quot;A&quot; &gt; B</ttm:name>`,
	} {
		if !strings.Contains(got, want) {
			t.Errorf("WriteTTML lacks %s", want)
		}
	}
}

// TTML2 wants xml:lang on the root even when the language is not known.
func TestTTMLStatesAnUnknownLanguageAsEmpty(t *testing.T) {
	got := string(write(t, func(b *bytes.Buffer) error { return caption.WriteTTML(b, caption.Track{}) }))
	if !strings.Contains(got, `xml:lang=""`) {
		t.Errorf("WriteTTML of no language has no empty xml:lang:\n%s", got)
	}
}

func TestTimesAreRoundedHalfUpAndKeepTheirOrder(t *testing.T) {
	ms := time.Millisecond
	tests := []struct {
		name     string
		from, to time.Duration
		want     string
	}{
		{"below half", 1499 * time.Microsecond, 10 * ms, "00:00:00,001 --> 00:00:00,010"},
		{"half", 1500 * time.Microsecond, 10 * ms, "00:00:00,002 --> 00:00:00,010"},
		{"carry", 59_999_500 * time.Microsecond, time.Hour - 1, "00:01:00,000 --> 01:00:00,000"},
		{"no length once rounded", 5_100 * time.Microsecond, 5_200 * time.Microsecond, "00:00:00,005 --> 00:00:00,006"},
		{"above 99 h", 100 * time.Hour, 101 * time.Hour, "100:00:00,000 --> 101:00:00,000"},
		// Frame 1 of 30000/1001 starts at 33.3666 ms; from 33 ms the frame is
		// found again by rounding (reference table, 29.97).
		{"frame of 29.97", 1001 * time.Second / 30000, 2 * 1001 * time.Second / 30000, "00:00:00,033 --> 00:00:00,067"},
	}
	for _, tt := range tests {
		track := caption.Track{Cues: []caption.Cue{{From: tt.from, To: tt.to, Text: "x"}}}
		got := write(t, func(b *bytes.Buffer) error { return caption.WriteSubRip(b, track) })
		if want := "1\n" + tt.want + "\nx\n"; string(got) != want {
			t.Errorf("%s: WriteSubRip(%v, %v) = %q, want %q", tt.name, tt.from, tt.to, got, want)
		}
	}
}

// Every frame of a rate, written in milliseconds and mapped to the nearest frame,
// is the frame it was: the property the rounding rule is chosen for.
func TestRoundedTimesFindTheirFrame(t *testing.T) {
	for _, rate := range []struct{ num, den int64 }{{24000, 1001}, {25, 1}, {30000, 1001}, {30, 1}, {50, 1}, {60000, 1001}} {
		track := caption.Track{}
		const frames = 5000
		at := func(f int64) time.Duration { return time.Duration(f * rate.den * int64(time.Second) / rate.num) }
		for f := range int64(frames) {
			track.Cues = append(track.Cues, caption.Cue{From: at(f), To: at(f + 1), Text: "x"})
		}
		out := string(write(t, func(b *bytes.Buffer) error { return caption.WriteSubRip(b, track) }))
		f := int64(0)
		for line := range strings.SplitSeq(out, "\n") {
			var h, m, s, ms int64
			if n, _ := fmt.Sscanf(line, "%d:%d:%d,%d -->", &h, &m, &s, &ms); n != 4 {
				continue
			}
			ms += 1000 * (s + 60*(m+60*h))
			if got := (2*ms*rate.num + 1000*rate.den) / (2 * 1000 * rate.den); got != f {
				t.Fatalf("%d/%d: frame %d written as %d ms is found as frame %d", rate.num, rate.den, f, ms, got)
			}
			f++
		}
		if f != frames {
			t.Errorf("%d/%d: %d times read, want %d", rate.num, rate.den, f, frames)
		}
	}
}

func TestAStartBeforeZeroIsAnError(t *testing.T) {
	for _, w := range caption.All() {
		var out bytes.Buffer
		track := caption.Track{Cues: []caption.Cue{{From: -1, To: 1, Text: "x"}}}
		if err := w.Write(&out, track); err == nil || out.Len() > 0 {
			t.Errorf("%s of a cue from -1 ns: error %v, %d bytes, want an error and none", w.Name, err, out.Len())
		}
	}
}

// A fault in one cue costs that cue: the rest of the track is written as without it.
func TestCuesWithoutLengthAreLeftOut(t *testing.T) {
	sound := []caption.Cue{{From: time.Second, To: 2 * time.Second, Text: "a"}, {From: 6 * time.Second, To: 7 * time.Second, Text: "b"}}
	for name, bad := range map[string]caption.Cue{
		"no length":            {From: 3 * time.Second, To: 3 * time.Second, Text: "x"},
		"end before the start": {From: 5 * time.Second, To: 4 * time.Second, Text: "x"},
		"end before zero":      {From: 0, To: -time.Second, Text: "x"},
	} {
		for _, w := range caption.All() {
			want := write(t, func(b *bytes.Buffer) error { return w.Write(b, caption.Track{Cues: sound}) })
			got := write(t, func(b *bytes.Buffer) error {
				return w.Write(b, caption.Track{Cues: []caption.Cue{sound[0], bad, sound[1]}})
			})
			if diff := cmp.Diff(string(want), string(got)); diff != "" {
				t.Errorf("%s with a cue of %s (-without it +got)\n%s", w.Name, name, diff)
			}
		}
	}
}

func TestIdsBecomeUnique(t *testing.T) {
	cue := func(id string, at int) caption.Cue {
		return caption.Cue{ID: id, From: time.Duration(at) * time.Second, To: time.Duration(at+1) * time.Second, Text: "x"}
	}
	track := caption.Track{Cues: []caption.Cue{
		cue("a", 0), cue("a", 1), cue("a-2", 2), cue("", 3), cue("", 4), cue("a", 5), cue("b --> c", 6), cue("NOTE a", 7), cue("two\nlines", 8),
	}}
	out := string(write(t, func(b *bytes.Buffer) error { return caption.WriteWebVTT(b, track) }))
	var got []string
	for block := range strings.SplitSeq(out, "\n\n") {
		id, _, _ := strings.Cut(block, "\n")
		got = append(got, id)
	}
	want := []string{"WEBVTT", "a", "a-3", "a-2", "00:00:03.000 --> 00:00:04.000", "00:00:04.000 --> 00:00:05.000", "a-4", "b → c", "cue NOTE a", "two lines"}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("first lines of the blocks (-want +got)\n%s", diff)
	}
}

func TestSameTrackSameBytes(t *testing.T) {
	track := hostileTrack()
	latin := caption.Track{Language: "en", Title: "t", Cues: []caption.Cue{{To: time.Second, Text: "vacuum 300 mmHg"}}}
	for _, w := range caption.All() {
		in := track
		if w.Extension == ".stl" {
			in = latin
		}
		var first bytes.Buffer
		if err := w.Write(&first, in); err != nil {
			t.Fatal(err)
		}
		for range 50 {
			var again bytes.Buffer
			if err := w.Write(&again, in); err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(first.Bytes(), again.Bytes()) {
				t.Fatalf("%s differs between two runs", w.Name)
			}
		}
	}
}

// Whatever is in a text, the document stays well-formed, its blocks stay apart
// and nothing of the format's own leaks in.
func FuzzWritersHoldAnyText(f *testing.F) {
	for _, text := range hostile {
		f.Add(text)
	}
	f.Add("a\x00b\r\n\r\n\u202eevil\u202c\ufffe\xff\u2028--->")
	f.Fuzz(func(t *testing.T, text string) {
		track := caption.Track{Title: text, Language: text, Notes: []string{text}, Cues: []caption.Cue{
			{ID: text, Speaker: text, Text: text, To: time.Second}, {From: time.Second, To: 2 * time.Second, Text: "end"},
		}}
		clean := caption.Clean(text)
		cues := 2
		if clean == "" {
			cues = 1
		}
		if again := caption.Clean(clean); again != clean {
			t.Errorf("Clean(%q) = %q, again %q", text, clean, again)
		}
		vtt := string(write(t, func(b *bytes.Buffer) error { return caption.WriteWebVTT(b, track) }))
		if got := strings.Count(vtt, "-->"); got != cues {
			t.Errorf("WebVTT has %d arrows, want %d:\n%s", got, cues, vtt)
		}
		srt := string(write(t, func(b *bytes.Buffer) error { return caption.WriteSubRip(b, track) }))
		if got := strings.Count(srt, "\n\n"); got != cues-1 {
			t.Errorf("SubRip has %d blank lines, want %d:\n%s", got, cues-1, srt)
		}
		ttml := xml.NewDecoder(bytes.NewReader(write(t, func(b *bytes.Buffer) error { return caption.WriteTTML(b, track) })))
		for {
			_, err := ttml.Token()
			if errors.Is(err, io.EOF) {
				break
			}
			if err != nil {
				t.Fatalf("TTML of %q: %v", text, err)
			}
		}
		var stl bytes.Buffer
		var refusal *caption.Refusal
		if err := caption.WriteSTL(&stl, track); err != nil && (!errors.As(err, &refusal) || stl.Len() > 0) {
			t.Errorf("WriteSTL(%q): %v with %d bytes, want a refusal with none", text, err, stl.Len())
		}
	})
}

func TestForFindsTheWriterOfAnExtension(t *testing.T) {
	tests := []struct {
		extension, name string
		ok              bool
	}{{".vtt", "WebVTT", true}, {"SRT", "SubRip", true}, {".ttml", "TTML", true}, {"stl", "EBU STL", true}, {".doc", "", false}, {"", "", false}}
	for _, tt := range tests {
		if got, ok := caption.For(tt.extension); got.Name != tt.name || ok != tt.ok {
			t.Errorf("For(%q) = %q, %v, want %q, %v", tt.extension, got.Name, ok, tt.name, tt.ok)
		}
	}
}

// broken is a writer that fails.
type broken struct{}

func (broken) Write([]byte) (int, error) { return 0, os.ErrClosed }

func TestWriteErrorsComeBack(t *testing.T) {
	track := caption.Track{Cues: []caption.Cue{{To: time.Second, Text: "x"}}}
	for _, w := range caption.All() {
		if err := w.Write(broken{}, track); !errors.Is(err, os.ErrClosed) {
			t.Errorf("%s to a closed file: %v, want %v", w.Name, err, os.ErrClosed)
		}
	}
}
