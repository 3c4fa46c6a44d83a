package caption

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"strings"
	"time"

	"github.com/asticode/go-astisub"

	"sideport/timeline/timecode"
)

// Sizes and signs of the format.
const (
	stlHead   = 1024
	stlBlock  = 128
	stlBreak  = 0x8A
	stlFiller = 0x8F
)

// checkSTL reads a file twice, its blocks by ourselves and its text by the
// library, and compares both with the cues it was made from. It returns the first
// cue that differs, from 1, and how; no reason means the file is sound.
func checkSTL(file []byte, cues []Cue) (cue int, reason string) {
	if len(file) != stlHead+stlBlock*len(cues) {
		return 0, fmt.Sprintf("%d bytes are not those of %d blocks", len(file), len(cues))
	}
	read, err := decodeSTL(file)
	if err != nil {
		return 0, err.Error()
	}
	if len(read) != len(cues) {
		return 0, fmt.Sprintf("%d cues became %d", len(cues), len(read))
	}
	for i, want := range cues {
		block := file[stlHead+stlBlock*i:][:stlBlock]
		if reason := checkBlock(block, i+1, want); reason != "" {
			return i + 1, reason
		}
		if composed(read[i].Text) != want.Text {
			return i + 1, fmt.Sprintf("the text %q became %q", want.Text, read[i].Text)
		}
	}
	return 0, ""
}

// checkBlock compares the fields of one block that need no alphabet.
func checkBlock(block []byte, number int, want Cue) string {
	text, _, ended := bytes.Cut(block[16:], []byte{stlFiller})
	from, to := stlTime(block[5:9]), stlTime(block[9:13])
	switch {
	case int(binary.LittleEndian.Uint16(block[1:3])) != number:
		return "its number changed"
	case block[3] != 0xFF:
		return "it takes more than one block"
	case from != want.From || to != want.To:
		return fmt.Sprintf("%s to %s became %s to %s", timecode.FormatMS(want.From), timecode.FormatMS(want.To), timecode.FormatMS(from), timecode.FormatMS(to))
	case !ended:
		return "its text fills the block without an end"
	case bytes.Count(text, []byte{stlBreak}) != strings.Count(want.Text, "\n"):
		return "its lines changed"
	}
	return ""
}

// stlTime reads hours, minutes, seconds and frames, a byte each.
func stlTime(b []byte) time.Duration {
	return time.Duration(b[0])*time.Hour + time.Duration(b[1])*time.Minute +
		time.Duration(b[2])*time.Second + time.Duration(b[3])*stlFrame
}

// decodeSTL lets the library read a file; a panic of its is an error.
func decodeSTL(file []byte) (cues []Cue, err error) {
	defer func() {
		if p := recover(); p != nil {
			cues, err = nil, fmt.Errorf("the decoder stopped: %v", p)
		}
	}()
	s, err := astisub.ReadFromSTL(bytes.NewReader(file), astisub.STLOptions{})
	if err != nil {
		return nil, fmt.Errorf("decoding: %w", err)
	}
	for _, item := range s.Items {
		var lines []string
		for _, line := range item.Lines {
			var text strings.Builder
			for _, part := range line.Items {
				text.WriteString(part.Text)
			}
			lines = append(lines, text.String())
		}
		cues = append(cues, Cue{From: item.StartAt, To: item.EndAt, Text: strings.Join(lines, "\n")})
	}
	return cues, nil
}
