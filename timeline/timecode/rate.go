package timecode

import (
	"fmt"
	"strconv"
	"strings"
)

// Rate is a number of frames a second as an exact fraction. Drop says that the
// rate's timecode is counted drop-frame. The zero Rate is an unknown one.
type Rate struct {
	Num, Den int64
	Drop     bool
}

// named lists the rates that timecode is written at and the labels they go by.
// Source: SMPTE ST 12-1:2014 as listed in OpenTimelineIO, opentime/rationalTime.cpp;
// the shortened decimals are common practice.
var named = [...]struct {
	rate   Rate
	labels []string // the first is how the rate prints
}{
	{Rate{Num: 24000, Den: 1001}, []string{"23.976", "23.98", "23.97"}},
	{Rate{Num: 24, Den: 1}, []string{"24"}},
	{Rate{Num: 25, Den: 1}, []string{"25"}},
	{Rate{Num: 30000, Den: 1001}, []string{"29.97"}},
	{Rate{Num: 30, Den: 1}, []string{"30"}},
	{Rate{Num: 48000, Den: 1001}, []string{"47.952", "47.95"}},
	{Rate{Num: 48, Den: 1}, []string{"48"}},
	{Rate{Num: 50, Den: 1}, []string{"50"}},
	{Rate{Num: 60000, Den: 1001}, []string{"59.94"}},
	{Rate{Num: 60, Den: 1}, []string{"60"}},
}

// ParseRate reads a frame rate: a decimal label ("25", "29.97"), a fraction
// ("30000/1001"), either with "fps" behind it and with "drop" or "df",
// "non-drop" or "ndf" at the end. Only the rates timecode is defined for are
// accepted, and drop only at 29.97 and 59.94.
func ParseRate(s string) (Rate, error) {
	text := strings.ToLower(strings.TrimSpace(s))
	drop := false
	for _, mark := range []struct {
		word string
		drop bool
	}{{"non-drop", false}, {"ndf", false}, {"drop-frame", true}, {"drop", true}, {"df", true}} {
		if rest, ok := strings.CutSuffix(text, mark.word); ok {
			text, drop = strings.TrimSpace(rest), mark.drop
			break
		}
	}
	text = strings.TrimSpace(strings.TrimSuffix(text, "fps"))
	rate, ok := lookUp(text)
	if !ok {
		return Rate{}, fmt.Errorf("frame rate %q is none of %s", s, rateList())
	}
	rate.Drop = drop
	if drop && !rate.HasDrop() {
		return Rate{}, fmt.Errorf("drop-frame counting exists at 29.97 and 59.94 frames a second, not at %q", text)
	}
	return rate, nil
}

func lookUp(text string) (Rate, bool) {
	if num, den, ok := strings.Cut(text, "/"); ok {
		n, err := strconv.ParseInt(strings.TrimSpace(num), 10, 32)
		if err != nil {
			return Rate{}, false
		}
		d, err := strconv.ParseInt(strings.TrimSpace(den), 10, 32)
		if err != nil || n <= 0 || d <= 0 {
			return Rate{}, false
		}
		for _, r := range named {
			if r.rate.Num*d == n*r.rate.Den {
				return r.rate, true
			}
		}
		return Rate{}, false
	}
	if whole, zeros, ok := strings.Cut(text, "."); ok && zeros != "" && strings.Trim(zeros, "0") == "" {
		text = whole // "25.000"
	}
	for _, r := range named {
		for _, label := range r.labels {
			if text == label {
				return r.rate, true
			}
		}
	}
	return Rate{}, false
}

func rateList() string {
	var labels []string
	for _, r := range named {
		labels = append(labels, r.labels[0])
	}
	return strings.Join(labels, ", ")
}

// Rates are the rates that timecode is written at, slow to fast, none marked as drop.
// The list is new at each call. Source: SMPTE ST 12-1:2014, as at [ParseRate].
func Rates() []Rate {
	var list []Rate
	for _, r := range named {
		list = append(list, r.rate)
	}
	return list
}

// HasDrop reports whether timecode at this rate can be counted drop-frame, whether or
// not it is. Source: SMPTE ST 12-1:2014, which defines it at 29.97 and 59.94.
func (r Rate) HasDrop() bool { return r.dropped() > 0 }

// IsZero reports whether the rate is unknown.
func (r Rate) IsZero() bool { return r.Num <= 0 || r.Den <= 0 }

// String is the rate's usual label ("29.97 drop"), or the fraction when it has
// none, or "unknown".
func (r Rate) String() string {
	if r.IsZero() {
		return "unknown"
	}
	text := fmt.Sprintf("%d/%d", r.Num, r.Den)
	for _, n := range named {
		if n.rate.Num*r.Den == r.Num*n.rate.Den {
			text = n.labels[0]
		}
	}
	if r.Drop {
		text += " drop"
	}
	return text
}
