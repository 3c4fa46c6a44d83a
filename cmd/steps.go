package cmd

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"sideport/annotate/taxonomy"
	"sideport/export/report"

	"github.com/spf13/cobra"
)

func (a *app) stepsCmd() *cobra.Command {
	form := &oneOf{value: "text", words: []string{"text", "json", "csv"}}
	procedure := procedureFlag()
	c := &cobra.Command{
		Use:   "steps",
		Short: "Print the vocabulary of steps, with synonyms and order",
		Args:  cobra.NoArgs,
		RunE: a.run(func([]string) error {
			return printSteps(a.out, procedure.value, form.value)
		}),
	}
	procedure.flag(c, "procedure", "only this procedure")
	form.flag(c, "format", "how to print: text, json or csv")
	return c
}

// procedureFlag is --procedure, empty for all.
func procedureFlag() *oneOf {
	f := &oneOf{}
	for _, p := range taxonomy.All() {
		f.words = append(f.words, p.ID)
	}
	return f
}

type stepRow struct {
	ID            string   `json:"id"`
	Label         string   `json:"label"`
	Procedure     string   `json:"procedure"`
	Required      bool     `json:"required"`
	Repeat        bool     `json:"repeat"`
	Synonyms      []string `json:"synonyms"`
	Variants      []string `json:"variants"`
	Complications []string `json:"complications"`
	Instruments   []string `json:"instruments"`
	Before        []string `json:"before"`
	MaySwap       []string `json:"may_swap"`
	Window        []int    `json:"window_s"`
}

func stepRows(procedure string) []stepRow {
	rows := []stepRow{}
	for _, p := range taxonomy.All() {
		if procedure != "" && p.ID != procedure {
			continue
		}
		for _, s := range p.Steps {
			row := stepRow{
				ID: s.ID, Label: s.Label, Procedure: p.ID, Required: s.Required, Repeat: s.Repeat,
				Synonyms: list(s.Names()), Variants: []string{}, Complications: list(s.Complications),
				Instruments: list(s.Instruments), Before: list(p.Before(s.ID)), MaySwap: list(p.SwapsWith(s.ID)),
			}
			for _, v := range s.Variants {
				row.Variants = append(row.Variants, v.ID)
			}
			if s.WindowS != [2]int{} {
				row.Window = s.WindowS[:]
			}
			rows = append(rows, row)
		}
	}
	return rows
}

// list is never nil, so that JSON has [] where there is nothing.
func list(words []string) []string {
	if words == nil {
		return []string{}
	}
	return words
}

func printSteps(w io.Writer, procedure, format string) error {
	rows := stepRows(procedure)
	switch format {
	case "json":
		return report.Encode(w, rows)
	case "csv":
		table := [][]string{{"id", "label", "procedure", "required", "repeat", "synonyms", "variants", "complications", "instruments", "before", "may_swap", "window_s"}}
		for _, r := range rows {
			table = append(table, []string{
				r.ID, r.Label, r.Procedure, yesNo(r.Required), yesNo(r.Repeat), strings.Join(r.Synonyms, "; "), strings.Join(r.Variants, "; "),
				strings.Join(r.Complications, "; "), strings.Join(r.Instruments, "; "), strings.Join(r.Before, "; "), strings.Join(r.MaySwap, "; "), window(r.Window),
			})
		}
		return printCSV(w, table)
	}
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	last := ""
	for _, r := range rows {
		if r.Procedure != last {
			p, _ := taxonomy.ByID(r.Procedure)
			if last != "" {
				fmt.Fprintln(t)
			}
			fmt.Fprintf(t, "%s (%s)\n", p.Label, p.ID)
			fmt.Fprintf(t, "id\tname\texpected\tmay repeat\tseconds, our sanity limit\talso written\n")
			last = r.Procedure
		}
		fmt.Fprintf(t, "%s\t%s\t%s\t%s\t%s\t%s\n", r.ID, r.Label, yesNo(r.Required), yesNo(r.Repeat), window(r.Window), strings.Join(r.Synonyms, ", "))
	}
	return t.Flush()
}

func window(w []int) string {
	if len(w) != 2 {
		return ""
	}
	return fmt.Sprintf("%d-%d", w[0], w[1])
}

func yesNo(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}
