package format

import (
	"errors"
	"strings"
	"time"

	"sideport/timeline/timecode"
)

// cellTime reads a cell that is one time or a span of two, written in a unit; rate is
// known where the unit is frames. The error quotes nothing of the cell but what looks
// like a time, since a wrong column may hold a name.
func cellTime(c csvCell, unit csvUnit, rate timecode.Rate) (timecode.Reading, *timecode.Reading, error) {
	switch unit {
	case unitSeconds:
		r, err := secondsReading(c.text)
		return r, nil, err
	case unitMilliseconds:
		n, ok := wholeNumber(c.text)
		if !ok {
			return timecode.Reading{}, nil, errors.New("not a whole number of milliseconds")
		}
		if n/time.Hour.Milliseconds() > maxHours {
			return timecode.Reading{}, nil, errors.New(tooLate)
		}
		return elapsedReading(c.text, time.Duration(n)*time.Millisecond), nil, nil
	case unitFrames:
		n, ok := wholeNumber(c.text)
		if !ok {
			return timecode.Reading{}, nil, errors.New("not the whole number of a frame")
		}
		d := rate.Duration(n) // the largest there is for what does not fit
		if int64(d/time.Hour) > maxHours {
			return timecode.Reading{}, nil, errors.New(tooLate)
		}
		return elapsedReading(c.text, d), nil, nil
	}
	at, end, rest, _, err := timecode.Cut(c.text)
	if err == nil && rest != "" {
		err = errors.New("more stands in the cell than a time")
	}
	if unit == unitUTC && err == nil && at.Date != "" && at.Zone == "" {
		at.Zone = "Z" // the column's name says it
	}
	return at, end, err
}

// wholeNumber reads decimal digits and nothing else.
func wholeNumber(text string) (int64, bool) {
	if text == "" || len(text) > 16 {
		return 0, false
	}
	n := int64(0)
	for _, c := range []byte(text) {
		if !isDigit(c) {
			return 0, false
		}
		n = n*10 + int64(c-'0')
	}
	return n, true
}

// secondsReading is a number of seconds as a reading of minutes and seconds. What is
// written with its own unit or as a clock shows it, "65.2 s" or "1:05.2", stands for
// itself.
func secondsReading(text string) (timecode.Reading, error) {
	if strings.Trim(text, "0123456789.,+-eE") == "" {
		d, what := secondsNumber(strings.Replace(text, ",", ".", 1))
		if what != "" {
			return timecode.Reading{}, errors.New(what)
		}
		return elapsedReading(text, d), nil
	}
	if strings.Contains(text, ":") {
		r, err := timecode.ParseReading(text)
		if err != nil {
			return timecode.Reading{}, err
		}
		d, err := timecode.Clock{Kind: timecode.Elapsed}.Time(r)
		if err != nil {
			return timecode.Reading{}, err
		}
		return elapsedReading(text, d), nil
	}
	d, err := timecode.ParseClockDuration(text)
	if err != nil {
		return timecode.Reading{}, errors.New(noSeconds) // its own error quotes the cell
	}
	return elapsedReading(text, d), nil
}

// elapsedReading is a time from the start of the recording that text stands for.
func elapsedReading(text string, d time.Duration) timecode.Reading {
	return timecode.Reading{
		Text:   text,
		Fields: []int{int(d / time.Minute), int(d % time.Minute / time.Second)},
		Frac:   d % time.Second,
	}
}
