package format

import (
	"math/big"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// The forms mkvmerge 74.0 takes and refuses, tried with it, less its units (5s)
// and a colon in front of decimals, which it alone knows.
func TestChapterClock(t *testing.T) {
	for text, want := range map[string]time.Duration{
		"00:00:01.5": 1500 * time.Millisecond, "5:00": 5 * time.Minute, "100:00:00.5": 100*time.Hour + 500*time.Millisecond,
		"0:0:1": time.Second, "00:00:00.000000001": 1, "1:02.123456789": 62123456789,
	} {
		if got, f := chapterClock(text, "."); f != nil || got != want {
			t.Errorf("chapterClock(%q) = %v, %v, want %v", text, got, f, want)
		}
	}
	for text, at := range map[string]int{
		"5": 0, "1.5": 0, "00:99:00": 3, "00:00:75": 6, "00:00:01,5": 8, "-00:00:01": 0, "00:00:01.1234567891": 9,
		"00:00:01.": 8, "": 0, "00:00:01x": 8, "1:2:3:4": 5, "0:000:1": 2, "99999999:00:00": 0,
	} {
		if got, f := chapterClock(text, "."); f == nil || f.at != at {
			t.Errorf("chapterClock(%q) = %v, fault %v, want one at %d", text, got, f, at)
		}
	}
	if got, f := chapterClock(" 0:03\t", "."); f != nil || got != 3*time.Second {
		t.Errorf("chapterClock between spaces = %v, %v, want 3s", got, f)
	}
	if _, f := chapterClock("\n 5:00 6", "."); f == nil || f.at != 6 {
		t.Errorf("chapterClock of a time and more: %v, want a fault at 6", f)
	}
}

func TestExactSeconds(t *testing.T) {
	for text, want := range map[string]time.Duration{
		"0": 0, "94.5": 94500 * time.Millisecond, "0.1": 100 * time.Millisecond, "1e2": 100 * time.Second, "1.5E-3": 1500 * time.Microsecond,
		"0.0000000005": 1, "0.00000000049": 0, "4503599.627370497": 4503599627370497, "9007199.254740993": 9007199254740993, "-0": 0, "0e40": 0,
	} {
		if got, what := exactSeconds(text); what != "" || got != want {
			t.Errorf("exactSeconds(%q) = %d, %q, want %d", text, got, what, want)
		}
	}
	for _, text := range []string{"", "-1", "1.", ".5", "1e", "1e999999999", "1,5", "0x1", "NaN", "9223372036", "1e40", strings.Repeat("9", 41), "1e-41"} {
		if got, what := exactSeconds(text); what == "" {
			t.Errorf("exactSeconds(%q) = %v, want none", text, got)
		}
	}
}

// Check against math/big, which reads the same literal as a fraction.
func TestExactSecondsAgainstBig(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`(0|[1-9][0-9]{0,8})(\.[0-9]{1,18})?(e-?[0-9])?`).Draw(t, "text")
		exact, _ := new(big.Rat).SetString(text)
		exact.Mul(exact, big.NewRat(int64(time.Second), 1))
		if limit := new(big.Rat).SetInt64(maxHours * int64(time.Hour)); exact.Cmp(limit) >= 0 {
			t.Skip("later than is held")
		}
		got, what := exactSeconds(text)
		off := new(big.Rat).Sub(new(big.Rat).SetInt64(int64(got)), exact)
		if half := big.NewRat(1, 2); what != "" || off.Cmp(half) > 0 || off.Cmp(new(big.Rat).Neg(half)) <= 0 {
			t.Errorf("exactSeconds(%q) = %d, %q, off by %s ns", text, got, what, off.FloatString(3))
		}
	})
}
