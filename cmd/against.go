package cmd

import (
	"cmp"
	"fmt"
	"io"
	"time"

	"sideport/annotate"
	"sideport/annotate/agreement"
	"sideport/export"
	"sideport/timeline/timecode"

	"github.com/spf13/cobra"
)

// against is the second list that align holds against the first.
type against struct {
	file  string
	clock *oneOf
}

func (o *against) flags(c *cobra.Command) {
	o.clock = &oneOf{words: []string{"elapsed", "wall", "timecode"}}
	c.Flags().StringVar(&o.file, "against", "", "a second list of times of the same recording, to compare with the first")
	o.clock.flag(c, "against-clock", "which clock the second list was read from, where its times do not tell")
}

// hold compares the second list, if there is one, and adds what was found in it to
// the case's findings.
func (o *against) hold(c *annotate.Case) (*annotate.Against, error) {
	switch {
	case o.file == "" && o.clock.value != "":
		return nil, usagef("--against-clock tells of a second list, and --against names none")
	case o.file == "":
		return nil, nil
	}
	kind, _ := timecode.ParseKind(o.clock.value)
	a, err := c.HoldAgainst(o.file, kind)
	if err != nil {
		return nil, err
	}
	c.Findings = append(c.Findings, a.Findings...)
	return a, nil
}

// againstText prints two lists beside each other and how far they agree.
func againstText(w io.Writer, c *annotate.Case, a *annotate.Against) {
	fmt.Fprintf(w, "\nsecond list: %s\nits clock: %s; %s\n", shown(a.Name), a.Clock.Kind, a.Clock.Why)
	fmt.Fprintln(w, offsetText(a))
	if len(a.Steps) > 0 {
		fmt.Fprintf(w, "\n%-12s %-12s %-12s %s\n", "first list", "second list", "difference", "step")
	}
	for _, s := range a.Steps {
		fmt.Fprintf(w, "%-12s %-12s %-12s %s\n", clockText(s.First), clockText(s.Second), differenceText(s), nthText(s))
	}
	if len(a.Others) > 0 {
		fmt.Fprintf(w, "\nin the second list, naming no step and not compared:\n")
	}
	for _, m := range a.Others {
		fmt.Fprintf(w, "%-12s %-12s %s\n", signedClock(m.Recording), m.Match.Kind, shown(export.MaskedText(c, m.Text, m.TextPos)))
	}
	if a.Window.Len() == 0 {
		fmt.Fprintln(w, "\nthere is no stretch of the recording that both lists are known to cover; nothing is measured")
		return
	}
	fmt.Fprintf(w, "\ncompared: %s to %s of the recording%s\n", signedClock(a.Window.From), signedClock(a.Window.To), openText(a))
	agreementText(w, a)
}

// offsetText says how the clocks lie to each other.
func offsetText(a *annotate.Against) string {
	switch {
	case a.Offset == nil && a.OtherKind:
		return "no step is named in both lists, so nothing tells how their clocks lie to each other"
	case a.Offset == nil:
		return "no step is named in both lists"
	}
	steps := fmt.Sprintf("the median of %d steps that both name", a.Paired)
	if a.Paired == 1 {
		steps = "by the one step that both name"
	}
	if a.OtherKind {
		return fmt.Sprintf("the lists were read from different kinds of clock; the second one's zero is laid at %s of the recording, %s", signedClock(-*a.Offset), steps)
	}
	if *a.Offset == 0 {
		return "its times lie neither earlier nor later, " + steps
	}
	word := "later"
	if *a.Offset < 0 {
		word = "earlier"
	}
	kept := "that is left as it is"
	if a.Removed {
		kept = "that is taken out of everything below"
	}
	return fmt.Sprintf("its times lie %.1f s %s, %s; %s", a.Offset.Abs().Seconds(), word, steps, kept)
}

// openText says whose last step is left out.
func openText(a *annotate.Against) string {
	var lists string
	switch {
	case a.FirstOpen && a.SecondOpen:
		lists = "each list"
	case a.FirstOpen:
		lists = "the first list"
	case a.SecondOpen:
		lists = "the second list"
	default:
		return ""
	}
	return "; when the last step of " + lists + " ends is not known, and it is left out"
}

// agreementText prints every figure with what it means.
func agreementText(w io.Writer, a *annotate.Against) {
	line := func(name, value, meaning string) { fmt.Fprintf(w, "%-24s %-8s %s\n", name, value, meaning) }
	table := agreement.Bins(a.First, a.Second, a.Window, export.Bin)
	kappa, ok := table.Kappa()
	meaning := "1 is full agreement, 0 is what chance gives, below 0 is less than that"
	if !ok {
		meaning = "no value: both lists name one and the same step throughout"
	}
	line("kappa", figure("%.2f", kappa, ok), meaning)
	observed, ok := table.Observed()
	line("the same step", figure("%.1f %%", 100*observed, ok), fmt.Sprintf("of %d seconds, the share in which both lists name the same step, or neither one", table.Total()))
	for _, least := range export.Overlaps() {
		f1, ok := agreement.F1(a.First, a.Second, least).F1()
		line(fmt.Sprintf("F1 at %d %%", least), figure("%.1f", f1, ok),
			fmt.Sprintf("100 when every step meets its like in the other list with %d %% or more of their time in common, 0 when none does", least))
	}
	line("edit score", figure("%.1f", agreement.Edit(a.First, a.Second), true), "100 when both name the same steps in the same order, whatever their times; 0 when nothing of that is the same")
	e := agreement.Boundaries(a.First, a.Second)
	mean, ok := e.Mean()
	median, _ := e.Median()
	line("changes, mean", figure("%.1f s", mean.Seconds(), ok), fmt.Sprintf("how far apart the lists put the %s from one step to the next that both have", changes(len(e.Off))))
	line("changes, median", figure("%.1f s", median.Seconds(), ok), "half of them lie no further apart than this")
	for _, d := range export.Bounds() {
		share, ok := e.Within(d)
		line(fmt.Sprintf("changes within %.0f s", d.Seconds()), figure("%.0f %%", 100*share, ok), "the share of them that lies no further apart")
	}
	line("changes of one list", fmt.Sprintf("%d and %d", e.OnlyFirst, e.OnlySecond), "only the first list has, and only the second; they are not in the distances above")
}

func changes(n int) string {
	if n == 1 {
		return "1 change"
	}
	return fmt.Sprintf("%d changes", n)
}

func figure(format string, v float64, ok bool) string {
	if !ok {
		return "-"
	}
	return fmt.Sprintf(format, v)
}

func clockText(t *time.Duration) string {
	if t == nil {
		return "-"
	}
	return signedClock(*t)
}

// signedClock is a time that may lie before recording zero.
func signedClock(t time.Duration) string {
	if t < 0 {
		return "-" + timecode.Format(-t)
	}
	return timecode.Format(t)
}

func differenceText(s annotate.AgainstStep) string {
	switch {
	case s.First == nil:
		return "only second"
	case s.Second == nil:
		return "only first"
	}
	tenths := (*s.Second - *s.First).Round(100 * time.Millisecond)
	if tenths == 0 {
		return "0.0 s"
	}
	return fmt.Sprintf("%+.1f s", tenths.Seconds())
}

// nthText is a step with its number in the list where that is not the first.
func nthText(s annotate.AgainstStep) string {
	n := cmp.Or(s.FirstNth, s.SecondNth)
	if n < 2 {
		return s.ID
	}
	return fmt.Sprintf("%s (%d)", s.ID, n)
}
