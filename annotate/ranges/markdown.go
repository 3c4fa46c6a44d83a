package ranges

import (
	"fmt"
	"io"
	"strings"
)

// WriteMarkdown writes every row of the table with its sources, as RANGES.md beside
// the code holds it. The error is the writer's.
func (t *Table) WriteMarkdown(w io.Writer) error {
	var b strings.Builder
	b.WriteString("# Accepted ranges\n\nWritten from the rows in data/; do not edit. A value outside a range means: look again.\n" +
		"Evidence stands for the accepted and the outer band. The weight is that of leaving the\naccepted and the outer band.\n")
	last := ""
	for i := range t.rows {
		r := &t.rows[i]
		p, _ := t.byParameter(r.Parameter)
		if r.Parameter != last {
			fmt.Fprintf(&b, "\n## %s\n\n", p.Label)
			b.WriteString("| step | for | accepted | outer | weight | evidence | quoted | why |\n|---|---|---|---|---|---|---|---|\n")
			last = r.Parameter
		}
		fmt.Fprintf(&b, "| %s | %s | %s | %s | %s | %s | %s | %s |\n", stepText(r.Step), cell(r.scope()), cell(r.acceptText()), cell(r.Hard.String()),
			r.weightText(), r.evidenceText(), cell(r.Quoted), cell(r.Why))
	}
	b.WriteString("\n## Sources\n\n| id | reference |\n|---|---|\n")
	for _, id := range t.sourceIDs {
		fmt.Fprintf(&b, "| %s | %s |\n", id, cell(t.sources[id]))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func cell(text string) string { return strings.ReplaceAll(text, "|", "\\|") }

func stepText(step string) string {
	switch step {
	case "":
		return "whole case"
	case AnyStep:
		return "every step"
	}
	return step
}

// scope is the procedure and the conditions of a row.
func (r *Row) scope() string {
	var parts []string
	if r.Procedure != "" {
		parts = append(parts, r.Procedure)
	}
	for _, c := range r.Conditions {
		parts = append(parts, c.String())
	}
	if r.Also {
		parts = append(parts, "in addition")
	}
	if r.Local != "" {
		parts = append(parts, "range of "+r.Local)
	}
	return strings.Join(parts, "; ")
}

func (r *Row) acceptText() string {
	switch {
	case len(r.Words) > 0:
		return strings.Join(r.Words, ", ")
	case len(r.Against) > 0:
		return "not " + strings.Join(r.Against, ", ")
	case r.Says != "" && !r.Accept.Numeric() && !r.Hard.Numeric():
		return "no number"
	case r.AtLeast != "":
		return r.Accept.String() + ", at least " + factName(r.AtLeast)
	}
	return r.Accept.String()
}

func (r *Row) weightText() string {
	first := r.severity(false).String()
	if !r.Hard.Numeric() {
		return first
	}
	return first + " / " + r.severity(true).String()
}

func (r *Row) evidenceText() string {
	if !r.Hard.Numeric() {
		return r.Evidence.Accept
	}
	return r.Evidence.Accept + " / " + r.Evidence.Hard
}
