package format

import (
	"bytes"
	"errors"
	"strconv"
	"strings"

	"sideport/timeline/source"
	"sideport/timeline/timecode"
)

// word is a word of a line with its offset in the source.
type word struct {
	text string
	at   int
}

// splitFields cuts a line at white space.
func splitFields(line []byte, offset int) []word {
	var out []word
	for i := 0; i < len(line); {
		if line[i] == ' ' || line[i] == '\t' {
			i++
			continue
		}
		from := i
		for i < len(line) && line[i] != ' ' && line[i] != '\t' {
			i++
		}
		out = append(out, word{string(line[from:i]), offset + from})
	}
	return out
}

// edlEvent is one event line as written, with the lines that belong to it.
type edlEvent struct {
	number     string
	reel       string
	channel    string
	transition string // C, D, K, KB, KO or W with its number
	at         int    // of the number
	times      [4]word
	fcm        counting
	speed      *word // the frames a second of an M2 line
	clip       string
}

// counting is how a list says that its timecodes count.
type counting int

const (
	unsaid counting = iota
	nonDrop
	drop
)

// errNoEvent is why a line that begins with a number is no event.
var errNoEvent = errors.New("an event has a number, a reel, a channel, a transition and four timecodes")

// edlEventLine reads an event line. Fields are counted from the end, since a reel may
// hold spaces or be left out.
func edlEventLine(fields []word) (edlEvent, error) {
	n := len(fields)
	if n < 7 {
		return edlEvent{}, errNoEvent
	}
	e := edlEvent{number: fields[0].text, at: fields[0].at}
	copy(e.times[:], fields[n-4:])
	for _, t := range e.times {
		if !strings.ContainsAny(t.text, ":;") {
			return edlEvent{}, errNoEvent
		}
	}
	head := fields[1 : n-4]
	if last := head[len(head)-1]; len(head) > 2 && allDigits(last.text) {
		head = head[:len(head)-1] // the frames that a transition takes
	}
	e.transition = strings.ToUpper(head[len(head)-1].text)
	head = head[:len(head)-1]
	if k := len(head) - 1; k > 0 && strings.EqualFold(head[k].text, "K") && (e.transition == "B" || e.transition == "O") {
		e.transition, head = "K"+e.transition, head[:k]
	}
	if !isTransition(e.transition) || len(head) == 0 {
		return edlEvent{}, errNoEvent
	}
	e.channel = strings.ToUpper(head[len(head)-1].text)
	var reel []string
	for _, f := range head[:len(head)-1] {
		reel = append(reel, f.text)
	}
	e.reel = strings.Join(reel, " ")
	return e, nil
}

func isTransition(s string) bool {
	switch s {
	case "C", "D", "K", "KB", "KO":
		return true
	}
	return len(s) > 1 && s[0] == 'W' && allDigits(s[1:])
}

// looksLikeEvent reports whether a line begins as an event does.
func looksLikeEvent(fields []word) bool {
	return len(fields) > 1 && len(fields[0].text) <= 6 && allDigits(fields[0].text)
}

// edlScanner reads the lines of an edit list into events.
type edlScanner struct {
	src    *source.Source
	report source.Report
	fcm    counting
	events []edlEvent
	said   bool // a line was left out, and that was said

	headless bool // one was ahead of all events
	astray   bool // the last event was one: what follows belongs to it
}

func (s *edlScanner) scan() {
	for n := range s.src.Lines() {
		line, offset := s.src.Line(n)
		fields := splitFields(line, offset)
		if len(fields) == 0 {
			continue
		}
		switch first := strings.ToUpper(fields[0].text); {
		case first == "FCM:":
			s.setCounting(fields[1:])
		case first == "M2":
			s.setSpeed(fields[1:])
		case looksLikeEvent(fields):
			s.event(fields)
		default: // a title, a remark with or without its star, or one of another program
			s.remark(string(bytes.TrimSpace(line)))
		}
	}
}

