package report

import (
	"encoding/json"
	"fmt"
	"io"

	"sideport/export/words"
	"sideport/timeline/source"
)

type jsonReport struct {
	Caution string     `json:"caution"`
	Cases   []jsonCase `json:"cases"`
	Totals  Totals     `json:"totals"`
}

type jsonCase struct {
	Case      string        `json:"case"`
	Procedure string        `json:"procedure"`
	Findings  []jsonFinding `json:"findings"`
}

// jsonFinding has every key always; what is not known is null.
type jsonFinding struct {
	Rule      string         `json:"rule"`
	Severity  string         `json:"severity"`
	Message   string         `json:"message"`
	Hint      *string        `json:"hint"`
	File      *string        `json:"file"`
	Line      *int           `json:"line"`
	Column    *int           `json:"column"`
	Path      *string        `json:"path"`
	Step      *string        `json:"step"`
	Nth       *int           `json:"nth"`
	Recording *float64       `json:"recording_s"`
	Video     *float64       `json:"video_s"`
	Value     *source.Bounds `json:"value"`
	Accepted  *source.Bounds `json:"accepted"`
	Evidence  *string        `json:"evidence"`
	Source    *string        `json:"source"`
	SourceID  *string        `json:"source_id"`
	Waived    bool           `json:"waived"`
	WaivedBy  *string        `json:"waived_by"`
	Related   []jsonRelated  `json:"related"`
}

type jsonRelated struct {
	File    *string `json:"file"`
	Line    *int    `json:"line"`
	Column  *int    `json:"column"`
	Message string  `json:"message"`
}

// JSON writes the findings of all cases in file order, with totals and the
// caution. Keys are never renamed or removed between versions.
func JSON(w io.Writer, cases []Case) error {
	report := jsonReport{Caution: words.Caution, Cases: []jsonCase{}, Totals: Count(cases)}
	for _, c := range cases {
		jc := jsonCase{Case: c.Path, Procedure: c.Procedure, Findings: []jsonFinding{}}
		for _, f := range c.Findings {
			jc.Findings = append(jc.Findings, c.json(f))
		}
		report.Cases = append(report.Cases, jc)
	}
	return Encode(w, report)
}

// Encode writes v as the program's JSON looks: indented by a space, its text not
// escaped for HTML, a line end at the end.
func Encode(w io.Writer, v any) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", " ")
	if err := enc.Encode(v); err != nil {
		return fmt.Errorf("writing JSON: %w", err)
	}
	return nil
}

// Findings is the value of a "findings" key in other JSON output.
func Findings(c Case) any {
	out := []jsonFinding{}
	for _, f := range c.Findings {
		out = append(out, c.json(f))
	}
	return out
}

func (c Case) json(f source.Finding) jsonFinding {
	p := f.Pos.Position()
	j := jsonFinding{
		Rule: f.Rule, Severity: f.Severity.String(), Message: f.Message, Hint: Known(f.Hint),
		File: Known(c.file(f.Pos)), Line: Known(p.Line), Column: Known(p.Column), Path: Known(f.Path), Step: Known(f.Step),
		Value: f.Value, Accepted: f.Accepted,
		Evidence: Known(f.Evidence), Source: Known(f.Source), SourceID: Known(f.SourceID),
		Waived: f.Waived, WaivedBy: Known(f.WaivedBy), Related: []jsonRelated{},
	}
	if f.Step != "" {
		j.Nth = Known(max(f.Nth, 1))
	}
	if f.Recording != nil {
		s := Seconds(f.Recording.From)
		j.Recording = &s
	}
	if f.Video != nil {
		s := Seconds(f.Video.From)
		j.Video = &s
	}
	for _, r := range f.Related {
		at := r.Pos.Position()
		j.Related = append(j.Related, jsonRelated{File: Known(c.file(r.Pos)), Line: Known(at.Line), Column: Known(at.Column), Message: r.Message})
	}
	return j
}

// Known is nil for what is empty, so that JSON says null.
func Known[T comparable](v T) *T {
	var zero T
	if v == zero {
		return nil
	}
	return &v
}
