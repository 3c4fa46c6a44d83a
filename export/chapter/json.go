package chapter

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"

	"sideport/export/caption"
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
		Start json.Number `json:"startTime"`
		End   json.Number `json:"endTime"`
		Title string      `json:"title"`
	}
	file := struct {
		Version  string  `json:"version"`
		Title    string  `json:"title,omitempty"`
		Chapters []entry `json:"chapters"`
	}{Version: "1.2.0", Title: caption.CleanLine(l.Title), Chapters: []entry{}}
	for _, c := range flat(roots) {
		file.Chapters = append(file.Chapters, entry{seconds(c.From), seconds(c.To), c.Title})
	}
	var out bytes.Buffer
	enc := json.NewEncoder(&out)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	if err := enc.Encode(file); err != nil {
		return fmt.Errorf("encoding chapters: %w", err)
	}
	_, err = w.Write(out.Bytes())
	return err
}

// seconds prints whole milliseconds as seconds with no more decimals than it
// takes; no float comes near them.
func seconds(d time.Duration) json.Number {
	ms := d.Milliseconds()
	text := strconv.FormatInt(ms/1000, 10)
	if rest := ms % 1000; rest != 0 {
		text += "." + strings.TrimRight(fmt.Sprintf("%03d", rest), "0")
	}
	return json.Number(text)
}
