package report

import (
	"encoding/json"
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

type jsonFinding struct {
	Rule      string        `json:"rule"`
	Severity  string        `json:"severity"`
	Message   string        `json:"message"`
	Hint      string        `json:"hint,omitempty"`
	File      string        `json:"file,omitempty"`
	Line      int           `json:"line,omitempty"`
	Column    int           `json:"column,omitempty"`
	Path      string        `json:"path,omitempty"`
	Step      string        `json:"step,omitempty"`
	Nth       int           `json:"nth,omitempty"`
	Recording *float64      `json:"recording_s,omitempty"`
	Video     *float64      `json:"video_s,omitempty"`
	Value     *jsonBounds   `json:"value,omitempty"`
	Accepted  *jsonBounds   `json:"accepted,omitempty"`
	Evidence  string        `json:"evidence,omitempty"`
	Source    string        `json:"source,omitempty"`
	SourceID  string        `json:"source_id,omitempty"`
	Waived    bool          `json:"waived"`
	WaivedBy  string        `json:"waived_by,omitempty"`
	Related   []jsonRelated `json:"related,omitempty"`
}

type jsonRelated struct {
	File    string `json:"file,omitempty"`
	Line    int    `json:"line,omitempty"`
	Column  int    `json:"column,omitempty"`
	Message string `json:"message"`
}

type jsonBounds struct {
	Low  *float64 `json:"low"`
	High *float64 `json:"high"`
	Unit string   `json:"unit"`
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
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", " ")
	return enc.Encode(report)
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
		Rule: f.Rule, Severity: f.Severity.String(), Message: f.Message, Hint: f.Hint,
		Line: p.Line, Column: p.Column, Path: f.Path, Step: f.Step, Nth: f.Nth,
		Value: bounds(f.Value), Accepted: bounds(f.Accepted),
		Evidence: f.Evidence, Source: f.Source, SourceID: f.SourceID,
		Waived: f.Waived, WaivedBy: f.WaivedBy,
	}
	if p.File != "" {
		j.File = c.file(f)
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
		rel := jsonRelated{Line: at.Line, Column: at.Column, Message: r.Message}
		if at.File != "" {
			rel.File = c.file(source.Finding{Pos: r.Pos})
		}
		j.Related = append(j.Related, rel)
	}
	return j
}

func bounds(b *source.Bounds) *jsonBounds {
	if b == nil {
		return nil
	}
	return &jsonBounds{Low: b.Low, High: b.High, Unit: b.Unit}
}
