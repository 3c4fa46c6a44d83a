package caption

import (
	"fmt"
	"strings"
	"time"

	"sideport/timeline/source"
	"sideport/timeline/timecode"
)

// check reports what of the profile the cues do not keep. What is common and
// light, long lines within the limit and many words a minute, is one note a track.
func check(cues []shaped, p Profile, report source.Report) {
	var wide, fast []shaped
	for i, c := range cues {
		if checkLines(c, p, report) {
			wide = append(wide, c)
		}
		if checkSpeed(c, p, report) {
			fast = append(fast, c)
		}
		checkDuration(c, p, report)
		if i+1 < len(cues) {
			checkGap(c, cues[i+1], p, report)
		}
	}
	if len(wide) > 0 {
		report(finding(wide[0], source.Note, "speech/line-length",
			fmt.Sprintf("%d of %d cues have a line of more than %d letters, the first one here",
				len(wide), len(cues), p.EasyLetters)))
	}
	if len(fast) > 0 {
		f := finding(fast[0], source.Note, "speech/reading-speed",
			fmt.Sprintf("%d of %d cues have more than %d words a minute, the first one here",
				len(fast), len(cues), p.WordsNote))
		f.Evidence, f.Source = "confirmed", sourceDCMP
		report(f)
	}
}

// checkLines returns whether the cue keeps the limit but has a line that is not
// easy to read.
func checkLines(c shaped, p Profile, report source.Report) (wide bool) {
	if lines := strings.Count(c.Text, "\n") + 1; p.Lines > 0 && lines > p.Lines {
		report(finding(c, source.Caution, "speech/line-length", fmt.Sprintf("%d lines, above %d", lines, p.Lines)))
	}
	n := longestLine(c.Text)
	if p.LineLetters > 0 && n > p.LineLetters {
		report(finding(c, source.Caution, "speech/line-length",
			fmt.Sprintf("a line of %d letters, above %d", n, p.LineLetters)))
		return false
	}
	return p.EasyLetters > 0 && n > p.EasyLetters
}

// checkSpeed returns whether the cue keeps the limits in letters but has more
// words a minute than the profile wants to hear of.
func checkSpeed(c shaped, p Profile, report source.Report) (fast bool) {
	length := c.To - c.From
	if length <= 0 {
		return false // checkDuration speaks
	}
	perSecond := float64(letters(c.Text)) / length.Seconds()
	perMinute := float64(len(strings.Fields(c.Text))) / length.Minutes()
	switch {
	case p.SpeedCaution > 0 && perSecond > float64(p.SpeedCaution):
		report(finding(c, source.Caution, "speech/reading-speed",
			fmt.Sprintf("%.1f letters a second, above %d", perSecond, p.SpeedCaution)))
	case p.SpeedNote > 0 && perSecond > float64(p.SpeedNote):
		report(finding(c, source.Note, "speech/reading-speed",
			fmt.Sprintf("%.1f letters a second, above %d", perSecond, p.SpeedNote)))
	default:
		return p.WordsNote > 0 && perMinute > float64(p.WordsNote)
	}
	return false
}

func checkDuration(c shaped, p Profile, report source.Report) {
	length := c.To - c.From
	switch {
	case length < p.Shortest:
		report(finding(c, source.Caution, "speech/duration",
			fmt.Sprintf("shown for %s, below %s", seconds(length), seconds(p.Shortest))))
	case length < p.ShortNote:
		report(finding(c, source.Note, "speech/duration",
			fmt.Sprintf("shown for %s, below %s", seconds(length), seconds(p.ShortNote))))
	case p.Longest > 0 && length > p.Longest:
		report(finding(c, source.Note, "speech/duration",
			fmt.Sprintf("shown for %s, above %s", seconds(length), seconds(p.Longest))))
	}
}

func checkGap(c, next shaped, p Profile, report source.Report) {
	if gap := next.From - c.To; gap > 0 && gap < p.Gap {
		report(finding(c, source.Note, "speech/gap",
			fmt.Sprintf("%s to the next cue, below %s", seconds(gap), seconds(p.Gap))))
	}
}

// reportOverlaps speaks of stretches, in order of their start, that run into the
// next one.
func reportOverlaps(speech []Spoken, report source.Report) {
	for i := 1; i < len(speech); i++ {
		s, next := speech[i-1], speech[i]
		if s.To <= next.From && s.From != next.From {
			continue
		}
		c := shaped{Cue{From: s.From, To: s.To}, s.Pos}
		f := finding(c, source.Caution, "speech/overlap", fmt.Sprintf("ends at %s, the next one starts at %s",
			timecode.FormatMS(s.To), timecode.FormatMS(next.From)))
		if next.Pos.IsValid() {
			f.Related = []source.Related{{Pos: next.Pos, Message: "the next one"}}
		}
		report(f)
	}
}

func finding(c shaped, severity source.Severity, rule, message string) source.Finding {
	return source.Finding{
		Pos: c.pos, Video: &source.Span{From: c.From, To: c.To},
		Severity: severity, Rule: rule, Message: message,
		Evidence: "assumption", Source: sourceProfile,
	}
}

// seconds prints a duration to the hundredth, as "0.83 s".
func seconds(d time.Duration) string { return fmt.Sprintf("%.2f s", d.Seconds()) }
