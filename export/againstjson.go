package export

import (
	"path"
	"time"

	"sideport/annotate"
	"sideport/annotate/agreement"
	"sideport/export/report"
)

// Overlaps are the least overlaps, in percent, at which F1 is told.
func Overlaps() []int { return []int{10, 25, 50} }

// Bounds are the distances within which changes of step are counted.
func Bounds() []time.Duration {
	return []time.Duration{time.Second, 2 * time.Second, 5 * time.Second}
}

// Bin is the width of the bins that kappa is counted in.
const Bin = time.Second

// againstJSON is a second list of times held against the first. Times are seconds on
// the first list's recording clock; what has no value is null.
type againstJSON struct {
	File          string             `json:"file"`
	Clock         againstClockJSON   `json:"clock"`
	Offset        *float64           `json:"offset_s"`       // second minus first, the median
	OffsetSteps   int                `json:"offset_steps"`   // of how many steps
	OffsetRemoved bool               `json:"offset_removed"` // taken out of everything below
	From          *float64           `json:"compared_from_s"`
	To            *float64           `json:"compared_to_s"`
	LastLeftOut   []string           `json:"last_step_left_out"` // of the first list, of the second
	Steps         []againstStepJSON  `json:"steps"`
	NotCompared   []againstOtherJSON `json:"not_compared"`
	Bin           float64            `json:"bin_s"`
	Bins          int64              `json:"bins"`
	Observed      *float64           `json:"observed_agreement"` // 0 to 1
	Kappa         *float64           `json:"kappa"`
	Confusion     []confusionJSON    `json:"confusion"` // only what occurs
	F1            []overlapJSON      `json:"f1"`
	Edit          *float64           `json:"edit_score"` // 0 to 100
	Boundary      boundaryJSON       `json:"boundary_error"`
}

type againstClockJSON struct {
	Kind string `json:"kind"`
	Why  string `json:"why"`
}

type againstStepJSON struct {
	Step       string   `json:"step"`
	FirstNth   *int     `json:"first_nth"`
	SecondNth  *int     `json:"second_nth"`
	First      *float64 `json:"first_s"`
	Second     *float64 `json:"second_s"`
	Difference *float64 `json:"difference_s"` // second minus first
}

type againstOtherJSON struct {
	Line      int     `json:"line"`
	Recording float64 `json:"recording_s"`
	Text      string  `json:"text"`
	Kind      string  `json:"kind"`
}

type confusionJSON struct {
	First  *string `json:"first"`
	Second *string `json:"second"`
	Bins   int64   `json:"bins"`
}

type overlapJSON struct {
	Least  int       `json:"least_overlap_percent"`
	F1     *float64  `json:"f1"` // the mean of both ways, 0 to 100
	First  foundJSON `json:"first"`
	Second foundJSON `json:"second"`
}

// foundJSON is one list measured by the other: hits are its steps that are found
// there, extra those that are not, missed the other's that nothing of it meets.
type foundJSON struct {
	Hits   int `json:"hits"`
	Extra  int `json:"extra"`
	Missed int `json:"missed"`
}

type boundaryJSON struct {
	Both       int          `json:"both"`
	OnlyFirst  int          `json:"only_first"`
	OnlySecond int          `json:"only_second"`
	Mean       *float64     `json:"mean_s"`
	Median     *float64     `json:"median_s"`
	Within     []withinJSON `json:"within"`
}

type withinJSON struct {
	Distance float64  `json:"distance_s"`
	Share    *float64 `json:"share"` // 0 to 1
}

// against turns the comparison into its JSON form, nil without one.
func against(c *annotate.Case, a *annotate.Against) *againstJSON {
	if a == nil {
		return nil
	}
	out := &againstJSON{
		File: newMask(c).name(path.Base(a.Name)), Clock: againstClockJSON{a.Clock.Kind.String(), a.Clock.Why},
		Offset: seconds(a.Offset), OffsetSteps: a.Paired, OffsetRemoved: a.Removed,
		LastLeftOut: []string{}, Steps: []againstStepJSON{}, NotCompared: []againstOtherJSON{},
		Bin: report.Seconds(Bin), Confusion: []confusionJSON{}, F1: []overlapJSON{},
	}
	if a.FirstOpen {
		out.LastLeftOut = append(out.LastLeftOut, "first")
	}
	if a.SecondOpen {
		out.LastLeftOut = append(out.LastLeftOut, "second")
	}
	for _, s := range a.Steps {
		step := againstStepJSON{Step: s.ID, FirstNth: report.Known(s.FirstNth), SecondNth: report.Known(s.SecondNth), First: seconds(s.First), Second: seconds(s.Second)}
		if s.First != nil && s.Second != nil {
			d := *s.Second - *s.First
			step.Difference = seconds(&d)
		}
		out.Steps = append(out.Steps, step)
	}
	for _, m := range a.Others {
		out.NotCompared = append(out.NotCompared, againstOtherJSON{m.Pos.Position().Line, report.Seconds(m.Recording), MaskedText(c, m.Text, m.TextPos), string(m.Match.Kind)})
	}
	if a.Window.Len() > 0 {
		out.From, out.To = seconds(&a.Window.From), seconds(&a.Window.To)
	}
	out.figures(a)
	return out
}

// figures fills in the measures of agreement.
func (out *againstJSON) figures(a *annotate.Against) {
	table := agreement.Bins(a.First, a.Second, a.Window, Bin)
	out.Bins = table.Total()
	out.Observed, out.Kappa = figure(table.Observed()), figure(table.Kappa())
	for i, first := range table.Labels {
		for j, second := range table.Labels {
			if n := table.Counts[i][j]; n > 0 {
				out.Confusion = append(out.Confusion, confusionJSON{report.Known(first), report.Known(second), n})
			}
		}
	}
	for _, least := range Overlaps() {
		o := agreement.F1(a.First, a.Second, least)
		out.F1 = append(out.F1, overlapJSON{least, figure(o.F1()), foundJSON(o.First), foundJSON(o.Second)})
	}
	if a.Window.Len() > 0 {
		out.Edit = figure(agreement.Edit(a.First, a.Second), true)
	}
	e := agreement.Boundaries(a.First, a.Second)
	out.Boundary = boundaryJSON{Both: len(e.Off), OnlyFirst: e.OnlyFirst, OnlySecond: e.OnlySecond}
	if mean, ok := e.Mean(); ok {
		out.Boundary.Mean = seconds(&mean)
	}
	if median, ok := e.Median(); ok {
		out.Boundary.Median = seconds(&median)
	}
	for _, d := range Bounds() {
		out.Boundary.Within = append(out.Boundary.Within, withinJSON{report.Seconds(d), figure(e.Within(d))})
	}
}

// figure is a number rounded as shares are, or nil when it is not defined.
func figure(v float64, ok bool) *float64 {
	if !ok {
		return nil
	}
	v = report.Share(v)
	return &v
}
