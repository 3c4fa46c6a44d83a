package format

import (
	"fmt"
	"math/big"
	"strconv"
	"strings"
	"time"
)

// chapterClock reads the whole of text as [hours:]minutes:seconds with up to nine
// decimals behind one of marks, space at both ends passed over. The fault's place
// counts in text.
func chapterClock(text, marks string) (time.Duration, *fault) {
	body := strings.Trim(text, asciiSpace)
	lead := strings.Index(text, body)
	var fields []field
	i := 0
	for {
		run := digits([]byte(body), i)
		if len(run) == 0 || len(fields) > 0 && len(run) > 2 {
			return 0, &fault{lead + i, clockForm(body)}
		}
		fields = append(fields, field{lead + i, run})
		i += len(run)
		if i >= len(body) || body[i] != ':' || len(fields) == 3 {
			break
		}
		i++
	}
	if len(fields) < 2 {
		return 0, &fault{lead, clockForm(body)}
	}
	d, f := clockTime(fields)
	if f != nil || i == len(body) {
		return d, f
	}
	frac := digits([]byte(body), i+1)
	switch {
	case strings.IndexByte(marks, body[i]) < 0 || len(frac) == 0 || i+1+len(frac) < len(body):
		return 0, &fault{lead + i, clockForm(body)}
	case len(frac) > 9:
		return 0, &fault{lead + i + 1, fmt.Sprintf("has %d decimals where a nanosecond has nine", len(frac))}
	}
	n, _ := strconv.Atoi(string(frac) + strings.Repeat("0", 9-len(frac)))
	return d + time.Duration(n), nil
}

func clockForm(text string) string {
	return "is " + quoted([]byte(text)) + ", not of the form HH:MM:SS.nnn"
}

// mostDigits bounds a number of seconds: more digits than these name no moment of
// a video and only cost time.
const mostDigits = 40

// exactSeconds is secondsNumber with text quoted in what says why there is none.
func exactSeconds(text string) (d time.Duration, what string) {
	d, what = secondsNumber(text)
	if what != "" {
		what = "is " + quoted([]byte(text)) + ", " + what
	}
	return d, what
}

// noSeconds and tooLate are why a text is no time of a list.
const noSeconds = "not a number of seconds"

var tooLate = fmt.Sprintf("later than %d hours, the most that is held here", maxHours)

// secondsNumber reads a decimal number of seconds, such as 94.5 or 1.5e2, as a
// duration rounded half up to the nanosecond, without passing through a binary
// fraction. what says why there is none.
func secondsNumber(text string) (d time.Duration, what string) {
	mantissa, exponent := text, 0
	if i := strings.IndexAny(text, "eE"); i >= 0 {
		e, err := strconv.Atoi(text[i+1:])
		if err != nil || e > mostDigits || e < -mostDigits {
			return 0, noSeconds
		}
		mantissa, exponent = text[:i], e
	}
	body, negative := strings.CutPrefix(mantissa, "-")
	whole, frac, point := strings.Cut(body, ".")
	if whole == "" || point && frac == "" || strings.Trim(whole+frac, "0123456789") != "" || len(whole)+len(frac) > mostDigits {
		return 0, noSeconds
	}
	if negative && strings.Trim(whole+frac, "0") != "" {
		return 0, "below 0"
	}
	n, _ := new(big.Int).SetString(whole+frac, 10)
	ten := func(n int) *big.Int { return new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(n)), nil) }
	// n x 10^shift nanoseconds.
	if shift := exponent - len(frac) + 9; shift >= 0 {
		n.Mul(n, ten(shift))
	} else {
		unit := ten(-shift)
		n.Add(n, new(big.Int).Quo(unit, big.NewInt(2)))
		n.Quo(n, unit)
	}
	if !n.IsInt64() || n.Int64()/int64(time.Hour) > maxHours {
		return 0, tooLate
	}
	return time.Duration(n.Int64()), ""
}
