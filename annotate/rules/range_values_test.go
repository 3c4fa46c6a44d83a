package rules_test

import (
	"fmt"
	"testing"

	"sideport/timeline/source"

	"github.com/google/go-cmp/cmp"
)

// A rhexis of 5.2 mm is below what the vocabulary's source quotes for the
// small-incision operation; the number itself is checked in annotate/ranges.
func TestRangesAreSaidAtTheValue(t *testing.T) {
	const said = "rhexis diameter 5.2 mm is below 5.5–7.5 mm [range/rhexis-diameter]"
	expect(t, "range/", []sample{
		{"inside", with("steps: [{step: capsulotomy, variant: ccc, values: {rhexis-diameter: 6 mm}}]\n", ""), nil},
		{"no value", with("steps: [{step: capsulotomy, variant: ccc}]\n", ""), nil},
		{"a proposal is not judged", with("", "1:00 rhexis, 4 mm\n"), nil},
		{"short form", with("steps: [{step: capsulotomy, variant: ccc, values: {rhexis-diameter: 5.2 mm}}]\n", ""), []string{
			"case/case.yaml:4:69: caution: " + said}},
		{"quoted", with("steps: [{step: capsulotomy, variant: ccc, values: {rhexis-diameter: \"5.2 mm\"}}]\n", ""), []string{
			"case/case.yaml:4:69: caution: " + said}},
		{"long form", with("steps:\n  - step: capsulotomy\n    variant: ccc\n    values:\n      rhexis-diameter: {how: on-image, value: 5.2 mm}\n", ""), []string{
			"case/case.yaml:8:47: caution: " + said}},
		{"long form over lines", with("steps:\n  - step: capsulotomy\n    variant: ccc\n    values:\n      rhexis-diameter:\n        how: on-image\n        value: '5.2 mm'\n", ""), []string{
			"case/case.yaml:10:16: caution: " + said}},
		{"behind letters of two bytes", with("steps: [{step: capsulotomy, variant: ccc, note: Größe, values: {rhexis-diameter: 5.2 mm}}]\n", ""), []string{
			"case/case.yaml:4:82: caution: " + said}},
	})
}

// show is what ties a finding to the case: its place, key, step, moments and value.
func show(f source.Finding) string {
	span := func(s *source.Span) string {
		if s == nil {
			return "-"
		}
		return fmt.Sprintf("%g-%g", s.From.Seconds(), s.To.Seconds())
	}
	value := "-"
	if f.Value != nil && f.Value.Low != nil {
		value = fmt.Sprintf("%g %s", *f.Value.Low, f.Value.Unit)
	}
	return fmt.Sprintf("%s %s %s %d recording %s video %s value %s", f.Rule, f.Path, f.Step, f.Nth, span(f.Recording), span(f.Video), value)
}

func TestRangesAreTiedToStepAndTime(t *testing.T) {
	tests := []struct {
		name  string
		files map[string]string
		want  []string
	}{
		{"an untimed step", with("steps: [{step: capsulotomy, variant: ccc, values: {rhexis-diameter: 4 mm}}]\n", ""),
			[]string{"range/rhexis-diameter steps[0].values.rhexis-diameter capsulotomy 1 recording - video - value 4 mm"}},
		{"the second run, on both clocks", with("video: {shows: recording, duration: \"10:00\"}\nsteps: [{step: cortex-aspiration, nth: 2, values: {bottle-height: 20 cm}}]\n",
			"1:00 cortical wash\n2:00 iol\n3:00 cortical wash\n4:00 leak test\n"),
			[]string{"range/bottle-height steps[0].values.bottle-height cortex-aspiration 2 recording 180-240 video 180-240 value 20 cm"}},
		{"a reading has its own moment", with("video: {shows: recording, duration: \"10:00\"}\nsteps: [{step: cortex-aspiration, readings: [{at: \"1:20\", bottle-height: 20 cm}]}]\n",
			"1:00 cortical wash\n2:00 iol\n"),
			[]string{"range/bottle-height steps[0].readings[0].bottle-height cortex-aspiration 1 recording 80-80 video 80-80 value 20 cm"}},
		{"a reading without a moment has the step's", with("steps: [{step: cortex-aspiration, readings: [{bottle-height: 20 cm}]}]\n", "1:00 cortical wash\n2:00 iol\n"),
			[]string{"range/bottle-height steps[0].readings[0].bottle-height cortex-aspiration 1 recording 60-120 video - value 20 cm"}},
		{"the header has neither step nor moment", with("before: {axial-length: 2.34 mm}\n", ""),
			[]string{"range/slip before.axial-length  0 recording - video - value 2.34 mm"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var got []string
			for _, f := range found(t, tt.files) {
				if f.Group() == "range" {
					got = append(got, show(f))
				}
			}
			if diff := cmp.Diff(tt.want, got); diff != "" {
				t.Errorf("(-want +got):\n%s", diff)
			}
		})
	}
}

// A reading in material that the edit removed has a recording time and no video
// time: that of the step's other pieces would not be its own.
func TestRangeOfAReadingThatWasCut(t *testing.T) {
	files := with("video: {duration: \"4:00\"}\nsteps: [{step: cortex-aspiration, readings: [{at: \"4:00\", bottle-height: 20 cm}]}]\n",
		"0:00 peritomy\n1:00 rhexis\n2:00 cortical wash\n6:00 iol\n7:00 visco wash\n")
	files["chapters.vtt"] = "WEBVTT\n\n00:00.000 --> 01:00.000\nPeritomy\n\n01:00.000 --> 02:00.000\nRhexis\n\n02:00.000 --> 02:30.000\nCortical wash\n\n" +
		"02:30.000 --> 03:30.000\nIOL\n\n03:30.000 --> 04:00.000\nVisco wash\n"
	for _, f := range found(t, files) {
		if f.Rule == "range/bottle-height" {
			if got, want := show(f), "range/bottle-height steps[0].readings[0].bottle-height cortex-aspiration 1 recording 240-240 video - value 20 cm"; got != want {
				t.Errorf("finding = %s, want %s", got, want)
			}
			return
		}
	}
	t.Error("nothing is said of a bottle at 20 cm")
}
