package media

import (
	"fmt"

	"sideport/timeline/timecode"
)

// Code is the SMPTE timecode that a file gives for its first picture. Text is
// empty when there is none. Rate is zero when the file counts at a rate timecode
// is not defined for or states none: Frame is then 0 and means nothing.
type Code struct {
	Text  string        // 01:00:00:12, with ';' before the frames when counted drop-frame
	Rate  timecode.Rate // with Drop set when counted drop-frame
	Frame int64         // from 00:00:00:00
}

// writtenCode is a timecode as a tag has it, at the rate of the file's picture. A
// text that is no timecode gives none, and one that its rate does not have keeps
// its text alone, as it is written.
func writtenCode(text string, rate timecode.Rate) Code {
	r, err := timecode.ParseReading(text)
	if err != nil || len(r.Fields) != 4 {
		return Code{}
	}
	c := Code{Text: r.Text}
	rate = codeRate(uint64(rate.Num), uint64(rate.Den), r.Drop)
	if rate.IsZero() || r.Drop != rate.Drop {
		return c
	}
	frame, err := rate.Frame(r.Fields[0], r.Fields[1], r.Fields[2], r.Fields[3])
	if err != nil {
		return c
	}
	c.Text, c.Rate, c.Frame = rate.CodeText(frame), rate, frame // the hours of "1:00:00;02" get their zero
	return c
}

// countedCode is the timecode of a frame number, which files keep beside the rate
// and the number of codes in a second.
func countedCode(frame int64, num, den uint64, perSecond int64, drop bool) Code {
	rate := codeRate(num, den, drop)
	if rate.IsZero() {
		if perSecond <= 0 || drop {
			return Code{}
		}
		s := frame / perSecond
		return Code{Text: fmt.Sprintf("%02d:%02d:%02d:%02d", s/3600%24, s/60%60, s%60, frame%perSecond)}
	}
	return Code{Text: rate.CodeText(frame), Rate: rate, Frame: frame}
}

// codeRate is the rate timecode is defined for that num/den stands for, or zero.
// Recorders round: 2997/100 and 30000/1001 are one rate. Rates of the list lie
// 1/1000 apart at the least; what lies within 1/5000 of one is taken for it.
func codeRate(num, den uint64, drop bool) timecode.Rate {
	if num == 0 || den == 0 || num > 1<<32 || den > 1<<32 {
		return timecode.Rate{}
	}
	for _, r := range timecode.Rates() {
		// num/den and r.Num/r.Den over one denominator; with num at most 240 a
		// second both products stay below 2^62
		if num/den > 240 {
			break
		}
		a, b := num*uint64(r.Den), uint64(r.Num)*den
		if off := max(a, b) - min(a, b); off <= b/5000 {
			r.Drop = drop && r.HasDrop()
			return r
		}
	}
	return timecode.Rate{}
}