func (s *edlScanner) event(fields []word) {
	e, err := edlEventLine(fields)
	if err != nil {
		s.said, s.astray, s.headless = true, true, s.headless || len(s.events) == 0
		s.report(source.Finding{
			Pos: s.src.Pos(fields[0].at), Severity: source.Error, Rule: "read/bad-event", Source: edlSource,
			Message: "the line begins like an event and is none; it is left out: " + err.Error(),
		})
		return
	}
	e.fcm, s.astray = s.fcm, false
	s.events = append(s.events, e)
}

func (s *edlScanner) setCounting(words []word) {
	s.fcm = drop
	for _, w := range words {
		if strings.HasPrefix(strings.ToUpper(w.text), "NON") {
			s.fcm = nonDrop
		}
	}
}

// setSpeed gives the last event a speed: of two lines with one number, the one whose
// reel is named. The reel may hold spaces or be missing; another event's is reported.
func (s *edlScanner) setSpeed(fields []word) {
	n := len(fields)
	if n > 0 && strings.ContainsAny(fields[n-1].text, ":;") {
		n--
	}
	if n == 0 || len(s.events) == 0 || s.astray {
		return
	}
	var reel []string
	for _, f := range fields[:n-1] {
		reel = append(reel, f.text)
	}
	k := len(s.events) - 1
	name := strings.Join(reel, " ")
	if other := !strings.EqualFold(name, s.events[k].reel); other && k > 0 &&
		s.events[k-1].number == s.events[k].number && strings.EqualFold(name, s.events[k-1].reel) {
		k--
	} else if other && name != "" && s.events[k].reel != "" {
		s.report(source.Finding{
			Pos: s.src.Pos(fields[0].at), Severity: source.Caution, Rule: "read/edit-speed", Source: edlSource,
			Message: "the line M2 names another reel than the event ahead of it; its speed is not applied",
			Related: []source.Related{{Pos: s.src.Pos(s.events[k].at), Message: "the event ahead of it"}},
		})
		return
	}
	s.events[k].speed = &fields[n-1]
}

// remark takes the clip's name out of a remark. Where a transition has two lines,
// FROM is the first and TO the second.
func (s *edlScanner) remark(line string) {
	text := strings.TrimSpace(strings.TrimLeft(line, "*"))
	k := len(s.events) - 1
	if k < 0 || s.astray {
		return
	}
	if name, ok := cutPrefixFold(text, "FROM CLIP NAME:"); ok {
		if k > 0 && s.events[k-1].number == s.events[k].number && s.events[k].transition != "C" {
			k--
		}
		s.events[k].clip = strings.TrimSpace(name)
	} else if name, ok := cutPrefixFold(text, "TO CLIP NAME:"); ok {
		s.events[k].clip = strings.TrimSpace(name)
	}
}

func cutPrefixFold(s, prefix string) (string, bool) {
	if len(s) < len(prefix) || !strings.EqualFold(s[:len(prefix)], prefix) {
		return "", false
	}
	return s[len(prefix):], true
}

// edlTime reads a timecode as the number of its frame from 00:00:00:00. The error
// quotes no timecode: it may be the time of day.
func edlTime(text string, rate timecode.Rate, said counting) (int64, error) {
	var v [4]int
	fields := 0
	for _, part := range strings.FieldsFunc(text, isTimeMark) {
		n, err := strconv.Atoi(part)
		if fields == 4 || err != nil || len(part) > 3 || !allDigits(part) {
			return 0, errNoTimecode
		}
		v[fields] = n
		fields++
	}
	if fields != 4 || strings.IndexFunc(text, isTimeMark) == 0 {
		return 0, errNoTimecode
	}
	return edlRate(text, rate, said).Frame(v[0], v[1], v[2], v[3])
}

// edlRate is the rate with the counting that a timecode is written in.
func edlRate(text string, rate timecode.Rate, said counting) timecode.Rate {
	last := strings.LastIndexFunc(text, isTimeMark)
	semicolon := last >= 0 && text[last] == ';'
	rate.Drop = (said == drop || semicolon || said == unsaid && rate.Drop) && rate.HasDrop()
	return rate
}

var errNoTimecode = errors.New("it is no timecode, hh:mm:ss:ff")

func isTimeMark(r rune) bool { return r == ':' || r == ';' || r == '.' || r == ',' }
