package chapter

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"strings"
	"time"

	"sideport/export/caption"
	"sideport/export/report"
	"sideport/timeline"
)

// WriteJSON writes l as JSON chapters 1.2.0 of the podcast namespace: seconds, in
// ascending order, each entry with its end. Members that the list and its chapters
// carry stand behind those written here, the first of each name. Its media type is
// application/json+chapters. A member that is not valid JSON is an error.
//
// Source: podcast-namespace, jsonChapters (2021-04-15).
func WriteJSON(w io.Writer, l List) error {
	roots, err := arrange(l)
	if err != nil {
		return err
	}
	file := object{{Name: "version", JSON: `"1.2.0"`}}
	if title := caption.CleanLine(l.Title); title != "" {
		file = append(file, timeline.Member{Name: "title", JSON: jsonString(title)})
	}
	var entries []string
	for _, c := range flat(roots) {
		entry, err := append(object{
			{Name: "startTime", JSON: seconds(c.From)}, {Name: "endTime", JSON: seconds(c.To)}, {Name: "title", JSON: jsonString(c.Title)},
		}, c.Members...).MarshalJSON()
		if err != nil {
			return fmt.Errorf("writing JSON chapters: %w", err)
		}
		entries = append(entries, string(entry))
	}
	for _, m := range l.Members {
		if m.Name != "chapters" {
			file = append(file, m)
		}
	}
	return report.Encode(w, append(file, timeline.Member{Name: "chapters", JSON: "[" + strings.Join(entries, ",") + "]"}))
}

// object is a JSON object whose members stay in order. Of two with one name the
// first counts.
type object []timeline.Member

// MarshalJSON writes the members as they are.
func (o object) MarshalJSON() ([]byte, error) {
	var out bytes.Buffer
	seen := map[string]bool{}
	for _, m := range o {
		if seen[m.Name] {
			continue
		}
		seen[m.Name] = true
		if !json.Valid([]byte(m.JSON)) {
			return nil, fmt.Errorf("the value of member %q is not JSON", m.Name)
		}
		out.WriteString("," + jsonString(m.Name) + ":" + m.JSON)
	}
	return append(append([]byte("{"), bytes.TrimPrefix(out.Bytes(), []byte(","))...), '}'), nil
}

// jsonString is text as a JSON value, with & < > as they are.
func jsonString(text string) string {
	var out bytes.Buffer
	enc := json.NewEncoder(&out)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(text); err != nil {
		panic(fmt.Sprintf("a text is no JSON value: %v", err)) // no text is
	}
	return strings.TrimSuffix(out.String(), "\n")
}

// seconds prints a whole number of milliseconds as seconds with as many decimals as
// it has.
func seconds(d time.Duration) string {
	text := fmt.Sprintf("%d.%03d", d/time.Second, d%time.Second/time.Millisecond)
	return strings.TrimSuffix(strings.TrimRight(text, "0"), ".")
}
