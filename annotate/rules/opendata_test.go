package rules_test

import (
	"encoding/json"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"sideport/annotate/rules"
	"sideport/annotate/taxonomy"
	"sideport/timeline/source"
	"sideport/timeline/timelinetest"
)

// readJSON reads one file of the open data.
func readJSON(t *testing.T, file string, into any) {
	t.Helper()
	raw, err := os.ReadFile(timelinetest.OpenData(t, file))
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(raw, into); err != nil {
		t.Fatal(err)
	}
}

// classStep is the step that a class of an open label set resolves to, and none for
// one that names no step.
func classStep(t *testing.T, set, class string) (id string) {
	t.Helper()
	p, _ := taxonomy.ByID("phaco")
	for _, spelling := range []string{class, strings.ToLower(class), strings.ReplaceAll(strings.ToLower(class), "-", " ")} {
		if l, ok := p.DataLabel(set, spelling); ok {
			return l.Step
		}
	}
	t.Fatalf("%s has no class %q", set, class)
	return ""
}

// orderFindings is what group order says of an operation that did the steps in the
// given order, a minute each, as stamps and again as chapters alone.
func orderFindings(t *testing.T, steps []string) []source.Finding {
	t.Helper()
	var list strings.Builder
	chapters := "WEBVTT\n"
	for i, id := range steps {
		fmt.Fprintf(&list, "0:%02d:00 %s\n", i, id)
		chapters += fmt.Sprintf("\n00:%02d:00.000 --> 00:%02d:00.000\n%s\n", i, i+1, id)
	}
	var out []source.Finding
	for _, files := range []map[string]string{
		{"case.yaml": phacoHead, "recording.txt": list.String()},
		{"case.yaml": phacoHead, "chapters.vtt": chapters},
	} {
		c := resolve(t, folder(t, "case", files))
		for _, s := range c.Steps {
			if !slices.Contains(steps, s.ID) {
				t.Fatalf("%v resolves to %s", steps, s.ID)
			}
		}
		if len(c.Steps) < len(slices.Compact(slices.Sorted(slices.Values(steps)))) {
			t.Fatalf("%v resolves to %d steps", steps, len(c.Steps))
		}
		for _, f := range rules.Check(c) {
			if f.Group() == "order" {
				out = append(out, f)
			}
		}
	}
	return out
}

func heavy(list []source.Finding) []source.Finding {
	return slices.DeleteFunc(slices.Clone(list), func(f source.Finding) bool { return f.Severity == source.Note })
}

// Source: the most frequent phase sequences of the 101 operations of Cataract-101
// (Schoeffmann K et al. ACM MMSys 2018:421-425), counted from its annotations. What
// surgeons do most often is no reason to look again.
func TestUsualSequencesOfRealCasesAreInOrder(t *testing.T) {
	var data struct {
		Phases map[string]string `json:"phase_names"`
		Groups map[string]struct {
			Top []struct {
				Sequence []int
				Count    int
			} `json:"top_sequences"`
		}
	}
	readJSON(t, "cataract101_aggregate.json", &data)
	covered := 0
	for group, g := range data.Groups {
		for _, top := range g.Top {
			if group == "all" {
				covered += top.Count
			}
			var steps []string
			for _, phase := range top.Sequence {
				steps = append(steps, classStep(t, "cataract-101", data.Phases[fmt.Sprint(phase)]))
			}
			if got := heavy(orderFindings(t, steps)); len(got) != 0 {
				t.Errorf("sequence %v of %d cases of group %s: %v", top.Sequence, top.Count, group, got)
			}
			slices.Reverse(steps)
			if len(heavy(orderFindings(t, steps))) == 0 {
				t.Errorf("sequence %v backwards: nothing is said", top.Sequence)
			}
		}
	}
	if covered != 82 { // 65, 8, 4, 3 and 2 of 101
		t.Errorf("the sequences cover %d cases, want 82", covered)
	}
}

// Source: 56 phase sequences digitised from a figure of Cataract-1K (Ghamsarian N et
// al. Scientific Data 2024, s41597-024-03193-4), CC BY 4.0.
func TestDigitisedOrdersOfRealCasesAreInOrder(t *testing.T) {
	var data []struct {
		Case     int `json:"figure_case"`
		Segments []struct{ Phase string }
	}
	readJSON(t, "cataract1k_from_figure.json", &data)
	if len(data) != 56 {
		t.Fatalf("%d orders, want 56", len(data))
	}
	for _, order := range data {
		var steps []string
		for _, s := range order.Segments {
			if id := classStep(t, "cataract-1k", s.Phase); id != "" {
				steps = append(steps, id)
			}
		}
		if len(steps) < 8 {
			t.Errorf("case %d has %d steps", order.Case, len(steps))
		}
		if got := heavy(orderFindings(t, steps)); len(got) != 0 {
			t.Errorf("case %d, %v: %v", order.Case, steps, got)
		}
	}
}
