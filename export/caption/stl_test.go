package caption_test

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"sideport/export/caption"
	"sideport/timeline/timelinetest"

	"github.com/google/go-cmp/cmp"
	"golang.org/x/text/unicode/norm"
)

func latinTrack() caption.Track {
	var cues []caption.Cue
	for i, text := range []string{
		"Tunnel 6.5 mm",
		"IOP < 21 & A&B > C\nsecond line",
		"naïve Öffnung, œil, señal, ångström, čtvrtá",
		"±0.25 D × 90°, 2.2 µm², ½ ml",
		`{braces} [brackets] \ back | bar ~ ^ _ # @`,
		strings.Repeat("m", 111),
	} {
		from := time.Duration(i) * 2_333 * time.Millisecond
		cues = append(cues, caption.Cue{From: from, To: from + 2*time.Second, Text: text, Line: caption.Edge(i % 2)})
	}
	return caption.Track{Language: "en", Title: "Case", Cues: cues}
}

// frames25 is want in whole frames of 40 ms, rounded half up.
func frames25(t caption.Track) []read {
	out := plainReads(want(t, same), false, false)
	for i := range out {
		out[i].FromMS = (out[i].FromMS + 20) / 40 * 40
		out[i].ToMS = (out[i].ToMS + 20) / 40 * 40
	}
	return out
}

// Check against ttconv, which has the alphabet of ISO 6937 from another source.
func TestSTLAgainstTtconv(t *testing.T) {
	python := timelinetest.NeedPython(t, "ttconv", "python3-ttconv")
	for name, track := range map[string]caption.Track{"latin": latinTrack(), "alphabet": alphabetTrack()} {
		t.Run(name, func(t *testing.T) {
			file := timelinetest.Save(t, "a.stl", write(t, func(b *bytes.Buffer) error { return caption.WriteSTL(b, track) }))
			got := readWith(t, python, "testdata/read_ttconv.py", "stl", file)
			if diff := cmp.Diff(frames25(track), plainReads(got.Cues, false, false)); diff != "" {
				t.Errorf("ttconv reads (-want +got)\n%s", diff)
			}
		})
	}
}

// alphabetTrack has every character of the first Unicode blocks and of the signs
// that WriteSTL takes, 20 a cue, each between full stops.
func alphabetTrack() caption.Track {
	var taken []rune
	for r := rune('!'); r < 0x2700; r++ {
		text := "." + string(r) + "."
		if caption.Clean(text) != text || !norm.NFC.IsNormalString(text) || r >= 0x180 && r < 0x2010 {
			continue // not a character of a clean text, or one that becomes another
		}
		one := caption.Track{Cues: []caption.Cue{{To: time.Second, Text: text}}}
		if err := caption.WriteSTL(new(bytes.Buffer), one); err == nil {
			taken = append(taken, r)
		}
	}
	var track caption.Track
	for i := 0; i < len(taken); i += 20 {
		var text strings.Builder
		for _, r := range taken[i:min(i+20, len(taken))] {
			text.WriteString("." + string(r))
		}
		from := time.Duration(i) * time.Second
		track.Cues = append(track.Cues, caption.Cue{From: from, To: from + time.Second, Text: text.String() + "."})
	}
	return track
}

func TestSTLTakesTheLettersOfWesternAndCentralEurope(t *testing.T) {
	all := ""
	for _, c := range alphabetTrack().Cues {
		all += c.Text
	}
	for _, r := range "AZaz09%&<>ÀÉÎÕÜàéîõüçñßæøœåšžłőąęğ°±×µ½²·÷’”«»" {
		if !strings.ContainsRune(all, r) {
			t.Errorf("WriteSTL refuses %q", r)
		}
	}
}

