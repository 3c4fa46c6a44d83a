package page

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"sideport/export/report"
)

// linked is the page's description for programs, in the terms of schema.org. It
// holds no date: a date of publication is not known here, and one of surgery is
// never told.
func (b *builder) linked() map[string]any {
	v, c := b.v, b.c
	out := map[string]any{
		"@context":             "https://schema.org",
		"@type":                "LearningResource",
		"name":                 v.Title,
		"inLanguage":           b.lang,
		"learningResourceType": "annotated surgical case",
		"educationalUse":       "professional training",
		"about":                map[string]any{"@type": "SurgicalProcedure", "name": c.Procedure.Label},
		"accessMode":           []string{"textual", "visual"},
		"conditionsOfAccess":   v.Release,
	}
	if v.Release == "" {
		delete(out, "conditionsOfAccess")
	}
	if v.Summary != "" {
		out["description"] = v.Summary
	}
	if len(v.Objectives) > 0 {
		out["teaches"] = v.Objectives
	}
	var cite []string
	for _, r := range v.References {
		cite = append(cite, r.Text)
	}
	if len(cite) > 0 {
		out["citation"] = cite
	}
	if len(v.Authors) > 0 {
		var people []any
		for _, a := range v.Authors {
			people = append(people, map[string]any{"@type": "Person", "name": a})
		}
		out["creator"] = people
	}
	if v.Video == nil {
		return out
	}
	out["@type"] = []string{"VideoObject", "LearningResource"}
	out["contentUrl"] = v.Video.Src
	if c.VideoLength > 0 {
		out["duration"] = isoDuration(c.VideoLength)
	}
	features := []string{"alternativeText", "structuralNavigation"}
	if v.Transcript != nil {
		features = append(features, "captions", "transcript")
	}
	out["accessibilityFeature"] = features
	if clips := b.clips(); len(clips) > 0 {
		out["hasPart"] = clips
	}
	return out
}

// clips are the steps as parts of the video, one a stretch.
func (b *builder) clips() []any {
	var out []any
	for i, s := range b.v.Steps {
		for _, span := range b.c.Steps[i].Video {
			out = append(out, map[string]any{
				"@type": "Clip", "name": strings.TrimSpace(s.Name.Text + " " + s.Again),
				"startOffset": report.Seconds(span.From), "endOffset": report.Seconds(span.To),
				"url": "index.html#" + s.ID,
			})
		}
	}
	return out
}

// isoDuration is d as ISO 8601 writes it, to the millisecond: PT4M5.2S.
func isoDuration(d time.Duration) string {
	ms := d.Round(time.Millisecond).Milliseconds()
	out := "PT"
	if h := ms / 3_600_000; h > 0 {
		out += fmt.Sprintf("%dH", h)
	}
	if m := ms / 60_000 % 60; m > 0 {
		out += fmt.Sprintf("%dM", m)
	}
	if s := ms % 60_000; s > 0 || out == "PT" {
		out += strconv.FormatFloat(float64(s)/1000, 'f', -1, 64) + "S"
	}
	return out
}
