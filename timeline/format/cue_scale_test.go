package format_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"sideport/timeline"
)

// cueFile writes n cues of two lines in a format, cue i from 2i s to 2i+1.5 s.
func cueFile(name string, n int, lineEnd string) string {
	var b strings.Builder
	separator := ","
	if name == "webvtt" {
		b.WriteString("WEBVTT" + lineEnd + lineEnd)
		separator = "."
	}
	clock := func(ms int) string {
		return fmt.Sprintf("%02d:%02d:%02d%s%03d", ms/3600000, ms/60000%60, ms/1000%60, separator, ms%1000)
	}
	for i := range n {
		fmt.Fprintf(&b, "%d%s%s --> %s%s%s%s%s%s%s", i+1, lineEnd, clock(2000*i), clock(2000*i+1500), lineEnd,
			cueLine(i, 0), lineEnd, cueLine(i, 1), lineEnd, lineEnd)
	}
	return b.String()
}

func cueLine(i, line int) string {
	return fmt.Sprintf("cue %d line %d: rhexis 5.5 mm, vacuum 300 mmHg", i+1, line+1)
}

// checkCueFile compares cues with what cueFile wrote.
func checkCueFile(tb testing.TB, cues []timeline.Cue, n int) {
	tb.Helper()
	if len(cues) != n {
		tb.Fatalf("%d cues, want %d", len(cues), n)
	}
	for i, c := range cues {
		from := time.Duration(2*i) * time.Second
		want := timeline.Cue{ID: fmt.Sprint(i + 1), From: from, To: from + 1500*time.Millisecond, Text: cueLine(i, 0) + "\n" + cueLine(i, 1)}
		c.Pos, c.TextPos = want.Pos, want.TextPos
		if c != want {
			tb.Fatalf("cue %d is %q, want %q", i, show(c), show(want))
		}
	}
}

func TestHundredThousandCues(t *testing.T) {
	const n = 100_000
	for _, name := range []string{"webvtt", "subrip"} {
		for _, lineEnd := range []string{"\n", "\r\n", "\r"} {
			cues, findings := readCues(t, name, "a", []byte(cueFile(name, n, lineEnd)))
			if len(findings) > 0 {
				t.Errorf("%s: finding %s", name, findings[0])
			}
			checkCueFile(t, cues, n)
		}
	}
}

// TestLineOfAMebibyte: a line longer than any buffer is text, an identifier, or
// one setting like any other.
func TestLineOfAMebibyte(t *testing.T) {
	long := strings.Repeat("long ", 1<<20/5) + "end"
	for _, tt := range []struct{ name, text string }{
		{"webvtt", "WEBVTT\n\nid\n00:01.000 --> 00:02.000\n" + long + "\n\n00:03.000 --> 00:04.000\nB"},
		{"subrip", "id\n00:00:01,000 --> 00:00:02,000\n" + long + "\n\n2\n00:00:03,000 --> 00:00:04,000\nB"},
	} {
		cues, _ := readCues(t, tt.name, "a", []byte(tt.text))
		if len(cues) != 2 || cues[0].Text != long || cues[1].Text != "B" {
			t.Errorf("%s: %d cues, the first text of %d bytes, want 2 and %d", tt.name, len(cues), len(cues[0].Text), len(long))
		}
	}
	word := strings.Repeat("x", 1<<20)
	cues, findings := readCues(t, "webvtt", "a", []byte("WEBVTT\n\n"+word+"\n00:01.000 --> 00:02.000 align:"+word+" size:50%\nA"))
	if len(cues) != 1 || cues[0].ID != word || cues[0].Settings != "size:50%" {
		t.Errorf("%d cues from an identifier of 1 MiB", len(cues))
	}
	if len(findings) != 1 || len(findings[0].Message) > 400 {
		t.Errorf("%d findings, want one with a short message", len(findings))
	}
}

// TestCarriageReturnAtBufferEdge puts the CR of a CRLF at each offset round 4096
// in turn, where a reader with a buffer of that size loses text.
func TestCarriageReturnAtBufferEdge(t *testing.T) {
	for _, tt := range []struct{ name, head, times, text string }{
		{"webvtt", "WEBVTT\r\n\r\nNOTE ", "\r\n\r\nid\r\n00:00:01.000 --> 00:00:02.000", "\r\nfirst\r\nsecond\r\n\r\n00:00:03.000 --> 00:00:04.000\r\nlast\r\n"},
		{"subrip", "1\r\n00:00:00,000 --> 00:00:00,500\r\n", "\r\n\r\nid\r\n00:00:01,000 --> 00:00:02,000", "\r\nfirst\r\nsecond\r\n\r\n3\r\n00:00:03,000 --> 00:00:04,000\r\nlast\r\n"},
	} {
		whole := tt.head + tt.times + tt.text
		for i, c := range []byte(whole) {
			if c != '\r' || i < len(tt.head) {
				continue
			}
			for offset := 4090; offset <= 4100; offset++ {
				text := tt.head + strings.Repeat("x", offset-i) + tt.times + tt.text
				if text[offset] != '\r' {
					t.Fatalf("%s: no CR at %d", tt.name, offset)
				}
				cues, _ := readCues(t, tt.name, "a", []byte(text))
				got := mapped(cues, func(c timeline.Cue) string { return c.ID + "|" + c.Text })
				want := []string{"id|first\nsecond", "|last"}
				if tt.name == "subrip" {
					want = []string{"1|" + strings.Repeat("x", offset-i), "id|first\nsecond", "3|last"}
				}
				if !slices.Equal(got, want) {
					t.Errorf("%s, CR at %d: cues %q, want %q", tt.name, offset, got, want)
				}
			}
		}
	}
}

func BenchmarkReadWebVTT(b *testing.B) { benchmarkCues(b, "webvtt") }
func BenchmarkReadSubRip(b *testing.B) { benchmarkCues(b, "subrip") }

func benchmarkCues(b *testing.B, name string) {
	for _, n := range []int{1000, 10_000, 100_000} {
		b.Run(fmt.Sprintf("n=%d", n), func(b *testing.B) {
			raw := []byte(cueFile(name, n, "\n"))
			b.SetBytes(int64(len(raw)))
			b.ReportAllocs()
			for b.Loop() {
				cues, _ := readCues(b, name, "a", raw)
				if len(cues) != n {
					b.Fatalf("%d cues, want %d", len(cues), n)
				}
			}
		})
	}
}
