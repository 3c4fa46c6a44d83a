package caption_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"
	"time"

	"sideport/export/caption"
	"sideport/timeline/timelinetest"

	"github.com/asticode/go-astisub"
	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
)

// read is a cue as an outside reader sees it.
type read struct {
	ID     string `json:"id"`
	FromMS int64  `json:"from_ms"`
	ToMS   int64  `json:"to_ms"`
	Text   string `json:"text"`
	Top    bool   `json:"top"`
}

type readFile struct {
	Errors []string `json:"errors"`
	Cues   []read   `json:"cues"`
}

// hostile texts hold what each format gives a meaning, and several scripts. None
// has what Clean would change.
var hostile = []string{
	"rhexis diameter 5.5–7.5 mm",
	"IOP < 21 & A&B > C",
	"step A --> step B",
	"00:00:01,000 --> 00:00:02,000",
	"NOTE this is no comment",
	"STYLE\nREGION",
	"WEBVTT",
	"&lt;b&gt; &amp; &#60; stay as they are",
	"<v Nobody>not a voice</v> <b>not bold</b>",
	"{\\an8}not at the top {y:i}not slanted",
	"]]> \"quoted\" 'text'",
	"300\n280 mmHg",
	"कैप्सूलोरेक्सिस का व्यास ५.५ मिमी",
	"بضع المحفظة 5.5 مم",
	"emoji 👁️‍🗨️ and 👩🏽‍⚕️",
	"e\u0301 is two code points, é is one",
	"\u2067عربي\u2069 inside \u2066Latin\u2069",
	"no\u00A0break space",
}

// hostileTrack has each text in a cue of its own, at odd times and alternating
// edges, with gaps and touching cues.
func hostileTrack() caption.Track {
	t := caption.Track{Language: "en", Kind: caption.Speech, Title: "A & B <c> --> d", Notes: []string{"not --> reviewed", "two\n\nlines"}}
	for i, text := range hostile {
		from := time.Duration(i)*2_345*time.Millisecond + 1499*time.Microsecond
		to := from + 2_345*time.Millisecond
		if i%3 == 0 {
			to -= 345 * time.Millisecond
		}
		t.Cues = append(t.Cues, caption.Cue{ID: fmt.Sprintf("cue %d", i), From: from, To: to, Text: text, Line: caption.Edge(i % 2)})
	}
	return t
}

// longTrack has n cues of two lines.
func longTrack(n int) caption.Track {
	t := caption.Track{Language: "hi", Kind: caption.Steps}
	for i := range n {
		from := time.Duration(i) * 1_001 * time.Millisecond
		t.Cues = append(t.Cues, caption.Cue{
			ID: "step-" + strconv.Itoa(i), From: from, To: from + 1001*time.Millisecond,
			Text: fmt.Sprintf("cue %d & more\nव्यास %d.%d mm", i, i%9, i%7),
		})
	}
	return t
}

// want is what a reader sees when nothing is lost; change is what the format is
// known to do to a text.
func want(t caption.Track, change func(string) string) []read {
	var out []read
	for _, c := range t.Cues {
		ms := func(d time.Duration) int64 { return int64(math.Floor(d.Seconds()*1000 + 0.5)) }
		out = append(out, read{FromMS: ms(c.From), ToMS: ms(c.To), Text: change(c.Text), Top: c.Line == caption.Top})
	}
	return out
}

func same(text string) string { return text }

// plainReads drops what a reader does not tell.
func plainReads(cues []read, id, top bool) []read {
	for i := range cues {
		if !id {
			cues[i].ID = ""
		}
		if !top {
			cues[i].Top = false
		}
	}
	return cues
}

func write(t testing.TB, w func(*bytes.Buffer) error) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := w(&out); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func readWith(t testing.TB, name string, args ...string) readFile {
	t.Helper()
	var got readFile
	if err := json.Unmarshal(timelinetest.Run(t, name, args...), &got); err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	if len(got.Errors) > 0 {
		t.Errorf("%s %v complains: %q", name, args, got.Errors)
	}
	return got
}

// Check against npm webvtt-parser 2.2.0, an independent reader and validator.
func TestWebVTTAgainstWebvttParser(t *testing.T) {
	pkg := timelinetest.NeedNPM(t, "webvtt-parser")
	voices := caption.Track{Cues: []caption.Cue{
		{To: time.Second, Text: "a & b", Speaker: "A > B & C"},
		{From: time.Second, To: 2 * time.Second, Text: "c", Speaker: "ends in --"},
	}}
	for name, track := range map[string]caption.Track{
		"hostile": hostileTrack(), "voices": voices, "empty": {}, "10000": longTrack(10_000),
	} {
		t.Run(name, func(t *testing.T) {
			file := timelinetest.Save(t, "a.vtt", write(t, func(b *bytes.Buffer) error { return caption.WriteWebVTT(b, track) }))
			got := readWith(t, "node", "testdata/read_webvtt.js", pkg, file, "")
			if diff := cmp.Diff(want(track, same), plainReads(got.Cues, false, true), cmpopts.EquateEmpty()); diff != "" {
				t.Errorf("webvtt-parser reads (-want +got)\n%s", diff)
			}
		})
	}
}

