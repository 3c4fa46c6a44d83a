package format

import (
	"fmt"
	"math/big"
	"strings"
	"time"

	"sideport/timeline"
	"sideport/timeline/source"
	"sideport/timeline/timecode"
)

// event turns frames into time. Black has no source.
func (r *edlReading) event(e timedEvent) (timeline.EditEvent, bool) {
	ev := timeline.EditEvent{
		Reel: e.reel, Clip: e.clip, Pos: r.src.Pos(e.at), Speed: timeline.Ratio{Den: 1},
		Record: timeline.Span{From: r.rate.Duration(e.recordIn - r.first)},
	}
	if e.recordOut <= e.recordIn {
		return ev, r.fault(e.times[3].at, "read/edit-span", "the event ends in the video where it begins, or before; it is left out")
	}
	ev.Record.To = r.rate.Duration(e.recordOut - r.first)
	if strings.EqualFold(e.reel, "BL") {
		ev.Shows = timeline.Black
		return ev, true
	}
	if ok := r.speed(e, &ev); !ok {
		return ev, false
	}
	ev.Source.From = r.rate.Duration(e.sourceIn)
	return ev, true
}

// speed sets what an event shows, at which speed, and where its source ends. An M2
// line gives the speed to a decimal or two: where the source timecodes agree with it
// they are the finer statement, else the line counts.
func (r *edlReading) speed(e timedEvent, ev *timeline.EditEvent) bool {
	taken, record := e.sourceOut-e.sourceIn, e.recordOut-e.recordIn
	if e.speed == nil {
		if taken <= 0 {
			return r.fault(e.times[1].at, "read/edit-span", "the event ends in its source where it begins, or before; it is left out")
		}
		if ev.Speed = ratio(big.NewRat(taken, record)); taken != record {
			r.caution(e.times[0].at, "the event takes %d frames of its source for %d of video and no line M2 gives a speed; it is taken to be shown at %s times its speed",
				taken, record, decimal(ev.Speed))
		}
		ev.Source.To = r.rate.Duration(e.sourceOut)
		return true
	}
	perSecond, err := edlSpeed(e.speed.text)
	if err != nil {
		return r.fault(e.speed.at, "read/edit-speed", "the speed of the event is left out with it: "+err.Error())
	}
	speed := new(big.Rat).Mul(perSecond, big.NewRat(r.rate.Den, r.rate.Num))
	ev.Source.To = r.rate.Duration(max(e.sourceOut, e.sourceIn))
	ev.Speed = ratio(speed)
	switch speed.Sign() {
	case 0:
		ev.Shows = timeline.Freeze
		return true
	case -1:
		ev.Shows = timeline.Reverse
		return true
	}
	due := new(big.Rat).Mul(speed, big.NewRat(record, 1))
	if taken > 0 && r.agrees(due, taken, record) {
		ev.Speed = ratio(big.NewRat(taken, record))
		return true
	}
	if taken > 0 && taken != record { // the length of the video in both columns is a usual way of writing
		r.caution(e.speed.at, "the event takes %d frames of its source for %d of video, and its line M2 says %s times its speed; the line counts",
			taken, record, decimal(ev.Speed))
	}
	end := due.Add(due, big.NewRat(e.sourceIn, 1))
	ev.Source.To = duration(end.Mul(end, big.NewRat(r.rate.Den, r.rate.Num)))
	return true
}

// agrees reports whether the frames that a speed asks for are those taken, but for one
// frame and for half of the speed's first decimal.
func (r *edlReading) agrees(due *big.Rat, taken, record int64) bool {
	off := new(big.Rat).Sub(due, big.NewRat(taken, 1))
	slack := new(big.Rat).Mul(big.NewRat(record, 20), big.NewRat(r.rate.Den, r.rate.Num))
	return off.Abs(off).Cmp(slack.Add(slack, big.NewRat(1, 1))) <= 0
}

// maxSpeedDigits bounds the frames a second of an M2 line, so that the source of a day
// of video is a time that can be told.
const maxSpeedDigits = 6

// edlSpeed reads the frames a second of an M2 line: a decimal, or the label of a rate,
// with a sign.
func edlSpeed(text string) (*big.Rat, error) {
	bare := strings.TrimLeft(text, "+-")
	whole, decimals, _ := strings.Cut(bare, ".")
	if len(bare) > 12 || len(text)-len(bare) > 1 || !allDigits(whole+decimals) {
		return nil, fmt.Errorf("frames a second are written as 050.0 or -025.0")
	}
	speed, _ := new(big.Rat).SetString("0" + whole + "." + decimals + "0")
	if rate, err := timecode.ParseRate(strings.TrimLeft(bare, "0")); err == nil {
		speed.SetFrac64(rate.Num, rate.Den)
	}
	if strings.HasPrefix(text, "-") {
		speed.Neg(speed)
	}
	if len(strings.TrimLeft(whole, "0")) > maxSpeedDigits {
		return nil, fmt.Errorf("%s frames a second are more than a picture has", whole)
	}
	return speed, nil
}

// fault reports an event that is left out; it is always false.
func (r *edlReading) fault(at int, rule, message string) bool {
	r.report(source.Finding{Pos: r.src.Pos(at), Severity: source.Error, Rule: rule, Source: edlSource, Message: message})
	return false
}

func (r *edlReading) caution(at int, message string, args ...any) {
	r.report(source.Finding{
		Pos: r.src.Pos(at), Severity: source.Caution, Rule: "read/edit-speed", Source: edlSource, Message: fmt.Sprintf(message, args...),
	})
}

func inSeconds(d time.Duration) string { return fmt.Sprintf("%.1f s", d.Seconds()) }

// decimal is a speed for people, to two decimals.
func decimal(r timeline.Ratio) string {
	text := big.NewRat(r.Num, r.Den).FloatString(2)
	return strings.TrimSuffix(strings.TrimRight(text, "0"), ".")
}
