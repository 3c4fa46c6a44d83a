package timecode

import (
	"fmt"
	"time"
)

// Format prints d for people, rounded half up to the tenth of a second: "1:17.0"
// below an hour, "1:02:03.5" from there on.
func Format(d time.Duration) string {
	sign, tenths := split(d, 100*time.Millisecond)
	return sign + short(tenths/10) + fmt.Sprintf(".%d", tenths%10)
}

// FormatShort prints the whole seconds of d, cut and not rounded, so that the
// moment named is never after d: "1:17", "1:02:03".
func FormatShort(d time.Duration) string {
	sign := ""
	if d < 0 {
		sign, d = "-", -d
	}
	return sign + short(int64(d/time.Second))
}

// FormatMS prints d with two or more digits of hours and three decimals, rounded
// half up to the millisecond: "00:01:17.000".
func FormatMS(d time.Duration) string {
	sign, ms := split(d, time.Millisecond)
	s := ms / 1000
	return fmt.Sprintf("%s%02d:%02d:%02d.%03d", sign, s/3600, s/60%60, s%60, ms%1000)
}

func short(s int64) string {
	if s < 3600 {
		return fmt.Sprintf("%d:%02d", s/60, s%60)
	}
	return fmt.Sprintf("%d:%02d:%02d", s/3600, s/60%60, s%60)
}

// split returns the sign of d and its size in units, rounded half up.
func split(d, unit time.Duration) (sign string, units int64) {
	if d < 0 {
		sign, d = "-", -d
	}
	units = int64(d / unit)
	if d%unit >= unit-unit/2 {
		units++
	}
	if units == 0 {
		sign = ""
	}
	return sign, units
}