// Check against npm imsc 1.1.5, an independent reader of IMSC documents.
func TestTTMLAgainstImsc(t *testing.T) {
	pkg := timelinetest.NeedNPM(t, "imsc")
	for name, track := range map[string]caption.Track{"hostile": hostileTrack(), "10000": longTrack(10_000)} {
		t.Run(name, func(t *testing.T) {
			file := timelinetest.Save(t, "a.ttml", write(t, func(b *bytes.Buffer) error { return caption.WriteTTML(b, track) }))
			got := readWith(t, "node", "testdata/read_imsc.js", pkg, file)
			if diff := cmp.Diff(want(track, same), plainReads(got.Cues, false, true), cmpopts.EquateEmpty()); diff != "" {
				t.Errorf("imsc reads (-want +got)\n%s", diff)
			}
		})
	}
}

// Check against ttconv, an independent reader of IMSC, SubRip and EBU STL. It
// decodes character references in SubRip, which has none, so texts with an
// ampersand are left to ffmpeg.
func TestAgainstTtconv(t *testing.T) {
	python := timelinetest.NeedPython(t, "ttconv", "python3-ttconv")
	srt := hostileTrack()
	kept := srt.Cues[:0:0]
	for _, c := range srt.Cues {
		if !strings.Contains(c.Text, "&") {
			kept = append(kept, c)
		}
	}
	srt.Cues = kept
	tests := []struct {
		name, kind string
		track      caption.Track
		write      func(*bytes.Buffer, caption.Track) error
		change     func(string) string
		top        bool
	}{
		{"TTML", "imsc", hostileTrack(), func(b *bytes.Buffer, t caption.Track) error { return caption.WriteTTML(b, t) }, same, true},
		{"TTML of 10000 cues", "imsc", longTrack(10_000), func(b *bytes.Buffer, t caption.Track) error { return caption.WriteTTML(b, t) }, same, true},
		{"SubRip", "srt", srt, func(b *bytes.Buffer, t caption.Track) error { return caption.WriteSubRip(b, t) }, inSubRip, false},
		{"SubRip of 10000 cues", "srt", longTrack(10_000), func(b *bytes.Buffer, t caption.Track) error { return caption.WriteSubRip(b, t) }, same, false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			file := timelinetest.Save(t, "a."+tt.kind, write(t, func(b *bytes.Buffer) error { return tt.write(b, tt.track) }))
			got := readWith(t, python, "testdata/read_ttconv.py", tt.kind, file)
			wanted := plainReads(want(tt.track, tt.change), false, tt.top)
			if diff := cmp.Diff(wanted, plainReads(got.Cues, false, tt.top)); diff != "" {
				t.Errorf("ttconv reads (-want +got)\n%s", diff)
			}
		})
	}
}

// inSubRip is what a SubRip reader sees of the hostile texts: markup broken up
// and arrows of another shape, nothing else.
func inSubRip(text string) string {
	return strings.NewReplacer("-->", "→", "<v", "< v", "</v", "< /v", "<b", "< b", "</b", "< /b",
		"{\\", "{ \\", "{y:", "{ y:").Replace(text)
}

// Check against ffprobe: the same times to the millisecond and the same texts.
func TestSubRipAgainstFfprobe(t *testing.T) {
	ffprobe := timelinetest.NeedTool(t, "ffprobe", "ffmpeg")
	for name, track := range map[string]caption.Track{"hostile": hostileTrack(), "10000": longTrack(10_000)} {
		t.Run(name, func(t *testing.T) {
			file := timelinetest.Save(t, "a.srt", write(t, func(b *bytes.Buffer) error { return caption.WriteSubRip(b, track) }))
			got := ffprobePackets(t, ffprobe, file)
			wanted := plainReads(want(track, inSubRip), false, false)
			if diff := cmp.Diff(wanted, got); diff != "" {
				t.Errorf("ffprobe reads (-want +got)\n%s", diff)
			}
		})
	}
}

