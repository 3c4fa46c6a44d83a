package caption

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"time"

	"github.com/asticode/go-astisub"
	"golang.org/x/text/language"

	"sideport/timeline/timecode"
)

// The bounds of an EBU STL file as we write it.
const (
	stlFrame    = 40 * time.Millisecond // 25 frames a second: the only rate the library keeps exactly
	stlTextSize = 111                   // bytes of a block's text, one of 112 left for the end sign
	stlMaxCues  = 65535                 // the subtitle number is two bytes
	stlRows     = 23                    // rows of the picture, counted from the top
	stlDay      = 24 * time.Hour
)

// WriteSTL writes t as an EBU STL file at 25 frames a second, open subtitles,
// Latin alphabet. Times are rounded half up to the frame. A speaker is written
// in front of the text; ids and notes have no place in the format, and a title
// only when it is ASCII, cut at 32 letters.
//
// The error is a *Refusal, and nothing is written, when the track is empty, a
// character is not in the alphabet ("≤", "≥", "–", "—", "$" and every script but
// Latin), a text is longer than a block, a time is past 24 h, or the file reads
// back as something else.
//
// Source: EBU Tech 3264-E (1991).
func WriteSTL(w io.Writer, t Track) error {
	cues, err := prepare(t, stlFrame)
	if err != nil {
		return err
	}
	if reason := stlTrackReason(cues); reason != "" {
		return &Refusal{Format: "EBU STL", Reason: reason}
	}
	for i, c := range cues {
		cues[i].Text = composed(spoken(c))
		if reason := stlCueReason(cues[i]); reason != "" {
			return &Refusal{Format: "EBU STL", Cue: i + 1, ID: c.ID, Reason: reason}
		}
	}
	file, err := encodeSTL(cues, t)
	if err != nil {
		return &Refusal{Format: "EBU STL", Reason: err.Error()}
	}
	if n, reason := checkSTL(file, cues); reason != "" {
		return &Refusal{Format: "EBU STL", Cue: n, Reason: "reading the file back, " + reason}
	}
	_, err = w.Write(file)
	return err
}

func stlTrackReason(cues []Cue) string {
	switch {
	case len(cues) == 0:
		return "a file without cues is not an EBU STL file"
	case len(cues) > stlMaxCues:
		return fmt.Sprintf("%d cues are more than the %d the format can number", len(cues), stlMaxCues)
	}
	return ""
}

func stlCueReason(c Cue) string {
	if c.To >= stlDay {
		return fmt.Sprintf("its end %s is past 24 h", timecode.FormatMS(c.To))
	}
	size := 0
	for _, r := range c.Text {
		n := stlBytes(r)
		if n == 0 {
			return fmt.Sprintf("the Latin alphabet of the format has no %q (U+%04X)", r, r)
		}
		size += n
	}
	if size > stlTextSize {
		return fmt.Sprintf("its text takes %d bytes, a block has room for %d", size, stlTextSize)
	}
	return ""
}

// encodeSTL lets the library lay out the file. The library panics on some input;
// none that passes our checks is known to, and one that does is an error here.
func encodeSTL(cues []Cue, t Track) (file []byte, err error) {
	defer func() {
		if p := recover(); p != nil {
			file, err = nil, fmt.Errorf("the encoder stopped: %v", p)
		}
	}()
	s := astisub.NewSubtitles()
	s.Metadata = stlMetadata(cues, t)
	centred := astisub.JustificationCentered
	for i, c := range cues {
		item := &astisub.Item{Index: i + 1, StartAt: c.From, EndAt: c.To}
		lines := strings.Split(c.Text, "\n")
		row := stlRows - len(lines)
		if c.Line == Top {
			row = 1
		}
		item.InlineStyle = &astisub.StyleAttributes{
			STLJustification: &centred,
			STLPosition:      &astisub.STLPosition{VerticalPosition: max(row, 1), MaxRows: stlRows, Rows: len(lines)},
		}
		for _, line := range lines {
			item.Lines = append(item.Lines, astisub.Line{Items: []astisub.LineItem{{Text: line}}})
		}
		s.Items = append(s.Items, item)
	}
	var out bytes.Buffer
	if err := s.WriteToSTL(&out); err != nil {
		return nil, fmt.Errorf("encoding: %w", err)
	}
	// The library knows five languages and calls every other French.
	copy(out.Bytes()[14:16], stlLanguage(t.Language))
	return out.Bytes(), nil
}

func stlMetadata(cues []Cue, t Track) *astisub.Metadata {
	// The date fields cannot be empty; a file of ours carries no date, so they
	// hold the first day that computers count from.
	noDate := time.Unix(0, 0).UTC()
	width, rows := 40, stlRows
	for _, c := range cues {
		width = min(max(width, longestLine(c.Text)), 99)
	}
	m := &astisub.Metadata{
		Framerate: 25, STLDisplayStandardCode: "0",
		STLCreationDate: &noDate, STLRevisionDate: &noDate,
		STLMaximumNumberOfDisplayableCharactersInAnyTextRow: &width,
		STLMaximumNumberOfDisplayableRows:                   &rows,
	}
	if title := CleanLine(t.Title); isASCII(title) {
		m.Title = title
	}
	return m
}

// stlLanguage is the format's own code of a language, 00 for one we have no
// confirmed code of.
func stlLanguage(tag string) string {
	parsed, err := language.Parse(tag)
	if err != nil {
		return "00"
	}
	base, _ := parsed.Base()
	switch base.String() {
	case "en":
		return "09"
	case "fr":
		return "0F"
	case "hi":
		return "6B"
	}
	return "00"
}
