package caption

import (
	"cmp"
	"math"
	"slices"
	"time"

	"sideport/timeline/source"
)

// Spoken is one stretch of speech as a narration file has it, on the clock of the
// video. Text is plain, markup and character references already resolved. Pos is
// where it was read and may be zero.
type Spoken struct {
	ID       string
	From, To time.Duration
	Text     string
	Speaker  string
	Pos      source.Pos
}

// forever is past the end of any video.
const forever = time.Duration(math.MaxInt64)

// shaped is a cue on its way, with the place of the speech it came from.
type shaped struct {
	Cue
	pos source.Pos
}

// Shape makes captions of speech: at most p.Lines lines of p.LineLetters letters
// a cue, a long stretch split into several in proportion to the letters, a short
// one held longer where silence follows. What shaping cannot mend is a finding of
// group speech at the place of the speech.
//
// No word is lost, added or moved: the words of the result in order are the words
// of the stretches in order of their start. A number and the word behind it,
// which may be its unit, are never parted, unless that word is a number or a sign
// itself; a word is never broken. A stretch that already fits keeps its line
// breaks. Stretches without text are left out. Negative times are cut off at zero,
// and an end before its start is moved to it.
//
// The result is sorted and no two cues overlap: a stretch ends where a later one
// starts, and stretches with one start follow each other, in the order given, in
// the time they have together. Cost is linear in the text after a sort of the
// stretches.
func Shape(speech []Spoken, p Profile) ([]Cue, []source.Finding) {
	var findings []source.Finding
	report := func(f source.Finding) { findings = append(findings, f) }

	speech = ordered(speech)
	reportOverlaps(speech, report)
	var cues []shaped
	for _, s := range inTurn(speech, p) {
		cues = append(cues, split(s, p)...)
	}
	hold(cues, p)
	check(cues, p, report)

	out := make([]Cue, len(cues))
	for i, c := range cues {
		out[i] = c.Cue
	}
	return out, findings
}

// Check reports what of the profile speech does not keep as it stands, each
// stretch taken for one cue.
func Check(speech []Spoken, p Profile) []source.Finding {
	var findings []source.Finding
	report := func(f source.Finding) { findings = append(findings, f) }
	speech = ordered(speech)
	reportOverlaps(speech, report)
	var cues []shaped
	for _, s := range speech {
		cues = append(cues, shaped{Cue{ID: s.ID, From: s.From, To: s.To, Text: s.Text, Speaker: s.Speaker}, s.Pos})
	}
	check(cues, p, report)
	return findings
}

// ordered returns the stretches that have text, cleaned, in order of their start.
func ordered(speech []Spoken) []Spoken {
	var out []Spoken
	for _, s := range speech {
		s.From = max(s.From, 0)
		s.To = max(s.To, s.From)
		s.Text, s.Speaker = Clean(s.Text), CleanLine(s.Speaker)
		if s.Text != "" {
			out = append(out, s)
		}
	}
	slices.SortStableFunc(out, func(a, b Spoken) int { return cmp.Compare(a.From, b.From) })
	return out
}

// inTurn sets the times so that no stretch overlaps the next. A stretch without
// length gets what its text takes to read, as far as there is room.
func inTurn(speech []Spoken, p Profile) []Spoken {
	out := slices.Clone(speech)
	for i := 0; i < len(out); {
		n := i + 1 // out[i:n] start together
		end, total := out[i].To, weight(out[i].Text)
		for n < len(out) && out[n].From == out[i].From {
			end, total = max(end, out[n].To), total+weight(out[n].Text)
			n++
		}
		limit := forever
		if n < len(out) {
			limit = out[n].From
		}
		from := out[i].From
		if end == from {
			end = from + readingTime(total, p)
		}
		length, done := min(end, limit)-from, 0
		for ; i < n; i++ {
			out[i].From = from + share(length, done, total)
			done += weight(out[i].Text)
			out[i].To = from + share(length, done, total)
		}
	}
	return out
}

// split makes the cues of one stretch of speech, its time shared out by letters.
// The id names the stretch, so it goes to the first of them.
func split(s Spoken, p Profile) []shaped {
	texts := chunks(s.Text, p)
	total := 0
	for _, text := range texts {
		total += weight(text)
	}
	var out []shaped
	done, from, id := 0, s.From, s.ID
	for _, text := range texts {
		done += weight(text)
		to := s.From + share(s.To-s.From, done, total)
		out = append(out, shaped{Cue{ID: id, From: from, To: to, Text: text, Speaker: s.Speaker}, s.Pos})
		from, id = to, ""
	}
	return out
}

// weight is a text's part in sharing out time.
func weight(text string) int { return max(letters(text), 1) }

// share is d*part/whole without overflow for any video and text.
func share(d time.Duration, part, whole int) time.Duration {
	n, w := time.Duration(part), time.Duration(whole)
	return d/w*n + d%w*n/w
}

// hold lets a cue that is too short or too fast stand while the silence behind it
// lasts, and closes a gap shorter than p.Gap.
func hold(cues []shaped, p Profile) {
	for i := range cues {
		c := &cues[i]
		limit, last := forever, i+1 == len(cues)
		if !last {
			limit = cues[i+1].From
		} else if p.Length > 0 {
			limit = max(p.Length, c.To)
		}
		wanted := readingTime(letters(c.Text), p)
		if p.Longest > 0 {
			wanted = min(wanted, p.Longest)
		}
		c.To = max(c.To, min(c.From+wanted, limit))
		if gap := limit - c.To; !last && gap < p.Gap {
			c.To = limit
		}
	}
}

// readingTime is how long so many letters are held if there is room.
func readingTime(letters int, p Profile) time.Duration {
	wanted := max(p.Shortest, p.ShortNote)
	if p.SpeedNote > 0 {
		// Rounded up, or the speed would come out a hair above the limit.
		speed := time.Duration(p.SpeedNote)
		wanted = max(wanted, (time.Duration(letters)*time.Second+speed-1)/speed)
	}
	return wanted
}