// The layout is that of EBU Tech 3264: sizes, format code, numbers, times and end
// of text of the first block.
func TestSTLLayout(t *testing.T) {
	track := caption.Track{Language: "hi", Title: "Fall", Cues: []caption.Cue{
		{From: time.Hour + 2*time.Minute + 3*time.Second + 130*time.Millisecond, To: time.Hour + 2*time.Minute + 5*time.Second, Text: "a\nb"},
	}}
	got := write(t, func(b *bytes.Buffer) error { return caption.WriteSTL(b, track) })
	if len(got) != 1024+128 {
		t.Fatalf("%d bytes, want 1024 and one block of 128", len(got))
	}
	fields := []struct {
		name       string
		from, to   int
		wantedText string
	}{
		{"code page", 0, 3, "850"}, {"format", 3, 11, "STL25.01"}, {"open subtitles", 11, 12, "0"},
		{"Latin", 12, 14, "00"}, {"Hindi", 14, 16, "6B"}, {"title", 16, 24, "Fall    "},
		{"no date", 224, 236, "700101700101"}, {"blocks", 238, 243, "00001"}, {"subtitles", 243, 248, "00001"},
		{"number", 1025, 1027, "\x01\x00"}, {"last block", 1027, 1028, "\xff"},
		{"in", 1029, 1033, "\x01\x02\x03\x03"}, {"out", 1033, 1037, "\x01\x02\x05\x00"},
		{"text", 1040, 1044, "a\x8ab\x8f"},
	}
	for _, f := range fields {
		if text := string(got[f.from:f.to]); text != f.wantedText {
			t.Errorf("%s = %q, want %q", f.name, text, f.wantedText)
		}
	}
}

func TestSTLRefuses(t *testing.T) {
	at := func(text string) caption.Track {
		return caption.Track{Cues: []caption.Cue{{To: time.Second, Text: "fine"}, {ID: "step", From: time.Second, To: 2 * time.Second, Text: text}}}
	}
	many := caption.Track{}
	for i := range 65536 {
		many.Cues = append(many.Cues, caption.Cue{From: time.Duration(i) * time.Second, To: time.Duration(i+1) * time.Second, Text: "x"})
	}
	tests := []struct {
		name  string
		track caption.Track
		cue   int
		says  string
	}{
		{"less or equal", at("≤ 5 mm"), 2, "U+2264"},
		{"greater or equal", at("≥ 5 mm"), 2, "U+2265"},
		{"en dash", at("5–7 mm"), 2, "U+2013"},
		{"em dash", at("a—b"), 2, "U+2014"},
		{"dollar", at("$"), 2, "U+0024"},
		{"Devanagari", at("मिमी"), 2, "U+092E"},
		{"Arabic", at("مم"), 2, "U+0645"},
		{"Cyrillic", at("мм"), 2, "U+043C"},
		{"emoji", at("👁"), 2, "U+1F441"},
		{"two accents", at("ệ"), 2, "U+1EC7"},
		{"currency", at("€"), 2, "U+20AC"},
		{"long text", at(strings.Repeat("m", 112)), 2, "112 bytes"},
		{"long by accents", at(strings.Repeat("é", 56)), 2, "112 bytes"},
		{"past a day", caption.Track{Cues: []caption.Cue{{From: 23 * time.Hour, To: 24 * time.Hour, Text: "x"}}}, 1, "24 h"},
		{"nothing", caption.Track{}, 0, "without cues"},
		{"nothing visible", caption.Track{Cues: []caption.Cue{{To: 1, Text: "\x00 \n"}}}, 0, "without cues"},
		{"too many", many, 0, "65536"},
	}
	for _, tt := range tests {
		var out bytes.Buffer
		err := caption.WriteSTL(&out, tt.track)
		var refusal *caption.Refusal
		if !errors.As(err, &refusal) || refusal.Cue != tt.cue || !strings.Contains(refusal.Reason, tt.says) || out.Len() != 0 {
			t.Errorf("%s: WriteSTL = %v with %d bytes, want a refusal of cue %d saying %q", tt.name, err, out.Len(), tt.cue, tt.says)
		}
	}
}

func TestSTLWritesComposedLetters(t *testing.T) {
	got := write(t, func(b *bytes.Buffer) error {
		return caption.WriteSTL(b, caption.Track{Cues: []caption.Cue{{To: time.Second, Text: "e\u0301"}}})
	})
	// ISO 6937: the acute accent C2, then the letter.
	if text := string(got[1040:1043]); text != "\xc2e\x8f" {
		t.Errorf("text of e with an acute = %q, want C2 65 8F", text)
	}
}

func TestSTLOf10000Cues(t *testing.T) {
	var track caption.Track
	for i := range 10_000 {
		from := time.Duration(i) * 1_010 * time.Millisecond
		track.Cues = append(track.Cues, caption.Cue{From: from, To: from + time.Second, Text: fmt.Sprintf("cue %d\nof many", i)})
	}
	if got := write(t, func(b *bytes.Buffer) error { return caption.WriteSTL(b, track) }); len(got) != 1024+10_000*128 {
		t.Errorf("%d bytes, want 1024 and 10000 blocks", len(got))
	}
}
