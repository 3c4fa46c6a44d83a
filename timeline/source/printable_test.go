package source_test

import (
	"testing"

	"sideport/timeline/source"
)

func TestPrintable(t *testing.T) {
	for _, tt := range []struct{ name, in, want string }{
		{"plain", "rhexis 6 mm\n\tnext µ", "rhexis 6 mm\n\tnext µ"},
		{"escape sequence and bell", "a\x1b[31mb\a", "a[31mb"},
		{"override of direction", "a\u202Eb\u2066c", "abc"},
		{"right-to-left letters stay", "שלום", "שלום"},
		{"NUL and C1", "a\x00b\u0085c", "abc"},
	} {
		if got := source.Printable(tt.in); got != tt.want {
			t.Errorf("%s: Printable(%q) = %q, want %q", tt.name, tt.in, got, tt.want)
		}
	}
}
