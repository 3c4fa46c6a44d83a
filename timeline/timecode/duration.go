package timecode

import (
	"fmt"
	"strconv"
	"strings"
	"time"
)

// ParseClockDuration reads an elapsed time as written in a length, a pin or a
// moment of the video: "4:05.2", "0:41", "1:02:03.5", or a number of seconds
// with or without its unit: "65.2 s", "245". Parts with units add up: "1m17s",
// "2 min 5 s", "250 ms". Dates, am and pm and frames are refused.
func ParseClockDuration(s string) (time.Duration, error) {
	text := strings.TrimSpace(s)
	if strings.Contains(text, ":") || strings.Count(text, ".") == 2 {
		r, err := ParseReading(text)
		if err != nil {
			return 0, fmt.Errorf("%q is not a length of time: %w", s, err)
		}
		return elapsed(r)
	}
	if d, err := seconds(text); err == nil {
		return d, nil
	}
	var sum time.Duration
	last := time.Duration(1<<63 - 1)
	for rest := text; rest != ""; {
		n := strings.IndexFunc(rest, func(c rune) bool { return (c < '0' || c > '9') && c != '.' && c != ',' })
		if n <= 0 {
			return 0, fmt.Errorf("%q is not a length of time such as 4:05.2 or 65.2 s", s)
		}
		number := rest[:n]
		rest = strings.TrimLeft(rest[n:], " \t")
		m := strings.IndexFunc(rest, func(c rune) bool { return c < 'a' || c > 'z' })
		if m < 0 {
			m = len(rest)
		}
		unit, ok := unitOf(rest[:m])
		part, err := seconds(number)
		if !ok || err != nil || unit >= last || part > time.Duration(1<<62)/3600 {
			return 0, fmt.Errorf("%q is not a length of time such as 4:05.2 or 65.2 s", s)
		}
		if unit >= time.Second {
			sum += part * (unit / time.Second)
		} else {
			sum += part / (time.Second / unit)
		}
		last, rest = unit, strings.TrimLeft(rest[m:], " \t")
	}
	if text == "" {
		return 0, fmt.Errorf("the length of time is empty")
	}
	return sum, nil
}

// unitOf is the length of a written unit of time.
func unitOf(word string) (time.Duration, bool) {
	switch word {
	case "h", "hr", "hour", "hours":
		return time.Hour, true
	case "m", "min", "mins", "minute", "minutes":
		return time.Minute, true
	case "s", "sec", "secs", "second", "seconds":
		return time.Second, true
	case "ms":
		return time.Millisecond, true
	}
	return 0, false
}

// seconds reads "65", "65.2" or "65,2" as seconds.
func seconds(text string) (time.Duration, error) {
	whole, frac, point := strings.Cut(strings.Replace(text, ",", ".", 1), ".")
	n, err := strconv.ParseUint(whole, 10, 33)
	if err != nil {
		return 0, fmt.Errorf("%q is not a number of seconds", text)
	}
	d := time.Duration(n) * time.Second
	if !point {
		return d, nil
	}
	for _, c := range []byte(frac) {
		if c < '0' || c > '9' {
			return 0, fmt.Errorf("%q is not a number of seconds", text)
		}
	}
	if frac == "" || len(frac) > 9 {
		return 0, fmt.Errorf("%q has %d decimals where one to nine are read", text, len(frac))
	}
	return d + decimals(frac), nil
}
