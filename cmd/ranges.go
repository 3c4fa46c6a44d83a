package cmd

import (
	"fmt"
	"io"
	"strings"

	"sideport/annotate/quantity"
	"sideport/annotate/ranges"
	"sideport/export/report"
	"sideport/export/words"

	"github.com/spf13/cobra"
)

func (a *app) rangesCmd() *cobra.Command {
	form := &oneOf{value: "text", words: []string{"text", "json", "csv"}}
	procedure := procedureFlag()
	var parameter string
	c := &cobra.Command{
		Use:   "ranges",
		Short: "Print the accepted ranges, each with its source and how sure it is",
		Args:  cobra.NoArgs,
		RunE: a.run(func([]string) error {
			return printRanges(a.out, procedure.value, parameter, form.value)
		}),
	}
	procedure.flag(c, "procedure", "only rows of this procedure, and those of every one")
	c.Flags().StringVar(&parameter, "parameter", "", "only this parameter")
	form.flag(c, "format", "how to print: text, json or csv")
	return c
}

type rangeRow struct {
	Parameter  string        `json:"parameter"`
	Step       string        `json:"step"`
	Procedure  string        `json:"procedure"`
	Conditions []string      `json:"conditions"`
	Unit       string        `json:"unit"`
	Accept     ends          `json:"accept"`
	Hard       ends          `json:"hard"`
	Words      []string      `json:"words"`
	Severity   []string      `json:"severity"`
	Evidence   rangeEvidence `json:"evidence"`
	Quoted     string        `json:"quoted"`
	Source     string        `json:"source"`
	SourceID   string        `json:"source_id"`
	Why        string        `json:"why"`
	Also       bool          `json:"also"`
}

type ends struct {
	Low  *float64 `json:"low"`
	High *float64 `json:"high"`
}

type rangeEvidence struct {
	Accept string `json:"accept"`
	Hard   string `json:"hard"`
}

func rangeRows(procedure, parameter string) []rangeRow {
	rows := []rangeRow{}
	for _, r := range ranges.Builtin().Rows() {
		if procedure != "" && r.Procedure != "" && r.Procedure != procedure || parameter != "" && r.Parameter != parameter {
			continue
		}
		row := rangeRow{
			Parameter: r.Parameter, Step: r.Step, Procedure: r.Procedure, Conditions: []string{}, Unit: r.Unit,
			Accept: endsOf(r.Accept), Hard: endsOf(r.Hard), Words: list(r.Words),
			Severity: []string{r.Severity[0].String(), r.Severity[1].String()},
			Evidence: rangeEvidence{r.Evidence.Accept, r.Evidence.Hard},
			Quoted:   r.Quoted, Source: r.Source, SourceID: r.SourceID, Why: r.Why, Also: r.Also,
		}
		for _, c := range r.Conditions {
			row.Conditions = append(row.Conditions, c.String())
		}
		rows = append(rows, row)
	}
	return rows
}

func endsOf(b ranges.Band) ends { return ends{b.Low, b.High} }

func printRanges(w io.Writer, procedure, parameter, format string) error {
	rows := rangeRows(procedure, parameter)
	switch format {
	case "json":
		return report.Encode(w, rows)
	case "csv":
		table := [][]string{{"parameter", "step", "procedure", "conditions", "unit", "accept", "hard", "words", "severity", "evidence_accept", "evidence_hard", "quoted", "source", "source_id", "why", "also"}}
		for _, r := range rows {
			table = append(table, []string{
				r.Parameter, r.Step, r.Procedure, strings.Join(r.Conditions, "; "), r.Unit, band(r.Accept, r.Unit), band(r.Hard, r.Unit),
				strings.Join(r.Words, "; "), strings.Join(r.Severity, "; "), r.Evidence.Accept, r.Evidence.Hard, r.Quoted, r.Source, r.SourceID, r.Why, yesNo(r.Also),
			})
		}
		return printCSV(w, table)
	}
	say := words.Get(words.English)
	for _, r := range rows {
		fmt.Fprintf(w, "%s", r.Parameter)
		if r.Step != "" && r.Step != ranges.AnyStep {
			fmt.Fprintf(w, " at %s", r.Step)
		}
		if r.Procedure != "" {
			fmt.Fprintf(w, " in %s", r.Procedure)
		}
		if len(r.Conditions) > 0 {
			fmt.Fprintf(w, ", where %s", strings.Join(r.Conditions, " and "))
		}
		fmt.Fprintln(w)
		line(w, "range quoted", rangeText(r), say.Evidence(r.Evidence.Accept))
		if r.Hard.Low != nil || r.Hard.High != nil {
			line(w, "far outside beyond", band(r.Hard, r.Unit), say.Evidence(r.Evidence.Hard))
		}
		line(w, "published", r.Quoted, "")
		line(w, "source", r.Source, "")
		line(w, "why", r.Why, "")
	}
	fmt.Fprintf(w, "\n%s\n", words.Caution)
	return nil
}

func line(w io.Writer, head, text, evidence string) {
	if text == "" {
		return
	}
	if evidence != "" {
		text += " (" + evidence + ")"
	}
	fmt.Fprintf(w, "    %s: %s\n", head, text)
}

func rangeText(r rangeRow) string {
	if len(r.Words) > 0 {
		return strings.Join(r.Words, ", ")
	}
	return band(r.Accept, r.Unit)
}

// band is a range for people: 5.5–7.5 mm, at least 6 mm.
func band(e ends, unit string) string {
	u := quantity.UnitShown(unit)
	switch {
	case e.Low != nil && e.High != nil:
		return strings.TrimSpace(fmt.Sprintf("%v–%v %s", *e.Low, *e.High, u))
	case e.Low != nil:
		return strings.TrimSpace(fmt.Sprintf("at least %v %s", *e.Low, u))
	case e.High != nil:
		return strings.TrimSpace(fmt.Sprintf("at most %v %s", *e.High, u))
	}
	return ""
}
