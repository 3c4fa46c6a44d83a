package caption

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"time"
)

// Edge is the edge of the picture a cue stands at.
type Edge int

// The edges. Bottom is where a player puts a cue unless told otherwise; Top
// leaves the bottom free for another track.
const (
	Bottom Edge = iota
	Top
)

// Cue is one timed text. Text is plain: every character means itself, and LF
// ends a line. ID and Speaker are optional.
type Cue struct {
	ID       string
	From, To time.Duration
	Text     string
	Speaker  string
	Line     Edge
}

// The kinds of a Track.
const (
	Steps  = "steps"
	Speech = "speech"
)

// Track is what goes into one file.
type Track struct {
	Language string // BCP 47, or empty when unknown
	Kind     string // Steps or Speech
	Title    string // optional
	// Notes are remarks on the track as a whole, such as that its language was
	// not reviewed. WebVTT and TTML carry them; the other formats have no place.
	Notes []string
	Cues  []Cue
}

// Writer is one format.
type Writer struct {
	Name      string
	Extension string // with its dot
	Doc       string // one line
	// Write writes t. Its error is of w, or of a track no format can hold, or a
	// *Refusal.
	Write func(w io.Writer, t Track) error
}

// All lists the formats, the most capable first.
func All() []Writer {
	return []Writer{
		{"WebVTT", ".vtt", "W3C Web Video Text Tracks, kind captions or subtitles", WriteWebVTT},
		{"SubRip", ".srt", "plain captions as most players read them", WriteSubRip},
		{"TTML", ".ttml", "W3C Timed Text, IMSC 1.2 text profile", WriteTTML},
		{"EBU STL", ".stl", "EBU Tech 3264 exchange file, Latin text only, 25 frames a second", WriteSTL},
	}
}

// For returns the writer of an extension, with or without its dot, in any case.
func For(extension string) (Writer, bool) {
	extension = "." + strings.ToLower(strings.TrimPrefix(extension, "."))
	i := slices.IndexFunc(All(), func(w Writer) bool { return w.Extension == extension })
	if i < 0 {
		return Writer{}, false
	}
	return All()[i], true
}

// prepare returns the cues as every format writes them: sorted by start, equal
// starts in the order given, text clean and not empty, times whole multiples of
// tick and no cue shorter than one tick. A cue that is stated to last no time, or
// to end before it starts, is never on the picture and is left out; one that only
// rounding would leave without length keeps one tick. A cue that starts before
// zero has no place on the clock and is an error.
func prepare(t Track, tick time.Duration) ([]Cue, error) {
	cues := make([]Cue, 0, len(t.Cues))
	for i, c := range t.Cues {
		if c.From < 0 {
			return nil, fmt.Errorf("cue %d (%q) starts at %v, before the video", i+1, c.ID, c.From)
		}
		c.Text, c.Speaker = Clean(c.Text), CleanLine(c.Speaker)
		if c.Text == "" || c.To <= c.From {
			continue
		}
		c.From, c.To = roundTo(c.From, tick), roundTo(c.To, tick)
		c.To = max(c.To, c.From+tick)
		cues = append(cues, c)
	}
	slices.SortStableFunc(cues, func(a, b Cue) int { return cmp.Compare(a.From, b.From) })
	return cues, nil
}

// roundTo rounds d, which is not negative, half up to a multiple of tick.
func roundTo(d, tick time.Duration) time.Duration {
	return (d + tick/2) / tick * tick
}

// unique returns ids no two of which are equal, by a counter behind the later
// ones. Empty ids stay empty.
func unique(ids []string) []string {
	taken := make(map[string]bool, len(ids))
	for _, id := range ids {
		taken[id] = true
	}
	used := make(map[string]bool, len(ids))
	next := map[string]int{}
	out := make([]string, len(ids))
	for i, id := range ids {
		out[i] = id
		if id == "" {
			continue
		}
		for n := max(next[id], 2); used[out[i]]; n++ {
			// A made id must not be one that another cue was given.
			if made := id + "-" + strconv.Itoa(n); !taken[made] && !used[made] {
				out[i], next[id] = made, n+1
			}
		}
		used[out[i]] = true
	}
	return out
}
