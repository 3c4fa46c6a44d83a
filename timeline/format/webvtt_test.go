package format_test

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"sideport/timeline"
	"sideport/timeline/source"
)

// times is the line of times of a cue of one second, as show prints it: 1s>2s.
const times = "00:01.000 --> 00:02.000"

// TestReadWebVTT has one or more cases for every point of the parser rules in
// W3C, WebVTT, editor's draft 2026-05-14, section "Parsing".
func TestReadWebVTT(t *testing.T) {
	tests := []struct {
		name     string
		text     string
		cues     []string // show
		findings []string // brief
	}{
		// Signature.
		{"signature alone", "WEBVTT", nil, nil},
		{"signature and line end", "WEBVTT\n", nil, nil},
		{"signature and space", "WEBVTT ", nil, nil},
		{"signature and tab", "WEBVTT\t\n", nil, nil},
		{"signature and carriage return", "WEBVTT\r\r" + times + "\rA", []string{"1>2|||A"}, nil},
		{"signature and text", "WEBVTT - case 12\n\n" + times + "\nA", []string{"1>2|||A"}, nil},
		{"signature and no empty line", "WEBVTT\n" + times + "\nA", []string{"1>2|||A"}, nil},
		{"byte order mark", "\uFEFFWEBVTT\n\n" + times + "\nA", []string{"1>2|||A"}, nil},
		{"two byte order marks", "\uFEFF\uFEFFWEBVTT\n\n" + times + "\nA", nil, []string{"1:1: error read/no-signature"}},
		{"empty file", "", nil, []string{"1:1: error read/no-signature"}},
		{"short signature", "WEBVT", nil, []string{"1:1: error read/no-signature"}},
		{"longer word", "WEBVTTX\n\n" + times + "\nA", nil, []string{"1:1: error read/no-signature"}},
		{"lower case", "webvtt\n\n" + times + "\nA", nil, []string{"1:1: error read/no-signature"}},
		{"space before", " WEBVTT\n\n" + times + "\nA", nil, []string{"1:1: error read/no-signature"}},
		{"empty line before", "\nWEBVTT\n\n" + times + "\nA", nil, []string{"1:1: error read/no-signature"}},
		{"no signature", times + "\nA", nil, []string{"1:1: error read/no-signature"}},

		// Header.
		{"header lines are skipped", "WEBVTT\nKind: captions\nLanguage: en\n\n" + times + "\nA", []string{"1>2|||A"}, nil},
		{"a header line of a space", "WEBVTT\n \n" + times + "\nA", []string{"1>2|||A"}, nil},
		{"times end the header", "WEBVTT\nKind: captions\n" + times + "\nA", []string{"1>2|||A"}, nil},
		{"a header line is no identifier", "WEBVTT\nintro\n" + times + "\nA", []string{"1>2|||A"}, nil},
		{"a region line of old is a header line", "WEBVTT\nRegion: id=low\n\n" + times + " region:low\nA", []string{"1>2|||A"}, []string{"4:25: note read/bad-setting"}},
		{"a style block in the header is header", "WEBVTT\nSTYLE\n::cue {}\n\n" + times + "\nA", []string{"1>2|||A"}, nil},

		// Line ends and characters.
		{"CRLF", "WEBVTT\r\n\r\nid\r\n" + times + "\r\nA\r\nB\r\n\r\n", []string{"1>2|id||A\nB"}, nil},
		{"lone CR", "WEBVTT\r\rid\r" + times + "\rA\rB\r\r" + times + "\rC", []string{"1>2|id||A\nB", "1>2|||C"}, nil},
		{"mixed line ends", "WEBVTT\n\r\n" + times + "\rA\r\nB\nC", []string{"1>2|||A\nB\nC"}, nil},
		{"LF CR is two line ends", "WEBVTT\n\r" + times + "\nA\n\rB", []string{"1>2|||A"}, []string{"6:1: caution read/bad-block"}},
		{"NUL becomes U+FFFD", "WEBVTT\n\ni\x00d\n" + times + "\nA\x00B", []string{"1>2|i\uFFFDd||A\uFFFDB"}, nil},
		{"nothing is normalised", "WEBVTT\n\n" + times + "\ne\u0301 \u00e9 क़", []string{"1>2|||e\u0301 \u00e9 क़"}, nil},
		{"no-break space is no white space", "WEBVTT\n\n\u00a0\n" + times + "\nA", []string{"1>2|\u00a0||A"}, nil},

		// Blocks.
		{"many empty lines between", "WEBVTT\n\n\n\n" + times + "\nA\n\n\n\n" + times + "\nB\n\n\n", []string{"1>2|||A", "1>2|||B"}, nil},
		{"no empty line between", "WEBVTT\n\n" + times + "\nA\n" + times + "\nB", []string{"1>2|||A", "1>2|||B"}, nil},
		{"an identifier without an empty line is text", "WEBVTT\n\n" + times + "\nA\n2\n" + times + "\nB", []string{"1>2|||A\n2", "1>2|||B"}, nil},
		{"times on the third line are no cue of the block", "WEBVTT\n\none\ntwo\n" + times + "\nA", []string{"1>2|||A"}, []string{"3:1: caution read/bad-block"}},
		{"two lines of times", "WEBVTT\n\n" + times + "\n" + times + "\nA", []string{"1>2|||", "1>2|||A"}, nil},
		{"a cue without text", "WEBVTT\n\n" + times + "\n\n" + times + "\nB", []string{"1>2|||", "1>2|||B"}, nil},
		{"times at the end of the file", "WEBVTT\n\n" + times, []string{"1>2|||"}, nil},
		{"a line of a space does not end a block", "WEBVTT\n\n" + times + "\nA\n \nB", []string{"1>2|||A\n \nB"}, nil},
		{"text after an empty line", "WEBVTT\n\n" + times + "\nA\n\nB\n\n" + times + "\nC", []string{"1>2|||A", "1>2|||C"}, []string{"6:1: caution read/bad-block"}},
		{"an arrow in text begins a block", "WEBVTT\n\n" + times + "\nA\nB --> C\nD", []string{"1>2|||A"}, []string{"5:1: error read/bad-time"}},
		{"arrows without times", "WEBVTT\n\n-->\n" + times + "\nA\nx-->\n" + times + "\nB", []string{"1>2|||A", "1>2|||B"},
			[]string{"3:1: error read/bad-time", "6:1: error read/bad-time"}},
		{"no arrow between times", "WEBVTT\n\n00:01.000 -> 00:02.000\nA\n\n" + times + "\nB", []string{"1>2|||B"}, []string{"3:1: error read/bad-time"}},
		{"no arrow under an identifier", "WEBVTT\n\nid\n00:01.000 – 00:02.000\nA", nil, []string{"4:1: error read/bad-time"}},

		// Comments, styles, regions.
		{"comments", "WEBVTT\n\nNOTE\n\nNOTE one line\n\nNOTE\ttab\n\nNOTE\nsome\nlines\n\n" + times + "\nA", []string{"1>2|||A"}, nil},
		{"a comment after a cue", "WEBVTT\n\n" + times + "\nA\n\nNOTE x", []string{"1>2|||A"}, nil},
		{"no comment", "WEBVTT\n\nNOTES\nx\n\n" + times + "\nA", []string{"1>2|||A"}, []string{"3:1: caution read/bad-block"}},
		{"cue text beginning NOTE", "WEBVTT\n\n" + times + "\nNOTE the tear\nSTYLE\nREGION", []string{"1>2|||NOTE the tear\nSTYLE\nREGION"}, nil},
		{"a comment holding an arrow", "WEBVTT\n\nNOTE a --> b\n\n" + times + "\nA", []string{"1>2|||A"}, []string{"3:8: caution read/bad-block"}},
		{"a comment over times is an identifier", "WEBVTT\n\nNOTE x\n" + times + "\nA", []string{"1>2|NOTE x||A"}, nil},
		{"a style over times is an identifier", "WEBVTT\n\nSTYLE\n" + times + "\nA", []string{"1>2|STYLE||A"}, nil},
		{"style block", "WEBVTT\n\nSTYLE \t\n::cue { color: white }\n\nSTYLE\n::cue(i) {}\n\n" + times + "\nA", []string{"1>2|||A"}, nil},
		{"style block ended by times", "WEBVTT\n\nSTYLE\n::cue {}\n" + times + "\nA", []string{"1>2|||A"}, nil},
		{"empty style block", "WEBVTT\n\nSTYLE\n\n" + times + "\nA", []string{"1>2|||A"}, nil},
		{"style block after a cue", "WEBVTT\n\n" + times + "\nA\n\nSTYLE\n::cue {}", []string{"1>2|||A"}, []string{"6:1: note read/bad-block"}},
		{"style block after a dropped cue", "WEBVTT\n\n0 --> 1\nA\n\nSTYLE\n::cue {}\n\n" + times + "\nB", []string{"1>2|||B"}, []string{"3:2: error read/bad-time"}},
		{"region", "WEBVTT\n\nREGION\nid:low width:40%\nlines:2\n\n" + times + " region:low align:end\nA", []string{"1>2||region:low align:end|A"}, nil},
		{"region after a cue", "WEBVTT\n\n" + times + "\nA\n\nREGION\nid:low\n\n" + times + " region:low\nB", []string{"1>2|||A", "1>2|||B"},
			[]string{"6:1: note read/bad-block", "9:25: note read/bad-setting"}},
		{"a line takes the cue out of its region", "WEBVTT\n\nREGION\nid:low\n\n" + times + " region:low line:1\nA", []string{"1>2||line:1|A"}, []string{"6:25: note read/bad-setting"}},

		// Identifiers.
		{"identifier as written", "WEBVTT\n\n a - b > c \n" + times + "\nA", []string{"1>2| a - b > c ||A"}, nil},
		{"repeated identifier", "WEBVTT\n\nx\n" + times + "\nA\n\nx\n" + times + "\nB", []string{"1>2|x||A", "1>2|x||B"}, []string{"7:1: note read/duplicate-id"}},

		// Timestamps.
		{"hours", "WEBVTT\n\n01:00:01.500 --> 123456:00:00.000\nA", []string{"1h0m1.5>123456h0m0|||A"}, nil},
		{"one digit of hours", "WEBVTT\n\n0:00:01.000 --> 0:00:02.000\nA", []string{"1>2|||A"}, nil},
		{"first field above 59 is hours", "WEBVTT\n\n00:01.000 --> 60:00:02.000\nA", []string{"1>60h0m2|||A"}, nil},
		{"first field above 59 without hours", "WEBVTT\n\n00:01.000 --> 60:02.000\nA", nil, []string{"3:20: error read/bad-time"}},
		{"no space round the arrow", "WEBVTT\n\n00:01.000-->00:02.000\nA", []string{"1>2|||A"}, nil},
		{"white space round the arrow", "WEBVTT\n\n \t00:01.000\f-->\t 00:02.000 \nA", []string{"1>2|||A"}, nil},
		{"minutes above 59", "WEBVTT\n\n00:60:01.000 --> 00:00:02.000\nA", nil, []string{"3:4: error read/bad-time"}},
		{"seconds above 59", "WEBVTT\n\n00:01.000 --> 00:75.000\nA", nil, []string{"3:18: error read/bad-time"}},
		{"one digit of seconds", "WEBVTT\n\n00:1.000 --> 00:02.000\nA", nil, []string{"3:4: error read/bad-time"}},
		{"two decimals", "WEBVTT\n\n00:01.00 --> 00:02.000\nA", nil, []string{"3:7: error read/bad-time"}},
		{"four decimals", "WEBVTT\n\n00:01.0000 --> 00:02.000\nA", nil, []string{"3:7: error read/bad-time"}},
		{"comma", "WEBVTT\n\n00:01,000 --> 00:02,000\nA", nil, []string{"3:6: error read/bad-time"}},
		{"no decimals", "WEBVTT\n\n00:01 --> 00:02\nA", nil, []string{"3:6: error read/bad-time"}},
		{"negative", "WEBVTT\n\n-00:01.000 --> 00:02.000\nA", nil, []string{"3:1: error read/bad-time"}},
		{"no end", "WEBVTT\n\n00:01.000 --> \nA\n\n" + times + "\nB", []string{"1>2|||B"}, []string{"3:15: error read/bad-time"}},
		{"no start", "WEBVTT\n\n --> 00:02.000\nA", nil, []string{"3:2: error read/bad-time"}},
		{"long arrow", "WEBVTT\n\n00:01.000 ---> 00:02.000\nA", nil, []string{"3:11: error read/bad-time"}},
		{"more hours than can be held", "WEBVTT\n\n00:01.000 --> 99999999999999999999:00:00.000\nA", nil, []string{"3:15: error read/bad-time"}},
		{"reading goes on after a bad cue", "WEBVTT\n\n" + times + "\nA\n\n00:60.000 --> 00:61.000\nB\n\n" + times + "\nC", []string{"1>2|||A", "1>2|||C"}, []string{"6:4: error read/bad-time"}},

		// Order: no rule of the parser, kept and reported.
		{"end at start", "WEBVTT\n\n00:01.000 --> 00:01.000\nA", []string{"1>1|||A"}, []string{"3:1: caution read/cue-order"}},
		{"end before start", "WEBVTT\n\n00:02.000 --> 00:01.000\nA", []string{"2>1|||A"}, []string{"3:1: caution read/cue-order"}},
		{"start before an earlier start", "WEBVTT\n\n00:03.000 --> 00:04.000\nA\n\n" + times + "\nB\n\n00:03.000 --> 00:05.000\nC", []string{"3>4|||A", "1>2|||B", "3>5|||C"}, []string{"6:1: caution read/cue-order"}},
		{"overlap is allowed", "WEBVTT\n\n00:01.000 --> 00:04.000\nA\n\n00:02.000 --> 00:03.000\nB", []string{"1>4|||A", "2>3|||B"}, nil},

		// Settings on the line of times.
		{"settings", "WEBVTT\n\n" + times + "  line:0\tposition:20%,line-left  \nA", []string{"1>2||line:0 position:20%,line-left|A"}, nil},
		{"setting after the time without a space", "WEBVTT\n\n" + times + "align:end\nA", []string{"1>2||align:end|A"}, nil},
		{"unknown and bad settings", "WEBVTT\n\n" + times + " line:0 colour:red size:101% align:end x\nA", []string{"1>2||line:0 align:end|A"},
			[]string{"3:32: note read/bad-setting", "3:43: note read/bad-setting", "3:63: note read/bad-setting"}},
		{"a later setting wins", "WEBVTT\n\n" + times + " size:50% size:60%\nA", []string{"1>2||size:60%|A"}, []string{"3:25: note read/bad-setting"}},

		// Text.
		{"text keeps markup and references", "WEBVTT\n\n" + times + "\n<v A>rhexis &lt; 6 mm</v> &amp; <i>x", []string{"1>2|||<v A>rhexis &lt; 6 mm</v> &amp; <i>x"}, nil},
		{"text keeps white space", "WEBVTT\n\n" + times + "\n  A  \n\tB", []string{"1>2|||  A  \n\tB"}, nil},
		{"part of an arrow is text", "WEBVTT\n\n" + times + "\nA -- > B ->C", []string{"1>2|||A -- > B ->C"}, nil},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			cues, findings := readCues(t, "webvtt", "a.vtt", []byte(tt.text))
			if diff := cmp.Diff(tt.cues, mapped(cues, show)); diff != "" {
				t.Errorf("cues (-want +got):\n%s", diff)
			}
			if diff := cmp.Diff(tt.findings, mapped(findings, brief)); diff != "" {
				t.Errorf("findings (-want +got):\n%s\n%s", diff, strings.Join(mapped(findings, source.Finding.String), "\n"))
			}
		})
	}
}

