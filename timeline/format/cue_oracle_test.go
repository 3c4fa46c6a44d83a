package format_test

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/asticode/go-astisub"
	"github.com/google/go-cmp/cmp"

	"sideport/timeline"
	"sideport/timeline/format"
)

// plainCue is a cue as two readers can agree on it: times and the text a viewer
// reads.
type plainCue struct{ From, To, Text string }

// TestSecondReaderAgrees reads well-formed files with go-astisub as well, an
// independent reader. Its known losses are kept out of the files: LF line ends,
// no empty line in text, no references but &amp; &lt; &nbsp;, no long lines.
func TestSecondReaderAgrees(t *testing.T) {
	type input struct {
		name string
		raw  []byte
	}
	generated := func(name string) input {
		return input{name + " generated", []byte(strings.TrimRight(cueFile(name, 300, "\n"), "\n"))}
	}
	file := func(name string) input {
		raw, err := os.ReadFile(filepath.Join(corpusRoot, name))
		if err != nil {
			t.Fatal(err)
		}
		return input{name, raw}
	}
	for _, tt := range []struct {
		format string
		inputs []input
		read   func([]byte) (*astisub.Subtitles, error)
		plain  func(string) string
	}{
		{
			"webvtt", []input{generated("webvtt"), file("webvtt/captions.vtt"), file("webvtt/chapters.vtt")},
			func(raw []byte) (*astisub.Subtitles, error) { return astisub.ReadFromWebVTT(bytes.NewReader(raw)) },
			format.PlainText,
		},
		{
			"subrip", []input{generated("subrip"), file("subrip/narration.srt")},
			func(raw []byte) (*astisub.Subtitles, error) { return astisub.ReadFromSRT(bytes.NewReader(raw)) },
			format.SubRipPlainText,
		},
	} {
		for _, in := range tt.inputs {
			cues, findings := readCues(t, tt.format, "a", in.raw)
			if len(findings) > 0 {
				t.Errorf("%s is not well formed: %s", in.name, findings[0])
			}
			theirs, err := tt.read(in.raw)
			if err != nil {
				t.Errorf("%s: second reader: %v", in.name, err)
				continue
			}
			got, want := mappedCues(cues, tt.plain), theirCues(theirs)
			if len(want) == 0 {
				t.Errorf("%s: the second reader found no cues", in.name)
			}
			if diff := cmp.Diff(want, got); diff != "" {
				t.Errorf("%s: ours (+) and the second reader's (-):\n%s", in.name, diff)
			}
		}
	}
}

func mappedCues(cues []timeline.Cue, plain func(string) string) []plainCue {
	var out []plainCue
	for _, c := range cues {
		out = append(out, plainCue{seconds(c.From), seconds(c.To), plain(c.Text)})
	}
	return out
}

func theirCues(s *astisub.Subtitles) []plainCue {
	var out []plainCue
	for _, item := range s.Items {
		text := ""
		for i, line := range item.Lines {
			if i > 0 {
				text += "\n"
			}
			for _, part := range line.Items {
				text += part.Text
			}
		}
		out = append(out, plainCue{seconds(item.StartAt), seconds(item.EndAt), text})
	}
	return out
}
