package format

import (
	"bytes"
	"fmt"
	"math"
	"path"
	"slices"
	"strings"
	"time"

	"sideport/timeline"
	"sideport/timeline/source"
)

// asciiSpace is the white space of the WebVTT and HTML standards.
const asciiSpace = " \t\n\f\r"

var arrow = []byte("-->")

// readCue is a cue and the place of its times.
type readCue struct {
	timeline.Cue
	times source.Pos
}

func plainCues(read []readCue) []timeline.Cue {
	cues := make([]timeline.Cue, len(read))
	for i, c := range read {
		cues[i] = c.Cue
	}
	return cues
}

// fault is what is wrong at a byte of a line.
type fault struct {
	at   int
	what string
}

// field is a run of ASCII digits and its place in the line.
type field struct {
	at     int
	digits []byte
}

// digits returns the ASCII digits of line at i, which may lie at its end.
func digits(line []byte, i int) []byte {
	j := i
	for j < len(line) && '0' <= line[j] && line[j] <= '9' {
		j++
	}
	return line[i:j]
}

// value is the number, or math.MaxInt32 when it is that or more.
func (f field) value() int64 {
	n := int64(0)
	for _, c := range f.digits {
		n = min(n*10+int64(c-'0'), math.MaxInt32)
	}
	return n
}

// maxHours is the number of whole hours a time.Duration holds, less one for the
// smaller fields.
const maxHours = math.MaxInt64/int64(time.Hour) - 1

// clockTime is the time of the fields mm, ss or h, mm, ss. The last two are at
// most 59.
func clockTime(fields []field) (time.Duration, *fault) {
	n := len(fields)
	minutes, seconds := fields[n-2], fields[n-1]
	if v := minutes.value(); v > 59 {
		return 0, &fault{minutes.at, fmt.Sprintf("has minutes %s, above 59", shorten(minutes.digits))}
	}
	if v := seconds.value(); v > 59 {
		return 0, &fault{seconds.at, fmt.Sprintf("has seconds %s, above 59", shorten(seconds.digits))}
	}
	d := time.Duration(minutes.value())*time.Minute + time.Duration(seconds.value())*time.Second
	if n < 3 {
		return d, nil
	}
	hours := fields[0].value()
	if hours > maxHours {
		return 0, &fault{fields[0].at, fmt.Sprintf("has hours %s, above %d, the most that is held here", shorten(fields[0].digits), maxHours)}
	}
	return d + time.Duration(hours)*time.Hour, nil
}

// clockText prints a time as h:mm:ss.ttt with two or more digits of hours.
func clockText(d time.Duration) string {
	ms := d.Milliseconds()
	return fmt.Sprintf("%02d:%02d:%02d.%03d", ms/3600000, ms/60000%60, ms/1000%60, ms%1000)
}

func skipSpace(line []byte, i int) int {
	for i < len(line) && strings.IndexByte(asciiSpace, line[i]) >= 0 {
		i++
	}
	return i
}

// looksLikeTimes reports whether line is two clock times with some kind of
// arrow between them and nothing else, as a mistyped line of times is:
// "0:01 -> 0:02".
func looksLikeTimes(line []byte) bool {
	line = bytes.Trim(line, asciiSpace)
	n := clockRun(line)
	if n == 0 {
		return false
	}
	rest := line[n:]
	gap := bytes.IndexAny(rest, "0123456789")
	if gap < 1 || gap > 8 || !bytes.ContainsAny(rest[:gap], "->=–—→") {
		return false
	}
	return clockRun(rest[gap:]) == len(rest)-gap
}

// clockRun is the length of the clock time at the start of text, loosely: a
// digit, then digits and separators with at least one colon. 0 if there is none.
func clockRun(text []byte) int {
	if len(text) == 0 || text[0] < '0' || text[0] > '9' {
		return 0
	}
	n := 0
	for n < len(text) && bytes.IndexByte([]byte("0123456789:.,;"), text[n]) >= 0 {
		n++
	}
	if bytes.IndexByte(text[:n], ':') < 0 {
		return 0
	}
	return n
}

// joinLines is the lines [from, to) of src joined by LF, NUL replaced.
func joinLines(src *source.Source, from, to int) string {
	if from >= to {
		return ""
	}
	_, start := src.Line(from)
	last, end := src.Line(to - 1)
	text := string(src.Text()[start : end+len(last)])
	if strings.IndexByte(text, '\r') >= 0 {
		text = strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\r", "\n")
	}
	return replaceNUL(text)
}

// replaceNUL puts U+FFFD for NUL, as WebVTT does before it reads.
func replaceNUL(text string) string { return strings.ReplaceAll(text, "\x00", "\uFFFD") }

// quoted is text for a message: in quotes and not longer than 40 characters.
func quoted(text []byte) string { return fmt.Sprintf("%q", shorten(text)) }

func shorten(text []byte) string {
	const most = 40
	n := 0
	for i := range string(text[:min(len(text), 4*most+4)]) {
		if n == most {
			return string(text[:i]) + "…"
		}
		n++
	}
	return string(text)
}

func countDigits(d []byte) string {
	if len(d) == 1 {
		return "1 digit"
	}
	return fmt.Sprintf("%d digits", len(d))
}

// startOrder remembers the latest start so far.
type startOrder struct {
	latest time.Duration
	pos    source.Pos
}

// check reports a cue that starts before an earlier one in the file. The cue is
// kept where it is.
func (o *startOrder) check(c readCue, report source.Report) {
	if !o.pos.IsValid() || c.From >= o.latest {
		o.latest, o.pos = c.From, c.times
		return
	}
	report(source.Finding{
		Pos: c.times, Severity: source.Caution, Rule: "read/cue-order",
		Message: fmt.Sprintf("the cue starts at %s, before the start %s of an earlier cue", clockText(c.From), clockText(o.latest)),
		Related: []source.Related{{Pos: o.pos, Message: "the later start"}},
	})
}

// noteForeignExtension reports a file that carries the mark of the named format
// under an extension of another format.
func noteForeignExtension(name string, src *source.Source, report source.Report) {
	extension := strings.ToLower(path.Ext(src.Name()))
	foreign := ""
	for _, r := range All() {
		if slices.Contains(r.Extensions, extension) {
			if r.Name == name {
				return
			}
			if foreign == "" || !r.Signed { // without a mark, that is what the extension means
				foreign = r.Name
			}
		}
	}
	if foreign == "" {
		return
	}
	report(source.Finding{
		Pos: src.Pos(0), Severity: source.Note, Rule: "read/wrong-extension",
		Message: fmt.Sprintf("the extension %s stands for %s; the content is %s and is read as that", extension, foreign, name),
	})
}