func TestReadWebVTTEncodings(t *testing.T) {
	const text = "WEBVTT\n\n00:01.000 --> 00:02.000\nकैप्सुलोटॉमी 𝕏"
	utf16 := func(big bool) []byte {
		var out []byte
		for _, u := range append([]uint16{0xFEFF}, encodeUTF16(text)...) {
			if big {
				out = append(out, byte(u>>8), byte(u))
			} else {
				out = append(out, byte(u), byte(u>>8))
			}
		}
		return out
	}
	for name, raw := range map[string][]byte{
		"UTF-8": []byte(text), "UTF-16 little-endian": utf16(false), "UTF-16 big-endian": utf16(true),
	} {
		cues, findings := readCues(t, "webvtt", "a.vtt", raw)
		if len(findings) > 0 || len(cues) != 1 || cues[0].Text != "कैप्सुलोटॉमी 𝕏" {
			t.Errorf("%s: cues %q, findings %v", name, mapped(cues, show), findings)
		}
	}
	cues, findings := readCues(t, "webvtt", "a.vtt", []byte("WEBVTT\n\n00:01.000 --> 00:02.000\nN\xe9v\xe9"))
	if got, want := mapped(findings, brief), []string{"4:2: error read/encoding"}; !cmp.Equal(got, want) || cues != nil {
		t.Errorf("Latin-1 text: findings %q, cues %v, want %q and none", got, cues, want)
	}
}

