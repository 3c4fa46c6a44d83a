package format

import (
	"bytes"
	"fmt"
	"strings"
	"time"
)

// cueTimes is a SubRip line of times as read.
type cueTimes struct {
	from, to time.Duration
	toAt     int    // where the end stands
	whole    int    // where a time without decimals stands, or -1
	rest     string // what follows the times and is not the box X1..Y2
	restAt   int
}

// timeFault is a fault, and whether it is a count of frames.
type timeFault struct {
	fault
	frames bool
}

// subripTimes reads "start --> end", then perhaps a box "X1:.. X2:.. Y1:.. Y2:..",
// which is passed over.
func subripTimes(line []byte) (cueTimes, *timeFault) {
	t := cueTimes{whole: -1}
	i := skipSpace(line, 0)
	from, next, bad := subripTime(line, i, "start")
	if bad != nil {
		return t, bad
	}
	if !from.decimals {
		t.whole = i
	}
	i = skipSpace(line, next)
	if !bytes.HasPrefix(line[i:], arrow) {
		return t, newFault(i, "after the start time stands %s, not -->", quoted(line[i:]))
	}
	i = skipSpace(line, i+len(arrow))
	to, next, bad := subripTime(line, i, "end")
	if bad != nil {
		return t, bad
	}
	if !to.decimals && t.whole < 0 {
		t.whole = i
	}
	t.from, t.to, t.toAt = from.time, to.time, i
	t.restAt = skipSpace(line, next)
	if rest := line[t.restAt:]; !isBox(rest) {
		t.rest = string(bytes.Trim(rest, asciiSpace))
	}
	return t, nil
}

// subripClock is one time and whether it was written with decimals.
type subripClock struct {
	time     time.Duration
	decimals bool
}

// subripTime reads one time at i: [h:]mm:ss and one to three decimals after a
// comma or a dot. The time ends at white space, at the arrow or with the line.
func subripTime(line []byte, i int, which string) (subripClock, int, *timeFault) {
	fail := func(at int, form string, args ...any) (subripClock, int, *timeFault) {
		return subripClock{}, 0, newFault(at, "the "+which+" time "+form, args...)
	}
	if i == len(line) {
		return fail(i, "is missing")
	}
	start := i
	var fields []field
	for {
		f := field{at: i, digits: digits(line, i)}
		if len(f.digits) == 0 {
			return fail(i, "has %s where a digit stands in SubRip", atOrEnd(line, i))
		}
		fields = append(fields, f)
		i += len(f.digits)
		if len(fields) == 4 {
			_, _, bad := fail(start, "%s has a fourth field, which counts frames; their rate is not in the file", quoted(line[start:i]))
			bad.frames = true
			return subripClock{}, 0, bad
		}
		if i == len(line) || line[i] != ':' && !(line[i] == ';' && len(fields) == 3) {
			break
		}
		i++
	}
	if len(fields) == 1 {
		return fail(start, "%s has one field; SubRip has hh:mm:ss,mmm", quoted(line[start:i]))
	}
	for _, f := range fields[len(fields)-2:] {
		if len(f.digits) > 2 {
			return fail(f.at, "has a field with %s; minutes and seconds have 2", countDigits(f.digits))
		}
	}
	d, bad := clockTime(fields)
	if bad != nil {
		return fail(bad.at, "%s", bad.what)
	}
	c := subripClock{time: d}
	if i < len(line) && (line[i] == ',' || line[i] == '.') {
		f := field{at: i + 1, digits: digits(line, i+1)}
		if n := len(f.digits); n < 1 || n > 3 {
			return fail(f.at, "has %s of decimals; SubRip has 1 to 3", countDigits(f.digits))
		}
		// One decimal is tenths: ",5" is half a second. Common practice, no source.
		ms := field{digits: []byte((string(f.digits) + "00")[:3])}
		c.time += time.Duration(ms.value()) * time.Millisecond
		c.decimals = true
		i = f.at + len(f.digits)
	}
	if i < len(line) && strings.IndexByte(asciiSpace, line[i]) < 0 && !bytes.HasPrefix(line[i:], arrow) {
		return fail(i, "is followed by %s", quoted(line[i:]))
	}
	return c, i, nil
}

func newFault(at int, form string, args ...any) *timeFault {
	return &timeFault{fault: fault{at, fmt.Sprintf(form, args...)}}
}

// atOrEnd is the rest of the line for a message.
func atOrEnd(line []byte, i int) string {
	if i == len(line) {
		return "nothing"
	}
	return quoted(line[i:])
}

// isBox reports whether text is empty or a box of the form X1:40 X2:600 Y1:20
// Y2:50, the place of the text on the picture.
func isBox(text []byte) bool {
	for _, part := range bytes.Fields(text) {
		name, value, ok := strings.Cut(string(part), ":")
		switch strings.ToUpper(name) {
		case "X1", "X2", "Y1", "Y2":
		default:
			return false
		}
		if !ok || !allDigits(strings.TrimPrefix(value, "-")) {
			return false
		}
	}
	return true
}
