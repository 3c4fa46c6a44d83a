package format_test

import (
	"strings"
	"testing"

	"sideport/timeline/format"
)

// Common practice, no source: SubRip has no standard for markup.
func TestSubRipPlainText(t *testing.T) {
	tests := []struct{ in, want string }{
		{"", ""},
		{"plain", "plain"},
		{"<b>a</b> <i>b</i> <u>c</u>", "a b c"},
		{"<B>a</B>", "a"},
		{`<font color="#ff0000">red</font> <font>x</font>`, "red x"},
		{"a <i>b\nc</i> d", "a b\nc d"},
		{"<s>x</s> <phaco>", "<s>x</s> <phaco>"},
		{"IOP < 21 and > 10", "IOP < 21 and > 10"},
		{"IOP <b", "IOP <b"},
		{"a <b <i>c</i>", "a <b c"},
		{"<b class=x>y", "<b class=x>y"},
		{"<b >y</b >", "y"},
		{"&lt;b&gt; &amp; &#8217;", "&lt;b&gt; &amp; &#8217;"},
		{`{\an8}top {\an1}x`, "top x"},
		{`{\an0}{\an10}{\pos(1,2)}{x}`, `{\an0}{\an10}{\pos(1,2)}{x}`},
		{"लेंस <i>में</i>", "लेंस में"},
	}
	for _, tt := range tests {
		if got := format.SubRipPlainText(tt.in); got != tt.want {
			t.Errorf("SubRipPlainText(%q) = %q, want %q", tt.in, got, tt.want)
		}
	}
}

// Looking for the end of each tag to the end of the text would outlast the test's
// own limit of ten minutes.
func TestSubRipPlainTextOfManyOpenTags(t *testing.T) {
	for _, unit := range []string{"<", "<b", "<font "} {
		text := strings.Repeat(unit, (16<<20)/len(unit))
		if got := format.SubRipPlainText(text); got != text {
			t.Errorf("SubRipPlainText of many %q changed the text", unit)
		}
	}
	long := "<font " + strings.Repeat("x", 1000) + ">red"
	if got := format.SubRipPlainText(long); got != long {
		t.Errorf("SubRipPlainText took %d bytes for a tag", len(long)-len(got))
	}
}