func TestWebVTTPositions(t *testing.T) {
	const text = "WEBVTT\r\n\r\nstep-1\r\n00:01.000 --> 00:02.000\r\nA\r\n\r\n00:03.000 --> 00:04.000"
	cues, _ := readCues(t, "webvtt", "a.vtt", []byte(text))
	got := mapped(cues, func(c timeline.Cue) string { return c.Pos.String() + " " + c.TextPos.String() })
	want := []string{"a.vtt:3:1 a.vtt:5:1", "a.vtt:7:1 a.vtt:7:24"}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("positions (-want +got):\n%s", diff)
	}
}

func TestWebVTTMessages(t *testing.T) {
	tests := []struct{ text, want string }{
		{"1\n00:00:01,000 --> 00:00:02,000", `a.vtt:1:1: error: the file begins with "1"; a WebVTT file begins with WEBVTT and a space, a tab or a line end; nothing of the file is read [read/no-signature]`},
		{"WEBVTT\n\n00:61:00.000 --> 01:00:00.000", `a.vtt:3:4: error: cue left out: the start time has minutes 61, above 59 [read/bad-time]`},
		{"WEBVTT\n\n00:00:01,000 --> 00:00:02,000", `a.vtt:3:9: error: cue left out: the start time has no dot before its milliseconds [read/bad-time]`},
		{"WEBVTT\n\n00:01.000 -->", `a.vtt:3:14: error: cue left out: the end time is missing [read/bad-time]`},
		{"WEBVTT\n\n00:01.000 --> 00:02.000 size:3", `a.vtt:3:25: note: setting left out: "size:3" is no percentage from 0% to 100% [read/bad-setting]`},
		{"WEBVTT\n\n00:02.000 --> 00:01.000", `a.vtt:3:1: caution: the cue ends at 00:00:01.000 and starts at 00:00:02.000; in WebVTT a cue ends after its start; the cue is kept [read/cue-order]`},
	}
	for _, tt := range tests {
		_, findings := readCues(t, "webvtt", "a.vtt", []byte(tt.text))
		if got := strings.Join(mapped(findings, source.Finding.String), "\n"); got != tt.want {
			t.Errorf("findings of %q:\ngot  %s\nwant %s", tt.text, got, tt.want)
		}
	}
}
