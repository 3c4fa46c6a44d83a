package ranges_test

import (
	"testing"

	"sideport/annotate/ranges"

	"github.com/google/go-cmp/cmp"
)

// What cannot be is a stop whatever the technique and however weak the row's own
// evidence. The width of the bag is from an eye bank study (IOVS abstract 2395636);
// the rest is arithmetic.
func TestImpossibleNumbersAreStops(t *testing.T) {
	for _, tt := range []struct{ parameter, step, value, want string }{
		{"rhexis-diameter", "capsulotomy", "-5 mm", "stop: rhexis diameter -5 mm is below 0, which no length is [range/rhexis-diameter]"},
		{"inner-minus-external", "entry-extension", "-0.5 mm", "caution: inner minus external length -0.5 mm is far below 1.0–3.0 mm [range/inner-minus-external]"},
		{"stain-dwell", "capsule-stain", "-3 s", "stop: stain dwell -3 s is below 0, which no time is [range/stain-dwell]"},
		{"stain-dwell", "capsule-stain", "0 s", ""},
		{"rhexis-diameter", "capsulotomy", "15 mm", "stop: rhexis diameter 15 mm is above 10.2 mm, more than the emptied capsular bag is wide [range/rhexis-diameter]"},
	} {
		j := judge(t, ranges.Builtin(), tt.parameter, tt.step, tt.value, facts())
		if diff := cmp.Diff(tt.want, lines(j)); diff != "" {
			t.Errorf("Judge(%s, %s) (-want +got):\n%s", tt.parameter, tt.value, diff)
		}
	}
}
