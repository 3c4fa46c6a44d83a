package format_test

import (
	"fmt"
	"strings"
	"testing"
	"time"
	"unicode/utf16"

	"sideport/timeline"
	"sideport/timeline/format"
	"sideport/timeline/source"
)

// reader returns the reader of that name.
func reader(tb testing.TB, name string) format.Reader {
	tb.Helper()
	for _, r := range format.All() {
		if r.Name == name {
			return r
		}
	}
	tb.Fatalf("no reader is called %q", name)
	return format.Reader{}
}

// readCues decodes raw as file and reads its cues, as a command does: text that
// Decode refused is not read on.
func readCues(tb testing.TB, name, file string, raw []byte) ([]timeline.Cue, []source.Finding) {
	tb.Helper()
	var findings []source.Finding
	report := func(f source.Finding) { findings = append(findings, f) }
	src := source.Decode(file, raw, report)
	if len(findings) > 0 {
		return nil, findings
	}
	return reader(tb, name).Cues(src, report), source.Sort(findings)
}

// show prints a cue as from>to|id|settings|text, times in seconds.
func show(c timeline.Cue) string {
	return fmt.Sprintf("%s>%s|%s|%s|%s", seconds(c.From), seconds(c.To), c.ID, c.Settings, c.Text)
}

func seconds(d time.Duration) string {
	return strings.TrimSuffix(d.Round(time.Microsecond).String(), "s")
}

// brief prints a finding as line:column: severity rule.
func brief(f source.Finding) string {
	p := f.Pos.Position()
	return fmt.Sprintf("%d:%d: %s %s", p.Line, p.Column, f.Severity, f.Rule)
}

func mapped[T any](list []T, f func(T) string) []string {
	var out []string
	for _, v := range list {
		out = append(out, f(v))
	}
	return out
}

func encodeUTF16(text string) []uint16 { return utf16.Encode([]rune(text)) }
