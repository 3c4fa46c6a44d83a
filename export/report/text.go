package report

import (
	"bufio"
	"cmp"
	"fmt"
	"io"
	"slices"

	"sideport/export/words"
	"sideport/timeline/source"
)

// Text writes the findings for a person to read: one block a step, the heaviest
// finding first, then a line of totals and the caution. Findings that belong to
// no step come first.
func Text(w io.Writer, cases []Case) error {
	b := bufio.NewWriter(w)
	for _, c := range cases {
		if len(c.Findings) == 0 {
			fmt.Fprintf(b, "%s: nothing to look at again\n\n", c.Path)
		}
		for _, group := range byStep(c.Findings) {
			fmt.Fprintln(b, groupTitle(group[0]))
			for _, f := range group {
				b.WriteString(f.Text())
			}
			fmt.Fprintln(b)
		}
	}
	t, say := Count(cases), words.Get(words.English)
	if t.Error > 0 {
		fmt.Fprintf(b, "%d could not be read; ", t.Error)
	}
	fmt.Fprintf(b, "%d to %s, %d to %s, %d %s", t.Stop, say.Severity(source.Stop), t.Caution, say.Severity(source.Caution), t.Note, say.Severity(source.Note))
	if t.Waived > 0 {
		fmt.Fprintf(b, ", %d listed exceptions", t.Waived)
	}
	fmt.Fprintf(b, "\n%s\n", words.Caution)
	if err := b.Flush(); err != nil {
		return fmt.Errorf("writing findings as text: %w", err)
	}
	return nil
}

func groupTitle(f source.Finding) string {
	switch {
	case f.Step == "":
		return "the case"
	case f.Nth > 1:
		return fmt.Sprintf("%s, occurrence %d", f.Step, f.Nth)
	}
	return f.Step
}

// byStep groups findings by step and occurrence in order of first appearance, the
// case's own first, and sorts each group by weight, else leaving the order.
func byStep(findings []source.Finding) [][]source.Finding {
	type key struct {
		step string
		nth  int
	}
	groups := map[key][]source.Finding{}
	var order []key
	for _, f := range findings {
		k := key{f.Step, max(f.Nth, 1)}
		if len(groups[k]) == 0 {
			order = append(order, k)
		}
		groups[k] = append(groups[k], f)
	}
	slices.SortStableFunc(order, func(a, b key) int {
		return cmp.Compare(boolInt(a.step != ""), boolInt(b.step != ""))
	})
	var out [][]source.Finding
	for _, k := range order {
		g := groups[k]
		slices.SortStableFunc(g, func(a, b source.Finding) int {
			return cmp.Or(cmp.Compare(boolInt(a.Waived), boolInt(b.Waived)), cmp.Compare(b.Severity, a.Severity))
		})
		out = append(out, g)
	}
	return out
}

func boolInt(b bool) int {
	if b {
		return 1
	}
	return 0
}
