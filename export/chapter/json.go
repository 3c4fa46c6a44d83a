package chapter

import (
	"io"

	"sideport/export/caption"
	"sideport/export/report"
)

// WriteJSON writes l as JSON chapters 1.2.0 of the podcast namespace: seconds, in
// ascending order, each entry with its end. Its media type is
// application/json+chapters.
//
// Source: podcast-namespace, jsonChapters (2021-04-15).
func WriteJSON(w io.Writer, l List) error {
	roots, err := arrange(l)
	if err != nil {
		return err
	}
	type entry struct {
		Start float64 `json:"startTime"`
		End   float64 `json:"endTime"`
		Title string  `json:"title"`
	}
	file := struct {
		Version  string  `json:"version"`
		Title    string  `json:"title,omitempty"`
		Chapters []entry `json:"chapters"`
	}{Version: "1.2.0", Title: caption.CleanLine(l.Title), Chapters: []entry{}}
	for _, c := range flat(roots) {
		file.Chapters = append(file.Chapters, entry{report.Seconds(c.From), report.Seconds(c.To), c.Title})
	}
	return report.Encode(w, file)
}
