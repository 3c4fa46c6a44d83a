package cmd

import (
	"io"

	"sideport/annotate/ranges"
	"sideport/export"
	"sideport/export/report"
	"sideport/timeline/source"

	"github.com/spf13/cobra"
)

const aboutCheck = `Look through one case, or every case below a folder, and list what to look at
again: material that could not be read, times that do not fit, steps out of order,
values outside the range their source quotes, and anything that could tell who the
patient is. Nothing in the folder changes.

A finding means "look again". It is never an instruction.

Ends with 1 when something at or above --fail-on was found (stop unless said
otherwise), when material could not be read, or when a build of the case would be
withheld.`

func (a *app) checkCmd() *cobra.Command {
	var out string
	level := failOn()
	level.value = "stop"
	format := &oneOf{value: "text", words: []string{"text", "json", "csv", "html"}}
	c := &cobra.Command{
		Use:   "check PATH...",
		Short: "List what to look at again in a case or a tree of cases",
		Long:  aboutCheck,
		Args:  folders,
		RunE: a.run(func(args []string) error {
			return a.check(args, format.value, level.value, out)
		}),
	}
	c.Flags().StringVarP(&out, "output", "o", "", "file to write instead of standard output; none inside a case folder")
	level.flag(c, "fail-on", "end with 1 from this weight on: note, caution, stop or never")
	format.flag(c, "format", "how to print: text, json, csv or html")
	return c
}

func (a *app) check(args []string, format, level, out string) error {
	dirs, err := a.cases(args)
	if err != nil {
		return err
	}
	if err := outside(out, dirs); err != nil {
		return err
	}
	table := ranges.Builtin()
	var list []report.Case
	var all []source.Finding
	for _, dir := range dirs {
		j, err := judge(dir, table)
		if err != nil {
			a.broke(dir, err)
			continue
		}
		if j.unread() || j.withheld() { // no weight asked for makes these pass
			a.found()
		}
		if j.bundle != nil && format != "text" {
			j.report.Findings = export.Masked(j.bundle.Case, j.findings, true)
		}
		list = append(list, j.report)
		all = append(all, j.findings...)
	}
	if reaches(level, all) {
		a.found()
	}
	return a.output(out, func(w io.Writer) error {
		switch format {
		case "json":
			return report.JSON(w, list)
		case "csv":
			return report.CSV(w, list)
		case "html":
			return report.HTML(w, list)
		}
		return report.Text(w, list)
	})
}
