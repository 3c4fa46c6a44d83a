package caption_test

import (
	"testing"

	"sideport/export/caption"
)

func TestClean(t *testing.T) {
	tests := []struct{ name, in, want string }{
		{"line ends", "a\r\nb\rc\u2028d\u2029e\u0085f\vg\fh", "a\nb\nc\nd\ne\nf\ng\nh"},
		{"blank lines", "a\n\n \t\nb\n", "a\nb"},
		{"lines of nothing visible", "a\n\u200b\u00a0\u200e\nb", "a\nb"},
		{"spaces", "  a \t b  \n c ", "a b\nc"},
		{"no-break space", "6.5\u00a0mm", "6.5\u00a0mm"},
		{"control characters", "a\x00b\x1bc\x7fd\u0090e", "abcde"},
		{"what XML forbids", "a\ufffeb\uffffc", "abc"},
		{"bytes that are no text", "a\xffb", "a\ufffdb"},
		{"byte order mark", "\ufeffa", "a"},
		{"override", "a\u202ecba\u202c d", "acba d"},
		{"open embedding", "\u202bعربي", "\u202bعربي\u202c"},
		{"open isolate ends on its line", "\u2067a\nb\u2069", "\u2067a\u2069\nb"},
		{"nested and crossed", "\u2066a\u202bb\u2069c", "\u2066a\u202bbc\u202c\u2069"},
		{"marks stand alone", "\u200fعربي\u200e", "\u200fعربي\u200e"},
		{"joiners are letters' own", "क्\u200dष 👩🏽\u200d⚕️", "क्\u200dष 👩🏽\u200d⚕️"},
		{"not normalised", "e\u0301é", "e\u0301é"},
		{"nothing", " \n\x00\n", ""},
	}
	for _, tt := range tests {
		if got := caption.Clean(tt.in); got != tt.want {
			t.Errorf("%s: Clean(%q) = %q, want %q", tt.name, tt.in, got, tt.want)
		}
	}
	if got, want := caption.CleanLine("a\nb \r\n\r\n c"), "a b c"; got != want {
		t.Errorf("CleanLine = %q, want %q", got, want)
	}
}
