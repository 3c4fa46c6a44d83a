package cmd

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"sideport/annotate"
	"sideport/annotate/ranges"
	"sideport/annotate/rules"
	"sideport/export"
	"sideport/export/report"
	"sideport/timeline/source"
)

// judged is one case with everything that was found in it.
type judged struct {
	bundle   *export.Bundle
	ok       bool // the procedure is known: the case could be resolved
	report   report.Case
	findings []source.Finding
}

// judge loads, resolves and checks one case folder.
func judge(dir string, table *ranges.Table) (judged, error) {
	shown := filepath.ToSlash(filepath.Clean(dir))
	m, err := annotate.Load(dir, shown)
	if errors.Is(err, annotate.ErrNoCase) {
		src := source.New(shown+"/case.yaml", nil)
		f := source.Finding{
			Pos: src.Whole(), Severity: source.Error, Rule: "read/no-case", Message: err.Error(),
			Hint: "sideport new " + shown + " writes one to start from",
		}
		return judged{report: report.Case{Path: shown, Shown: shown, Findings: []source.Finding{f}}, findings: []source.Finding{f}}, nil
	}
	if err != nil {
		return judged{}, err
	}
	c, ok := annotate.Resolve(m, table)
	j := judged{ok: ok, bundle: &export.Bundle{Case: c}}
	findings := slices.Clone(c.Findings)
	if ok {
		bundle, more := export.New(c)
		j.bundle = bundle
		findings = append(findings, more...)
		findings = append(findings, rules.Check(c)...)
	} else {
		findings = append(findings, rules.CheckPrivacy(c)...)
	}
	findings = rules.Waive(findings, c)
	j.report = report.Case{Path: shown, Shown: shown, Procedure: m.File.Procedure.Value}
	j.set(findings)
	return j, nil
}

// set makes findings the case's; the report carries them with what could identify a
// patient masked.
func (j *judged) set(findings []source.Finding) {
	j.findings = source.Sort(findings)
	j.bundle.Findings = j.findings
	j.report.Findings = export.Masked(j.bundle.Case, j.findings, false)
}

func (j *judged) add(f source.Finding) { j.set(append(slices.Clone(j.findings), f)) }

// withheld reports whether a privacy stop holds the case's outputs back.
func (j judged) withheld() bool {
	return slices.ContainsFunc(j.findings, func(f source.Finding) bool {
		return f.Group() == "privacy" && f.Severity >= source.Stop && !f.Waived
	})
}

// unread reports whether some material could not be read.
func (j judged) unread() bool {
	return slices.ContainsFunc(j.findings, func(f source.Finding) bool { return f.Severity == source.Error })
}

// cases finds the case folders that the arguments name: a folder with a case.yaml
// is one; of any other folder every case below it counts, in path order. A folder
// below that cannot be looked into is said, and the others go on.
func (a *app) cases(args []string) ([]string, error) {
	var out []string
	for _, arg := range args {
		if info, err := os.Stat(arg); errors.Is(err, fs.ErrNotExist) {
			return nil, fmt.Errorf("there is no folder %s", arg)
		} else if err == nil && !info.IsDir() {
			return nil, usagef("%s is a file; a case is a folder with a case.yaml in it", arg)
		}
		if _, err := os.Stat(filepath.Join(arg, "case.yaml")); err == nil {
			out = append(out, arg)
			continue
		}
		var below []string
		root := arg
		if real, err := filepath.EvalSymlinks(arg); err == nil {
			root = real // a walk does not follow a link it begins with
		}
		err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
			switch {
			case err != nil && path == root:
				return err
			case err != nil:
				a.broke(filepath.ToSlash(path), err)
				return filepath.SkipDir
			case d.IsDir() && path != root && strings.HasPrefix(d.Name(), "."):
				return filepath.SkipDir
			case d.Name() == "case.yaml" && !d.IsDir():
				rel, err := filepath.Rel(root, filepath.Dir(path))
				if err != nil {
					return err
				}
				below = append(below, filepath.Join(arg, rel))
			}
			return nil
		})
		if err != nil {
			return nil, fmt.Errorf("looking for cases: %w", err)
		}
		if len(below) == 0 {
			below = []string{arg} // judged as a case without case.yaml
		}
		out = append(out, below...)
	}
	return out, nil
}

// failOn is the --fail-on flag.
func failOn() *oneOf {
	return &oneOf{words: []string{"note", "caution", "stop", "never"}}
}

// reaches reports whether any finding is at or above the level.
func reaches(level string, findings []source.Finding) bool {
	least, ok := source.ParseSeverity(level)
	if !ok {
		return false // never
	}
	worst, found := source.Worst(findings)
	return found && worst >= least
}
