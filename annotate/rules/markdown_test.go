package rules_test

import (
	"strings"
	"testing"
	"time"

	"sideport/annotate/rules"

	"github.com/google/go-cmp/cmp"
)

// What the page puts together again is found in pieces too, and stands where the
// first piece does.
func TestPrivacyOfMarkdown(t *testing.T) {
	for _, tt := range []struct {
		name, notes string
		want        string // the place, or nothing
	}{
		{"strong", "by Grün**wald**\n", "1:4"},
		{"strong from the first letter", "by **Grün**wald\n", "1:6"},
		{"emphasis", "by *Grün*wald and on\n", "1:5"},
		{"underscores", "by _G_**rün**wald\n", "1:5"},
		{"underscores inside a word stay", "a_Grün**wald**\n", "1:3"},
		{"struck through", "Grün~~wald~~\n", "1:1"},
		{"code", "Grün`wald`\n", "1:1"},
		{"an escape", "Grünwald\\-Elm: Elm Tre\\e\n", "1:1"},
		{"a named reference", "Été, by Gr&uuml;nwald\n", "1:9"},
		{"a decimal reference", "by Gr&#252;nwald\n", "1:4"},
		{"a hexadecimal reference at the start", "by &#x47;rünwald\n", "1:4"},
		{"a reference that does not show", "by Grün&shy;wald\n", "1:4"},
		{"a character that does not show", "by Grün\u200bwald\n", "1:4"},
		{"a link", "by [Grün](#a_(b))wald\n", "1:5"},
		{"a link by reference", "by [Grün][x]wald\n\n[x]: #a\n", "1:5"},
		{"the target of a link", "[x](#Gr&uuml;nwald)\n", "1:6"},
		{"brackets that are no link", "[x](by Gr&uuml;nwald alone)\n", "1:8"},
		{"a footnote mark", "Grün[^1]wald\n\n[^1]: so\n", "1:1"},
		{"a tag, which is dropped", "Grün<i class=x>wald</i>\n", "1:1"},
		{"a comment, which is dropped", "Grün<!-- so -->wald\n", "1:1"},
		{"the address of an autolink", "at <tel:gr&uuml;nwald>\n", "1:9"},
		{"two words over quoted lines", "> by Elm\n> Tree\n", "1:6"},
		{"two words and a space that does not break", "by Elm&nbsp;Tree\n", "1:4"},
		{"two words over a hard line end", "by Elm\\\nTree\n", "1:4"},
		{"line ends of two bytes", "# A\r\n\r\nby Grün**wald**\r\n", "3:4"},
		{"a telephone number", "call 98765 **43210** now\n", "1:6"},
		{"a record number", "MRN **00**731\n", "1:7"},
		{"said once", "by Grünwald, **Grün**\n", "1:4"},
		{"a mark around all of it", "by **Grünwald**\n", "1:6"},
		{"a longer hit at the same place", "call 98765 43210**9** now\n", "1:6"},
		{"a longer hit that begins before it", "+*91* 98765 43210\n", "1:7"},

		{"another word", "Grün**walde** and **Grün** wald\n", ""},
		{"signs of their own", "by Elm * Tree, 2 * 98765 _ 43210, 4 < 5 and 6 > 5\n", ""},
		{"a reference that is none", "Gr&uumlnwald Gr&nosuch;nwald\n", ""},
		{"a reference behind a backslash", "Gr\\&uuml;nwald\n", ""},
		{"a sentence and what was set aside", "[by](#Elm)\n\n[x](#Tree)\n", ""},
		{"brackets without a partner", "Grün]( ( [^ <i wald\n", ""},
		{"nothing", "", ""},
	} {
		t.Run(tt.name, func(t *testing.T) {
			var want []string
			if tt.want != "" {
				want = []string{"case/notes.md:" + tt.want}
			}
			got := stops(t, map[string]string{"case.yaml": head + "private-words: [Grünwald, Elm Tree]\n", "notes.md": tt.notes})
			if diff := cmp.Diff(want, got); diff != "" {
				t.Errorf("stops of %q (-want +got):\n%s", tt.notes, diff)
			}
		})
	}
}

// Markup without end costs no more than its length: the square of it would be hours.
func TestPrivacyOfMarkdownIsLinear(t *testing.T) {
	start := time.Now()
	for _, piece := range []string{"*", "_a", "](", "[^", "<a ", "<a@", "&#", ">", "\\", "`x ", "(](", "[x](a "} {
		c := resolve(t, folder(t, "case", map[string]string{"case.yaml": head, "notes.md": strings.Repeat(piece, 200_000)}))
		rules.CheckPrivacy(c)
		t.Logf("%q: %v", piece, time.Since(start))
	}
	if took := time.Since(start); took > 2*time.Minute {
		t.Errorf("took %v", took)
	}
}
