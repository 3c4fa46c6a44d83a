package cmd

import (
	"sideport/annotate/ranges"
	"sideport/export"
	"sideport/export/report"
	"sideport/timeline/source"

	"github.com/spf13/cobra"
)

const aboutCheck = `Look through one case, or every case below a folder, and list what to look at
again: material that could not be read, times that do not fit, steps out of order,
values outside the range their source quotes, and anything that could tell who the
patient is. Nothing is written and nothing in the folder changes.

A finding means "look again". It is never an instruction.

Ends with 1 when something at or above --fail-on was found (stop unless said
otherwise), or when material could not be read.`

func (a *app) checkCmd() *cobra.Command {
	level := failOn()
	level.value = "stop"
	format := &oneOf{value: "text", words: []string{"text", "json", "csv", "html"}}
	c := &cobra.Command{
		Use:   "check PATH...",
		Short: "List what to look at again in a case or a tree of cases",
		Long:  aboutCheck,
		Args:  folders,
		RunE: a.run(func(args []string) error {
			return a.check(args, format.value, level.value)
		}),
	}
	level.flag(c, "fail-on", "end with 1 from this weight on: note, caution, stop or never")
	format.flag(c, "format", "how to print: text, json, csv or html")
	return c
}

func (a *app) check(args []string, format, level string) error {
	dirs, err := cases(args)
	if err != nil {
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
		if j.unread() {
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
	switch format {
	case "json":
		return report.JSON(a.out, list)
	case "csv":
		return report.CSV(a.out, list)
	case "html":
		return report.HTML(a.out, list)
	}
	return report.Text(a.out, list)
}
