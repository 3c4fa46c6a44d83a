package annotate_test

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"sideport/annotate"
	"sideport/annotate/ranges"
	"sideport/timeline"
	"sideport/timeline/source"
)

// head is what every case file has to have: three lines.
const head = "sideport: 1\ntitle: A case\nprocedure: msics\n"

// phacoHead is head for the other procedure.
const phacoHead = "sideport: 1\ntitle: A case\nprocedure: phaco\n"

// load writes a case folder from file names and texts and reads it.
func load(t testing.TB, files map[string]string) *annotate.Material {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "case")
	for name, text := range files {
		path := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	m, err := annotate.Load(dir, "case")
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// resolve is load and Resolve with the built-in ranges.
func resolve(t testing.TB, files map[string]string) *annotate.Case {
	t.Helper()
	c, ok := annotate.Resolve(load(t, files), ranges.Builtin())
	if !ok {
		t.Fatalf("the case cannot be resolved: %v", printed(c.Findings, ""))
	}
	return c
}

// printed are the findings of a rule, or of a group ending in a slash, or all, as
// they print.
func printed(list []source.Finding, rule string) []string {
	var out []string
	for _, f := range source.Sort(slices.Clone(list)) {
		if rule == "" || f.Rule == rule || strings.HasSuffix(rule, "/") && strings.HasPrefix(f.Rule, rule) {
			out = append(out, f.String())
		}
	}
	return out
}

// faults are the findings that weigh more than a note, as they print.
func faults(list []source.Finding) []string {
	return printed(slices.DeleteFunc(slices.Clone(list), func(f source.Finding) bool { return f.Severity == source.Note }), "")
}

// secs is a time in seconds, or - for none.
func secs(d *time.Duration) string {
	if d == nil {
		return "-"
	}
	return fmt.Sprintf("%g", d.Seconds())
}

func spanText(s timeline.Span) string { return fmt.Sprintf("%g-%g", s.From.Seconds(), s.To.Seconds()) }

// stepLines shows where each step is and who says so: the step and its occurrence,
// the source, the recording span (~ an assumed end) and the video spans.
func stepLines(c *annotate.Case) []string {
	var out []string
	for _, s := range c.Steps {
		recording, video := "-", "-"
		if s.Recording != nil {
			recording = spanText(*s.Recording)
		}
		if s.EndAssumed {
			recording += "~"
		}
		var pieces []string
		for _, v := range s.Video {
			pieces = append(pieces, spanText(v))
		}
		if len(pieces) > 0 {
			video = strings.Join(pieces, "+")
		}
		from := s.From
		if from == "" {
			from = "untimed"
		}
		out = append(out, fmt.Sprintf("%s %d %s %s %s", s.ID, s.Nth, from, recording, video))
	}
	return out
}

// markTimes are the stamps' recording times in seconds, in list order.
func markTimes(c *annotate.Case) []string {
	var out []string
	for _, m := range c.Marks {
		out = append(out, secs(&m.Recording))
	}
	return out
}

// value is the one value of a parameter in a case.
func value(t testing.TB, c *annotate.Case, parameter string) annotate.Value {
	t.Helper()
	var found []annotate.Value
	for _, s := range c.Steps {
		found = append(found, s.Values...)
	}
	found = append(found, c.Header...)
	found = slices.DeleteFunc(found, func(v annotate.Value) bool { return v.Parameter != parameter })
	if len(found) != 1 {
		t.Fatalf("%d values of %s; want 1: %v", len(found), parameter, printed(c.Findings, ""))
	}
	return found[0]
}

func timelineSpan(from, to time.Duration) timeline.Span { return timeline.Span{From: from, To: to} }
