package report

import (
	_ "embed" // the template
	"fmt"
	"html/template"
	"io"

	"sideport/export/words"
	"sideport/timeline/source"
)

//go:embed report.html.tmpl
var htmlText string

type htmlCase struct {
	Path   string
	Groups []htmlGroup
}

type htmlGroup struct {
	Title    string
	Findings []htmlFinding
}

type htmlFinding struct {
	source.Finding
	Weight, Place string
	Heavy         bool
}

// HTML writes the findings as one page without scripts, to print or hand round.
// Text of the user's is escaped.
func HTML(w io.Writer, cases []Case) error {
	say := words.Get(words.English)
	tmpl, err := template.New("report").Parse(htmlText)
	if err != nil {
		return fmt.Errorf("reading the report template: %w", err)
	}
	data := struct {
		Caution string
		Totals  Totals
		Cases   []htmlCase
	}{words.Caution, Count(cases), nil}
	for _, c := range cases {
		hc := htmlCase{Path: c.Path}
		for _, group := range byStep(c.Findings) {
			g := htmlGroup{Title: groupTitle(group[0])}
			for _, f := range group {
				g.Findings = append(g.Findings, htmlFinding{
					Finding: f, Weight: say.Severity(f.Severity), Place: f.Pos.String(), Heavy: f.Severity >= source.Stop && !f.Waived,
				})
			}
			hc.Groups = append(hc.Groups, g)
		}
		data.Cases = append(data.Cases, hc)
	}
	if err := tmpl.Execute(w, data); err != nil {
		return fmt.Errorf("writing findings as HTML: %w", err)
	}
	return nil
}