// ffprobePackets returns the packets of a subtitle file; times are rounded to the
// millisecond, in which the container counts.
func ffprobePackets(t testing.TB, ffprobe, file string) []read {
	t.Helper()
	var probe struct {
		Packets []struct {
			PTS      string `json:"pts_time"`
			Duration string `json:"duration_time"`
			Data     string `json:"data"`
		} `json:"packets"`
	}
	out := timelinetest.Run(t, ffprobe, "-v", "error", "-show_packets", "-show_data", "-of", "json", file)
	if err := json.Unmarshal(out, &probe); err != nil {
		t.Fatal(err)
	}
	ms := func(s string) int64 {
		f, err := strconv.ParseFloat(s, 64)
		if err != nil {
			t.Fatal(err)
		}
		return int64(math.Round(f * 1000))
	}
	var got []read
	for _, p := range probe.Packets {
		from := ms(p.PTS)
		got = append(got, read{FromMS: from, ToMS: from + ms(p.Duration), Text: unhex(t, p.Data)})
	}
	return got
}

// unhex reads ffprobe's dump: an offset, groups of hex digits, the characters.
func unhex(t testing.TB, dump string) string {
	t.Helper()
	var out []byte
	for line := range strings.SplitSeq(strings.TrimSpace(dump), "\n") {
		_, line, _ = strings.Cut(line, ": ")
		hex, _, _ := strings.Cut(line, "  ")
		hex = strings.ReplaceAll(hex, " ", "")
		for len(hex) >= 2 {
			b, err := strconv.ParseUint(hex[:2], 16, 8)
			if err != nil {
				t.Fatalf("dump %q: %v", line, err)
			}
			out, hex = append(out, byte(b)), hex[2:]
		}
	}
	return string(out)
}

// Check that ffmpeg's WebVTT decoder, which drops a raw ">", shows every
// character of ours: each text comes out of a conversion to SubRip.
func TestWebVTTThroughFfmpegKeepsEverySign(t *testing.T) {
	ffmpeg := timelinetest.NeedTool(t, "ffmpeg", "ffmpeg")
	track := caption.Track{Cues: []caption.Cue{
		{From: 0, To: time.Second, Text: "5 > 3 and A&B"},
		{From: time.Second, To: 2 * time.Second, Text: "a --> b"},
	}}
	file := timelinetest.Save(t, "a.vtt", write(t, func(b *bytes.Buffer) error { return caption.WriteWebVTT(b, track) }))
	got := string(timelinetest.Run(t, ffmpeg, "-v", "error", "-i", file, "-f", "srt", "-"))
	for _, c := range track.Cues {
		if !strings.Contains(got, c.Text) {
			t.Errorf("ffmpeg shows %q, want %q in it", got, c.Text)
		}
	}
}

// Check against go-astisub, another reader. It leaves some references in WebVTT
// undecoded and takes <word in SubRip for markup, so the texts are the mild ones.
func TestAgainstAstisub(t *testing.T) {
	mild := hostileTrack()
	kept := mild.Cues[:0:0]
	for _, c := range mild.Cues {
		if !strings.ContainsAny(c.Text, "<>&{") {
			kept = append(kept, c)
		}
	}
	mild.Cues = kept
	mild.Title = ""
	readers := []struct {
		name  string
		write func(*bytes.Buffer, caption.Track) error
		read  func([]byte) (*astisub.Subtitles, error)
	}{
		{"WebVTT", func(b *bytes.Buffer, t caption.Track) error { return caption.WriteWebVTT(b, t) },
			func(b []byte) (*astisub.Subtitles, error) { return astisub.ReadFromWebVTT(bytes.NewReader(b)) }},
		{"SubRip", func(b *bytes.Buffer, t caption.Track) error { return caption.WriteSubRip(b, t) },
			func(b []byte) (*astisub.Subtitles, error) { return astisub.ReadFromSRT(bytes.NewReader(b)) }},
	}
	for _, r := range readers {
		for name, track := range map[string]caption.Track{"mild": mild, "10000": longTrack(10_000)} {
			t.Run(r.name+"/"+name, func(t *testing.T) {
				subs, err := r.read(write(t, func(b *bytes.Buffer) error { return r.write(b, track) }))
				if err != nil {
					t.Fatal(err)
				}
				var got []read
				for _, item := range subs.Items {
					var lines []string
					for _, line := range item.Lines {
						lines = append(lines, line.String())
					}
					got = append(got, read{FromMS: item.StartAt.Milliseconds(), ToMS: item.EndAt.Milliseconds(), Text: strings.Join(lines, "\n")})
				}
				if diff := cmp.Diff(plainReads(want(track, same), false, false), got); diff != "" {
					t.Errorf("go-astisub reads (-want +got)\n%s", diff)
				}
			})
		}
	}
}
