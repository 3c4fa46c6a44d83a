package caption

import "time"

// Profile is what a speech track is held to. A zero field sets no limit.
type Profile struct {
	LineLetters  int // letters a line; longer is a caution
	EasyLetters  int // letters a line; lines between the two are one note a track
	Lines        int // lines a cue
	SpeedNote    int // letters a second; above is a note
	SpeedCaution int // letters a second; above is a caution
	WordsNote    int // words a minute; above is a note
	Shortest     time.Duration
	ShortNote    time.Duration // shorter than this but not than Shortest is a note
	Longest      time.Duration
	Gap          time.Duration // silence between two cues is none or at least this
	// Length is the length of the video; no cue is stretched past it. Zero when
	// it is not known.
	Length time.Duration
}

// DefaultProfile is the project's choice, to be adjusted by its users: 42 letters
// and 2 lines, 17 and 20 letters a second, 160 words a minute, 5/6 s to 7 s, no
// gap or 80 ms (two frames at 25 a second).
//
// Sources: 160 words a minute is the upper ceiling of the DCMP Captioning Key,
// Presentation Rate; the others lie within what the BBC Subtitle Guidelines
// v1.2.5 and the DCMP key give (line of 32 to about 37, 2 lines, 1.33 s to 6 s)
// or a little above, and are assumptions of ours.
func DefaultProfile() Profile {
	return Profile{
		LineLetters: 42, EasyLetters: 37, Lines: 2,
		SpeedNote: 17, SpeedCaution: 20, WordsNote: 160,
		Shortest: 5 * time.Second / 6, ShortNote: time.Second, Longest: 7 * time.Second,
		Gap: 80 * time.Millisecond,
	}
}

// The sources that findings on captions quote.
const (
	sourceProfile = "caption profile of this project, adjustable"
	sourceDCMP    = "DCMP Captioning Key, Presentation Rate: at most 160 words a minute at the upper level"
)
