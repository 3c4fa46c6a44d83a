package export

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"sideport/annotate"
	"sideport/annotate/taxonomy"
	"sideport/export/caption"
	"sideport/export/words"
	"sideport/timeline/source"

	"golang.org/x/text/language"
)

// readingCueLength is how long a value read at its own moment stands.
const readingCueLength = 5 * time.Second

// lineLetters is the longest line of the steps track, as for captions.
const lineLetters = 42

// stepsTrack names the step going on and its values: for the first seconds of the
// step or the whole of it, and a value again at its own moment. It stands at the
// top edge, so that it does not lie on the speech.
func stepsTrack(c *annotate.Case, lang string, report source.Report) caption.Track {
	w := words.Get(lang)
	t := caption.Track{Language: lang, Kind: caption.Steps, Title: w.T("track.steps")}
	length := c.StepsCueLength()
	for i := range c.Steps {
		s := &c.Steps[i]
		if !s.Shown {
			continue
		}
		label, ok := taxonomy.Label(s.Procedure, s.ID, lang)
		if !ok {
			report(source.Finding{
				Pos: s.Pos, Severity: source.Note, Rule: "step/no-label", Step: s.ID, Nth: s.Nth,
				Message: fmt.Sprintf("%s has no name in the language %s; the English one stands in the track", s.ID, lang),
			})
		}
		for n, span := range s.Video {
			to := span.To
			if length > 0 {
				to = min(span.From+length, span.To)
			}
			if n > 0 && length > 0 {
				break // a step that goes on after a cut is named once
			}
			id := fmt.Sprintf("%s-%d", s.ID, s.Nth)
			if n > 0 {
				id = fmt.Sprintf("%s-%d-%d", s.ID, s.Nth, n+1)
			}
			t.Cues = append(t.Cues, caption.Cue{ID: id, From: span.From, To: to, Text: stepText(c, label, s), Line: caption.Top})
		}
		t.Cues = append(t.Cues, readingCues(c, label, s)...)
	}
	t.Cues = inTurn(t.Cues)
	if !taxonomy.Reviewed(lang) {
		t.Notes = append(t.Notes, w.T("track.not-reviewed"))
		if len(t.Cues) > 0 {
			t.Cues[0].Text = w.T("track.not-reviewed") + "\n" + t.Cues[0].Text
		}
	}
	return t
}

// stepText is the step's name and technique, and under it the values of the step as
// a whole, in lines that fit the picture.
func stepText(c *annotate.Case, label string, s *annotate.Step) string {
	if s.Variant != "" {
		label += ": " + strings.ReplaceAll(s.Variant, "-", " ")
	}
	lines := []string{label}
	for _, v := range s.Values {
		if v.Reading || v.How == "planned" {
			continue
		}
		text := c.ParameterLabel(v) + " " + v.Shown()
		last := &lines[len(lines)-1]
		if len(lines) > 1 && utf8.RuneCountInString(*last)+2+utf8.RuneCountInString(text) <= lineLetters {
			*last += ", " + text
		} else {
			lines = append(lines, text)
		}
	}
	return strings.Join(lines, "\n")
}

func readingCues(c *annotate.Case, label string, s *annotate.Step) []caption.Cue {
	var cues []caption.Cue
	for _, v := range s.Values {
		if !v.Reading || v.AtVideo == nil {
			continue
		}
		text := c.ParameterLabel(v) + " " + v.Shown()
		if n := len(cues); n > 0 && cues[n-1].From == *v.AtVideo {
			cues[n-1].Text += ", " + text
			continue
		}
		cues = append(cues, caption.Cue{
			ID: fmt.Sprintf("%s-%d-at-%d", s.ID, s.Nth, len(cues)+1), From: *v.AtVideo, To: *v.AtVideo + readingCueLength,
			Text: label + "\n" + text, Line: caption.Top,
		})
	}
	return cues
}

// inTurn sorts cues and lets each end where the next begins: one line at a time
// stands at the top edge. Cues that would last no time are left out.
func inTurn(cues []caption.Cue) []caption.Cue {
	slices.SortStableFunc(cues, func(a, b caption.Cue) int { return cmp.Compare(a.From, b.From) })
	for i := range cues {
		if i+1 < len(cues) {
			cues[i].To = min(cues[i].To, cues[i+1].From)
		}
	}
	return slices.DeleteFunc(cues, func(c caption.Cue) bool { return c.To-c.From < time.Millisecond })
}

// speechTrack shapes the narration into captions.
func speechTrack(c *annotate.Case, report source.Report) *caption.Track {
	if len(c.Speech) == 0 {
		return nil
	}
	lang := c.Languages[0]
	if l := c.File.Narration.Language.Value; l != "" {
		if _, err := language.Parse(l); err == nil { // it becomes part of a file's name
			lang = l
		}
	}
	var spoken []caption.Spoken
	for _, cue := range c.Speech {
		spoken = append(spoken, caption.Spoken{ID: cue.ID, From: cue.From, To: cue.To, Text: c.PlainCue(cue), Pos: cue.TextPos})
	}
	profile := caption.DefaultProfile()
	profile.Length = c.VideoLength
	if c.VideoLengthAssumed {
		profile.Length = 0
	}
	cues, findings := caption.Shape(spoken, profile)
	for _, f := range findings {
		report(f)
	}
	return &caption.Track{Language: lang, Kind: caption.Speech, Title: words.Get(lang).T("track.speech"), Cues: cues}
}

func trackFiles(b *Bundle) ([]File, error) {
	var out []File
	tracks := slices.Clone(b.Steps)
	if b.Speech != nil {
		tracks = append(tracks, *b.Speech)
	}
	for _, t := range tracks {
		if len(t.Cues) == 0 {
			continue
		}
		// STL is left to sideport captions: its alphabet cannot hold every case.
		for _, ext := range []string{".vtt", ".srt", ".ttml"} {
			w, _ := caption.For(ext)
			f, err := file(t.Kind+"."+t.Language+ext, func(out io.Writer) error { return w.Write(out, t) })
			if err != nil {
				return nil, err
			}
			out = append(out, f)
		}
	}
	return out, nil
}
