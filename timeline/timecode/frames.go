package timecode

import (
	"errors"
	"fmt"
	"math/bits"
	"time"
)

// nominal is the number of frame codes in a second: 30 for 29.97.
func (r Rate) nominal() int64 { return (r.Num + r.Den - 1) / r.Den }

// dropped is how many codes drop-frame counting leaves out at the start of a
// minute, or 0 for a rate that has no such counting.
func (r Rate) dropped() int64 {
	if r.Den != 1001 {
		return 0
	}
	switch r.Num {
	case 30000:
		return 2
	case 60000:
		return 4
	}
	return 0
}

// Frame returns the number of the frame that carries the timecode h:m:s:f,
// counted from 00:00:00:00. A code that does not exist at r is an error, which names
// a field and never quotes the code: it may be the time of day.
// Source of the drop-frame formula: SMPTE ST 12-1:2014.
func (r Rate) Frame(h, m, s, f int) (int64, error) {
	n := r.nominal()
	switch {
	case r.IsZero():
		return 0, errNoRate
	case h < 0 || m < 0 || s < 0 || f < 0:
		return 0, fmt.Errorf("a timecode field is below 0")
	case h > 23:
		return 0, above("hours", h, 23)
	case m > 59:
		return 0, above("minutes", m, 59)
	case s > 59:
		return 0, above("seconds", s, 59)
	case int64(f) >= n:
		return 0, fmt.Errorf("frame %02d does not exist at %s frames a second (00 to %d)", f, r, n-1)
	}
	minutes := int64(h)*60 + int64(m)
	frame := (minutes*60+int64(s))*n + int64(f)
	if !r.Drop {
		return frame, nil
	}
	d := r.dropped()
	if s == 0 && m%10 != 0 && int64(f) < d {
		return 0, errors.New("drop-frame counting leaves this timecode out")
	}
	return frame - d*(minutes-minutes/10), nil
}

// Code is the inverse of Frame. Frames past a day wrap to 00:00:00:00, as a
// recorder's counter does; frame must not be negative.
func (r Rate) Code(frame int64) (h, m, s, f int) {
	frame %= r.FramesPerDay()
	n := r.nominal()
	if r.Drop {
		d := r.dropped()
		perTen, perOne := 600*n-9*d, 60*n-d
		tens, rest := frame/perTen, frame%perTen
		frame += 9 * d * tens
		if rest >= 60*n { // the first minute of ten leaves nothing out
			frame += d * ((rest-60*n)/perOne + 1)
		}
	}
	total := frame / n
	return int(total / 3600), int(total / 60 % 60), int(total % 60), int(frame % n)
}

// CodeText is Code as text: "01:00:00:12", with ';' before the frames when r
// counts drop-frame.
func (r Rate) CodeText(frame int64) string {
	h, m, s, f := r.Code(frame)
	mark := ":"
	if r.Drop {
		mark = ";"
	}
	return fmt.Sprintf("%02d:%02d:%02d%s%02d", h, m, s, mark, f)
}

// FramesPerDay is how many frames pass until the timecode shows the same code again:
// 24 hours of codes, which last 86 486.4 s at 29.97 and 86 399.9136 s counted
// drop-frame. r must be known.
func (r Rate) FramesPerDay() int64 {
	day := 86400 * r.nominal()
	if r.Drop {
		day -= r.dropped() * (1440 - 144)
	}
	return day
}

// Duration is the time at which a frame starts, rounded to the nearest
// nanosecond. frame must not be negative and r must be known.
func (r Rate) Duration(frame int64) time.Duration {
	return time.Duration(mulDiv(frame, r.Den*int64(time.Second), r.Num))
}

// FrameAt is the frame nearest to d, so that FrameAt(Duration(n)) is n even when
// d went through a format that keeps milliseconds only. d must not be negative.
func (r Rate) FrameAt(d time.Duration) int64 {
	return mulDiv(int64(d), r.Num, r.Den*int64(time.Second))
}

// mulDiv is a*b/c rounded half up, exact for any non-negative a and b whose
// result fits 63 bits, and the largest int64 for others.
func mulDiv(a, b, c int64) int64 {
	hi, lo := bits.Mul64(uint64(a), uint64(b))
	lo, carry := bits.Add64(lo, uint64(c)/2, 0)
	hi += carry
	if hi >= uint64(c) {
		return 1<<63 - 1
	}
	q, _ := bits.Div64(hi, lo, uint64(c))
	return int64(min(q, 1<<63-1))
}

// CountedAs is r counted drop-frame where every timecode of a list is written so, with a
// semicolon before its frames, and r has such counting; else r. A day of such a list is
// shorter by the codes left out, which [Clock.DayLength] has to know.
func (r Rate) CountedAs(list []Reading) Rate {
	if r.dropped() == 0 || r.Drop {
		return r
	}
	codes := 0
	for _, t := range list {
		if len(t.Fields) != 4 {
			continue
		}
		if !t.Drop {
			return r
		}
		codes++
	}
	r.Drop = codes > 0
	return r
}
