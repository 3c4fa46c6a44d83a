package ranges

import (
	"path"

	"sideport/timeline/source"
	"sideport/timeline/source/yamldoc"
)

// ParseLocal reads a file of a user's own ranges, to be handed to Table.With:
//
//	whose: our unit
//	rows:
//	  - parameter: bottle-height
//	    steps: [cortex-aspiration]
//	    when: [variant = simcoe]
//	    accept: 55..75
//	    severity: caution
//
// Faults are read errors at their place; the other rows are read. Steps left out are
// all steps of the parameter, severity is caution and evidence common-practice when
// not given. Sources are ids of the built-in list or words.
func (t *Table) ParseLocal(src *source.Source, report source.Report) []Row {
	var doc struct {
		Whose yamldoc.Text `yaml:"whose"`
		Rows  []rowDoc     `yaml:"rows"`
	}
	if !yamldoc.Decode(src, &doc, report) {
		return nil
	}
	whose := doc.Whose.Value
	if whose == "" {
		whose = path.Base(src.Name())
	}
	l := loader{sources: t.sources, parameters: map[string]Parameter{}, whose: whose, report: report}
	for _, p := range t.parameters {
		l.parameters[p.ID] = p
	}
	var rows []Row
	for i := range doc.Rows {
		rows = append(rows, l.expand(&doc.Rows[i])...)
	}
	return rows
}
