package format_test

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"sideport/timeline/source"
)

// TestReadSubRip: SubRip has no standard. The plain form is that of the IETF
// CELLAR codec draft, "SRT Subtitles"; what is accepted beyond it is common
// practice, no source.
func TestReadSubRip(t *testing.T) {
	const (
		one   = "00:00:01,000 --> 00:00:02,000"
		three = "00:00:03,000 --> 00:00:04,000"
		five  = "00:00:05,000 --> 00:00:06,000"
	)
	tests := []struct {
		name     string
		text     string
		cues     []string
		findings []string
	}{
		// The plain form.
		{"plain", "1\n" + one + "\nA\nB\n\n2\n" + three + "\nC\n", []string{"1>2|1||A\nB", "3>4|2||C"}, nil},
		{"CRLF", "1\r\n" + one + "\r\nA\r\nB\r\n\r\n2\r\n" + three + "\r\nC\r\n", []string{"1>2|1||A\nB", "3>4|2||C"}, nil},
		{"lone CR", "1\r" + one + "\rA\rB\r\r2\r" + three + "\rC\r", []string{"1>2|1||A\nB", "3>4|2||C"}, nil},
		{"byte order mark", "\uFEFF1\n" + one + "\nA", []string{"1>2|1||A"}, nil},
		{"NUL becomes U+FFFD", "1\n" + one + "\nA\x00B", []string{"1>2|1||A\uFFFDB"}, nil},
		{"no text", "1\n" + one + "\n\n2\n" + three + "\nB", []string{"1>2|1||", "3>4|2||B"}, nil},
		{"empty lines before and after", "\n\n1\n" + one + "\n\nA\n\n\n\n2\n" + three + "\nB\n\n\n", []string{"1>2|1||A", "3>4|2||B"}, nil},

		// Counters.
		{"no counters", one + "\nA\n\n" + three + "\nB", []string{"1>2|||A", "3>4|||B"}, nil},
		{"no counters, no empty lines", one + "\nA\n" + three + "\nB", []string{"1>2|||A", "3>4|||B"}, nil},
		{"repeated counter", "1\n" + one + "\nA\n\n1\n" + three + "\nB", []string{"1>2|1||A", "3>4|1||B"}, nil},
		{"gap in the counters", "7\n" + one + "\nA\n\n99\n" + three + "\nB", []string{"1>2|7||A", "3>4|99||B"}, nil},
		{"counter with white space", " 1 \n" + one + "\nA", []string{"1>2|1||A"}, nil},
		{"empty lines and no counter", "\n\n" + one + "\nA", []string{"1>2|||A"}, nil},
		{"huge counter", "99999999999999999999\n" + one + "\nA\n\n2\n" + three + "\nB", []string{"1>2|99999999999999999999||A", "3>4|2||B"}, nil},
		{"counter in words", "one\n" + one + "\nA\n\ntwo\n" + three + "\nB", []string{"1>2|one||A", "3>4|two||B"}, []string{"1:1: note read/odd-counter", "5:1: note read/odd-counter"}},
		{"number as the last line of text", "1\n" + one + "\nGrade\n4\n\n2\n" + three + "\nB", []string{"1>2|1||Grade\n4", "3>4|2||B"}, nil},
		{"number as the only text", "1\n" + one + "\n300\n\n2\n" + three + "\nB", []string{"1>2|1||300", "3>4|2||B"}, nil},
		{"number as the last line, no counters", one + "\nGrade\n4\n" + three + "\nB", []string{"1>2|||Grade\n4", "3>4|||B"}, nil},
		{"number as the last line, no counters, empty line", one + "\nGrade\n4\n\n" + three + "\nB", []string{"1>2|||Grade\n4", "3>4|||B"}, nil},
		{"number at the end of the file", "1\n" + one + "\nGrade\n2", []string{"1>2|1||Grade\n2"}, nil},
		{"counter without an empty line before", "1\n" + one + "\nA\n2\n" + three + "\nB", []string{"1>2|1||A", "3>4|2||B"}, nil},
		{"number that does not go on, without an empty line", "1\n" + one + "\nA\n7\n" + three + "\nB", []string{"1>2|1||A\n7", "3>4|||B"}, nil},
		{"no text and no empty line", "1\n" + one + "\n2\n" + three + "\nB", []string{"1>2|1||", "3>4|2||B"}, nil},
		{"one counter missing", "1\n" + one + "\nA\n\n" + three + "\nB\n3\n" + five + "\nC", []string{"1>2|1||A", "3>4|||B", "5>6|3||C"}, nil},
		{"number between empty lines, no counters", one + "\nA\n\n0\n\n" + three + "\nB", []string{"1>2|||A\n\n0", "3>4|||B"}, []string{"3:1: note read/blank-line"}},
		{"doubled line ends", "1\n\n" + one + "\n\nA\n\n\n\n2\n\n" + three + "\n\nB\n\n", []string{"1>2|1||A", "3>4|2||B"}, nil},

		// Empty lines inside text.
		{"empty line inside text", "1\n" + one + "\nA\n\nB after\n\n2\n" + three + "\nC", []string{"1>2|1||A\n\nB after", "3>4|2||C"}, []string{"4:1: note read/blank-line"}},
		{"empty lines and a number inside text", "1\n" + one + "\nA\n\n6\nB\n \n2\n" + three + "\nC", []string{"1>2|1||A\n\n6\nB", "3>4|2||C"}, []string{"4:1: note read/blank-line"}},
		{"empty line inside the last text", "1\n" + one + "\nA\n\nB", []string{"1>2|1||A\n\nB"}, []string{"4:1: note read/blank-line"}},

		// Times.
		{"dot", "1\n00:00:01.250 --> 00:00:02.500\nA", []string{"1.25>2.5|1||A"}, nil},
		{"one decimal", "1\n00:00:01,5 --> 00:00:02,5\nA", []string{"1.5>2.5|1||A"}, nil},
		{"two decimals", "1\n00:00:01,05 --> 00:00:02,50\nA", []string{"1.05>2.5|1||A"}, nil},
		{"no hours", "1\n01:02,500 --> 01:03,000\nA", []string{"1m2.5>1m3|1||A"}, nil},
		{"one digit each", "1\n0:0:1,0 --> 0:0:2,0\nA", []string{"1>2|1||A"}, nil},
		{"three digits of hours", "1\n100:00:00,000 --> 100:00:01,000\nA", []string{"100h0m0>100h0m1|1||A"}, nil},
		{"no space round the arrow", "1\n00:00:01,000-->00:00:02,000\nA", []string{"1>2|1||A"}, nil},
		{"white space round all", "1\n\t00:00:01,000  -->\t00:00:02,000 \nA", []string{"1>2|1||A"}, nil},
		{"box", "1\n" + one + " X1:40 X2:600 Y1:020 Y2:050\nA", []string{"1>2|1||A"}, nil},
		{"box in lower case", "1\n" + one + "  x1:-4 y1:0\nA", []string{"1>2|1||A"}, nil},
		{"no decimals", "1\n00:00:01 --> 00:00:02\nA", []string{"1>2|1||A"}, []string{"2:1: note read/whole-seconds"}},
		{"something after the times", "1\n" + one + " align:start\nA", []string{"1>2|1||A"}, []string{"2:31: note read/bad-setting"}},
		{"a field without digits", "1\n00:00: --> 00:00:02,000\nA", nil, []string{"2:7: error read/bad-time"}},
		{"the last field without digits", "1\n00:00:01,000 --> 00:00:", nil, []string{"2:24: error read/bad-time"}},
		{"end without decimals", "1\n00:00:01,0 --> 00:00:02\nA", []string{"1>2|1||A"}, []string{"2:16: note read/whole-seconds"}},
		{"no box", "1\n" + one + " X1:a\nA", []string{"1>2|1||A"}, []string{"2:31: note read/bad-setting"}},
		{"four decimals", "1\n00:00:01,0000 --> 00:00:02,000\nA\n\n2\n" + three + "\nB", []string{"3>4|2||B"}, []string{"2:10: error read/bad-time"}},
		{"no digit after the comma", "1\n00:00:01, --> 00:00:02,000\nA", nil, []string{"2:10: error read/bad-time"}},
		{"minutes above 59", "1\n00:60:01,000 --> 01:01:02,000\nA", nil, []string{"2:4: error read/bad-time"}},
		{"seconds above 59", "1\n00:00:01,000 --> 00:00:75,000\nA", nil, []string{"2:24: error read/bad-time"}},
		{"three digits of seconds", "1\n00:00:001,000 --> 00:00:02,000\nA", nil, []string{"2:7: error read/bad-time"}},
		{"negative", "1\n-00:00:01,000 --> 00:00:02,000\nA", nil, []string{"2:1: error read/bad-time"}},
		{"one field", "1\n12,000 --> 00:00:02,000\nA", nil, []string{"2:1: error read/bad-time"}},
		{"letters after a time", "1\n00:00:01,000 --> 00:00:02,000s\nA", nil, []string{"2:30: error read/bad-time"}},
		{"letters for a time", "1\n00:00:0l,000 --> 00:00:02,000\nA", nil, []string{"2:8: error read/bad-time"}},
		{"more hours than can be held", "1\n00:00:01,000 --> 9999999999999999999:00:00,000\nA", nil, []string{"2:18: error read/bad-time"}},
		{"no end", "1\n00:00:01,000 --> \nA\n\n2\n" + three + "\nB", []string{"3>4|2||B"}, []string{"2:18: error read/bad-time"}},
		{"no end and no space", "1\n00:00:01,000 -->\nA", nil, []string{"2:17: error read/bad-time"}},
		{"no start", "1\n --> 00:00:02,000\nA", nil, []string{"2:2: error read/bad-time"}},
		{"no time at all", "1\n" + one + "\nA\n\n2\nx --> y\nB\n\n3\n" + five + "\nC", []string{"1>2|1||A", "5>6|3||C"}, []string{"6:1: error read/bad-time"}},
		{"wrong arrow", "1\n00:00:01,000 -> 00:00:02,000\nA\n\n2\n" + three + "\nB", []string{"3>4|2||B"}, []string{"2:14: error read/bad-time"}},
		{"wrong arrow after a good cue", "1\n" + one + "\nA\n\n2\n00:00:03,000 –> 00:00:04,000\nB\n\n3\n" + five + "\nC", []string{"1>2|1||A", "5>6|3||C"}, []string{"6:14: error read/bad-time"}},

		// Frames.
		{"fourth field", "1\n00:00:01:12 --> 00:00:02:00\nA\n\n2\n" + three + "\nB", []string{"3>4|2||B"}, []string{"2:1: error read/rate-missing"}},
		{"fourth field after a semicolon", "1\n00:00:01;12 --> 00:00:02;00\nA", nil, []string{"2:1: error read/rate-missing"}},
		{"fourth field in the end time", "1\n00:00:01,000 --> 00:00:02:10\nA", nil, []string{"2:18: error read/rate-missing"}},

		// Order.
		{"end at start", "1\n00:00:01,000 --> 00:00:01,000\nA\n\n2\n" + three + "\nB", []string{"3>4|2||B"}, []string{"2:18: error read/cue-order"}},
		{"end before start", "1\n00:00:02,000 --> 00:00:01,000\nA", nil, []string{"2:18: error read/cue-order"}},
		{"start before an earlier start", "1\n" + three + "\nA\n\n2\n" + one + "\nB", []string{"3>4|1||A", "1>2|2||B"}, []string{"6:1: caution read/cue-order"}},

		// Text.
		{"markup and references stay", "1\n" + one + "\n{\\an8}<i>IOP</i> &lt; 21 <s>x", []string{"1>2|1||{\\an8}<i>IOP</i> &lt; 21 <s>x"}, nil},
		{"a range of times in text", "1\n" + one + "\n10:30 - 11:00\n12:00 -x11:00\n9:30 to 10\n\n2\n" + three + "\nC", []string{"1>2|1||10:30 - 11:00\n12:00 -x11:00\n9:30 to 10", "3>4|2||C"}, nil},
		{"arrow in text", "1\n" + one + "\nA --> B\n10:30 --> later\n\n2\n" + three + "\nC", []string{"1>2|1||A --> B\n10:30 --> later", "3>4|2||C"}, nil},
		{"text before the first cue", "Case 12\n\n1\n" + one + "\nA", []string{"1>2|1||A"}, []string{"1:1: caution read/bad-block"}},

		// No cues.
		{"empty", "", nil, []string{"1:1: error read/no-cues"}},
		{"prose", "\n\nThe nucleus is delivered.\n", nil, []string{"3:1: error read/no-cues"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			cues, findings := readCues(t, "subrip", "a.srt", []byte(tt.text))
			if diff := cmp.Diff(tt.cues, mapped(cues, show)); diff != "" {
				t.Errorf("cues (-want +got):\n%s", diff)
			}
			if diff := cmp.Diff(tt.findings, mapped(findings, brief)); diff != "" {
				t.Errorf("findings (-want +got):\n%s\n%s", diff, strings.Join(mapped(findings, source.Finding.String), "\n"))
			}
		})
	}
}

func TestSubRipAsksForTheRate(t *testing.T) {
	_, findings := readCues(t, "subrip", "a.srt", []byte("1\n00:00:01:12 --> 00:00:02:00\nA"))
	if len(findings) != 1 {
		t.Fatalf("findings %q, want one", mapped(findings, source.Finding.String))
	}
	const want = `a.srt:2:1: error: cue left out: the start time "00:00:01:12" has a fourth field, which counts frames; their rate is not in the file [read/rate-missing]`
	if got := findings[0].String(); got != want {
		t.Errorf("finding\ngot  %s\nwant %s", got, want)
	}
	if !strings.Contains(findings[0].Hint, "frame rate") {
		t.Errorf("hint %q does not ask for the frame rate", findings[0].Hint)
	}
}
