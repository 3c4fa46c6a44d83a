package format_test

import (
	"html"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"sideport/timeline/format"
)

// TestPlainText: W3C, WebVTT, "WebVTT cue text tokenizer", and the HTML standard,
// "consume a character reference", outside attributes.
func TestPlainText(t *testing.T) {
	tests := []struct{ in, want string }{
		{"", ""},
		{"rhexis 5.5 mm", "rhexis 5.5 mm"},
		{"a\nb", "a\nb"},
		{"<b>bold</b> <i>it</i> <u>un</u> <c.red>c</c>", "bold it un c"},
		{"<v.loud Dr A>text</v>", "text"},
		{"<lang hi>लेंस</lang>", "लेंस"},
		{"<ruby>base<rt>small</rt></ruby>", "basesmall"},
		{"a<00:01.000>b", "ab"},
		{"<unknown>kept</unknown>", "kept"},
		{"IOP < 21", "IOP "}, // a "<" always begins a tag
		{"a <b", "a "},
		{"a > b", "a > b"},
		{"<>x</>y", "xy"},
		{"<v a&gt;b>x", "x"},
		{"<b\n>x", "x"},
		// Named references.
		{"a &amp; b &lt;c&gt;", "a & b <c>"},
		{"&lrm;&rlm;&nbsp;", "\u200e\u200f\u00a0"},
		{"&micro;m &plusmn; &le; &ge; &deg; &mdash;", "µm ± ≤ ≥ ° —"},
		{"&NotEqualTilde;", "\u2242\u0338"},
		{"&", "&"}, {"&;", "&;"}, {"& b", "& b"}, {"A&B", "A&B"}, {"&&amp;", "&&"}, {"&<i>x", "&x"},
		{"&nosuch;", "&nosuch;"}, {"&amp", "&"}, {"&ampx", "&x"}, {"&not", "¬"}, {"&notit;", "¬it;"}, {"&notin;", "∉"},
		{"&lsqb;", "["}, {"&lsqb", "&lsqb"}, // no form without the semicolon
		{"&amp;lt;", "&lt;"}, // decoded once
		// Numeric references.
		{"&#8217;&#x2019;&#X2019;", "’’’"},
		{"&#65", "A"}, {"&#65x", "Ax"}, {"&#9", "\t"}, {"&#9;x", "\tx"}, {"&#x41g", "Ag"}, {"&#x4aF;", "\u04af"},
		{"&#", "&#"}, {"&#;", "&#;"}, {"&#x", "&#x"}, {"&#x;", "&#x;"}, {"&#xg", "&#xg"}, {"&#a", "&#a"},
		{"&#0;", "\uFFFD"}, {"&#xD800;", "\uFFFD"}, {"&#x110000;", "\uFFFD"}, {"&#99999999999999999999;", "\uFFFD"}, {"&#x10FFFF;", "\U0010FFFF"},
		{"&#128;&#146;&#159;", "€’Ÿ"}, {"&#129;", "\u0081"},
	}
	for _, tt := range tests {
		if got := format.PlainText(tt.in); got != tt.want {
			t.Errorf("PlainText(%q) = %q, want %q", tt.in, got, tt.want)
		}
	}
}

// TestPlainTextAgreesWithHTML: on text without tags the Go library's decoder
// says the same, but for the numeric forms it is known to read otherwise.
func TestPlainTextAgreesWithHTML(t *testing.T) {
	for _, in := range []string{
		"&aacute;&Eacute;l", "&copy&reg", "&frac12;&half;", "&alpha;&beta;&Omega;", "&hellip;…", "&#227;&#xE3;", "&acE;", "&notinva;", "&times;&timesbar;",
		"&ApplyFunction;&CounterClockwiseContourIntegral;", "&zwj;&zwnj;", "&Tab;&NewLine;", "&#150;&#x96;",
	} {
		if got, want := format.PlainText(in), html.UnescapeString(in); got != want {
			t.Errorf("PlainText(%q) = %q, want %q", in, got, want)
		}
	}
}

func TestCueTokens(t *testing.T) {
	got := []format.CueToken{}
	for token := range format.CueTokens("a&lt;<v.x..y  Dr&amp;\t B >b<00:01.000></v ><c.z><") {
		got = append(got, token)
	}
	want := []format.CueToken{
		{Kind: format.TextToken, Text: "a<"},
		{Kind: format.StartTag, Name: "v", Classes: []string{"x", "y"}, Annotation: "Dr& B"},
		{Kind: format.TextToken, Text: "b"},
		{Kind: format.TimestampTag, Text: "00:01.000"},
		{Kind: format.EndTag, Name: "v "},
		{Kind: format.StartTag, Name: "c", Classes: []string{"z"}},
		{Kind: format.StartTag},
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("CueTokens (-want +got):\n%s", diff)
	}
	for range format.CueTokens("<b>a</b>") {
		break // leaving early is allowed, at a tag
	}
	for range format.CueTokens("a<b>") {
		break // and at a text
	}
}

func TestVoices(t *testing.T) {
	tests := []struct {
		in   string
		want []string
	}{
		{"no voice", nil},
		{"<v>nobody</v>", nil},
		{"<v Surgeon>a</v> <v.low  Scrub \n nurse >b</v> <v Surgeon>c", []string{"Surgeon", "Scrub nurse"}},
		{"<v A&amp;B>x", []string{"A&B"}},
	}
	for _, tt := range tests {
		if diff := cmp.Diff(tt.want, format.Voices(tt.in)); diff != "" {
			t.Errorf("Voices(%q) (-want +got):\n%s", tt.in, diff)
		}
	}
}

// TestChapterTitle: W3C, WebVTT, "rules for extracting the chapter title".
func TestChapterTitle(t *testing.T) {
	tests := []struct{ in, want string }{
		{"Capsulotomy &amp; hydro", "Capsulotomy & hydro"},
		{"<b>Nucleus</b> out", "Nucleus out"},
		{"<ruby>base<rt>small</rt>more</ruby>!", "basemore!"},
		{"<ruby>base<rt>small</ruby>!", "base!"},
		{"<rt>no ruby</rt>", "no ruby"},
		{"<ruby>a<rt><b>x</rt>y</b></rt>z", "az"},
	}
	for _, tt := range tests {
		if got := format.ChapterTitle(tt.in); got != tt.want {
			t.Errorf("ChapterTitle(%q) = %q, want %q", tt.in, got, tt.want)
		}
	}
}

// Not linear, these would not end within the time a test has.
func TestPlainTextOfLongInput(t *testing.T) {
	const n = 1 << 20
	for _, in := range []string{strings.Repeat("<", n), strings.Repeat("&", n), "&" + strings.Repeat("a", n), "&#" + strings.Repeat("9", n), strings.Repeat("<b>", n/3)} {
		if got := len(format.PlainText(in)); got > n+1 {
			t.Errorf("PlainText of %d bytes gives %d", len(in), got)
		}
	}
}

// Looking through all open elements for each text would outlast the test's own
// limit of ten minutes.
func TestChapterTitleInManyOpenElements(t *testing.T) {
	const n = 1 << 20
	text := strings.Repeat("<b>a", n) + "<ruby>b<rt>c<i>d</i></rt>e<rt>f</ruby>g"
	if got, want := format.ChapterTitle(text), strings.Repeat("a", n)+"beg"; got != want {
		t.Errorf("ChapterTitle ends in %q of %d bytes, want %q of %d", got[max(0, len(got)-5):], len(got), want[len(want)-5:], len(want))
	}
}
