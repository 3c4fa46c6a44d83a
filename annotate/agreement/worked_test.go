package agreement_test

import (
	"math"
	"testing"
	"time"

	"sideport/annotate/agreement"
	"sideport/timeline"

	"github.com/google/go-cmp/cmp"
)

func span(from, to int) timeline.Span {
	return timeline.Span{From: time.Duration(from) * time.Second, To: time.Duration(to) * time.Second}
}

// row lays segments of a name and a length in seconds end to end. A name of "-" is
// time without a name.
func row(parts ...any) []agreement.Segment {
	var out []agreement.Segment
	at := 0
	for i := 0; i < len(parts); i += 2 {
		name, length := parts[i].(string), parts[i+1].(int)
		if name != "-" {
			out = append(out, agreement.Segment{Label: name, Span: span(at, at+length)})
		}
		at += length
	}
	return out
}

var (
	truth = row("A", 10, "B", 10, "C", 10)
	late  = row("A", 8, "B", 13, "C", 9)
	split = row("A", 10, "B", 4, "A", 2, "B", 4, "C", 10)
)

func TestKappaOfPublishedTables(t *testing.T) {
	for _, tt := range []struct {
		name, source           string
		counts                 [][]int64
		observed, kappa, close float64
	}{
		{
			"fifty proposals", "public statistics text, read and computed again: po .70, pe .50, kappa .40",
			[][]int64{{20, 5}, {10, 15}}, .70, .40, 1e-12,
		},
		{"equal agreement, one way", "from memory, unconfirmed", [][]int64{{45, 15}, {25, 15}}, .60, .1304, 5e-5},
		{"equal agreement, the other way", "from memory, unconfirmed", [][]int64{{25, 35}, {5, 35}}, .60, .2593, 5e-5},
	} {
		c := agreement.Confusion{Labels: []string{"no", "yes"}, Counts: tt.counts}
		observed, _ := c.Observed()
		kappa, ok := c.Kappa()
		if !ok || math.Abs(observed-tt.observed) > 1e-12 || math.Abs(kappa-tt.kappa) > tt.close {
			t.Errorf("%s: observed %v, kappa %v %t, want %v, %v (%s)", tt.name, observed, kappa, ok, tt.observed, tt.kappa, tt.source)
		}
	}
}

// Two public test suites agree that one name throughout leaves kappa without a
// value: expected agreement is 1.
func TestKappaOfOneNameIsNotDefined(t *testing.T) {
	all := row("A", 30)
	c := agreement.Bins(all, all, span(0, 30), time.Second)
	if k, ok := c.Kappa(); ok {
		t.Errorf("Kappa of one name = %v, want none", k)
	}
	if o, ok := c.Observed(); !ok || o != 1 {
		t.Errorf("Observed of one name = %v %t, want 1", o, ok)
	}
	if k, ok := agreement.Bins(all, row("A", 20, "B", 10), span(0, 30), time.Second).Kappa(); !ok || k != 0 {
		t.Errorf("Kappa of one name against two = %v %t, want 0: chance gives as much", k, ok)
	}
	var none agreement.Confusion
	if _, ok := none.Observed(); ok {
		t.Error("Observed without bins has a value")
	}
	if _, ok := none.Kappa(); ok {
		t.Error("Kappa without bins has a value")
	}
}

// Source: worked by hand and identical to the published code of Farha and Gall's
// temporal convolution network run on the same rows, frame by frame.
func TestSegmentFiguresOfWorkedRows(t *testing.T) {
	type figures struct {
		Observed, Kappa, Edit float64
		F1                    map[int]float64         // by least overlap
		Counts                map[int]agreement.Found // the guess, measured by the truth
	}
	for _, tt := range []struct {
		name  string
		guess []agreement.Segment
		want  figures
	}{
		{"ends a little off", late, figures{
			.90, .85, 100, map[int]float64{10: 100, 25: 100, 50: 100, 75: 100, 90: 33.33},
			map[int]agreement.Found{90: {Hits: 1, Extra: 2, Missed: 2}},
		}},
		{"one step broken in two", split, figures{
			.9333, .90, 60, map[int]float64{10: 75, 25: 75, 50: 50, 75: 50, 90: 50},
			map[int]agreement.Found{10: {Hits: 3, Extra: 2}, 25: {Hits: 3, Extra: 2}, 50: {Hits: 2, Extra: 3, Missed: 1}, 90: {Hits: 2, Extra: 3, Missed: 1}},
		}},
	} {
		c := agreement.Bins(tt.guess, truth, span(0, 30), time.Second)
		got := figures{Edit: agreement.Edit(tt.guess, truth), F1: map[int]float64{}, Counts: map[int]agreement.Found{}}
		got.Observed, _ = c.Observed()
		got.Kappa, _ = c.Kappa()
		got.Observed, got.Kappa = round(got.Observed, 4), round(got.Kappa, 4)
		for least := range tt.want.F1 {
			f, _ := agreement.F1(tt.guess, truth, least).First.F1()
			got.F1[least] = round(f, 2)
		}
		for least := range tt.want.Counts {
			got.Counts[least] = agreement.F1(tt.guess, truth, least).First
		}
		if diff := cmp.Diff(tt.want, got); diff != "" {
			t.Errorf("%s (-want +got):\n%s", tt.name, diff)
		}
	}
}

func round(v float64, digits int) float64 {
	p := math.Pow(10, float64(digits))
	return math.Round(v*p) / p
}

// The two ways need not agree, and their mean is reported. By hand: the second A of
// one list, [6,11), shares 2 s of 11 with the other's first, which is taken, and 2 s
// of 14 with its second; seen from there that second has no nearer one.
func TestF1IsTheMeanOfBothWays(t *testing.T) {
	o := agreement.F1(row("A", 5, "-", 1, "A", 5), row("A", 8, "-", 1, "A", 11), 14)
	want := agreement.Overlap{
		Least: 14, First: agreement.Found{Hits: 1, Extra: 1, Missed: 1}, Second: agreement.Found{Hits: 2},
	}
	if diff := cmp.Diff(want, o); diff != "" {
		t.Errorf("F1 at 14 %% (-want +got):\n%s", diff)
	}
	if f, ok := o.F1(); !ok || f != 75 {
		t.Errorf("F1 at 14 %% = %v %t, want 75, the mean of 50 and 100", f, ok)
	}
}

// A segment of exactly the least overlap counts: 1 s of 5 is 20 %.
func TestF1CountsTheLeastOverlapItself(t *testing.T) {
	a, b := row("A", 5), row("A", 1)
	for least, want := range map[int]agreement.Found{20: {Hits: 1}, 21: {Extra: 1, Missed: 1}} {
		if got := agreement.F1(a, b, least).First; got != want {
			t.Errorf("F1 at %d %% = %+v, want %+v", least, got, want)
		}
	}
}

func TestFiguresOfEmptyLists(t *testing.T) {
	if got := agreement.Edit(nil, nil); got != 100 {
		t.Errorf("Edit(nil, nil) = %v, want 100", got)
	}
	if got := agreement.Edit(nil, truth); got != 0 {
		t.Errorf("Edit(nil, three steps) = %v, want 0", got)
	}
	if f, ok := agreement.F1(nil, nil, 50).F1(); ok {
		t.Errorf("F1 of nothing = %v, want none", f)
	}
	if f, ok := agreement.F1(nil, truth, 50).F1(); !ok || f != 0 {
		t.Errorf("F1 of nothing against three steps = %v %t, want 0", f, ok)
	}
	e := agreement.Boundaries(nil, truth)
	if _, ok := e.Mean(); ok || e.OnlyFirst != 0 || e.OnlySecond != 2 {
		t.Errorf("Boundaries(nil, three steps) = %+v, want two of the second alone", e)
	}
	if _, ok := e.Median(); ok {
		t.Error("Median without a boundary has a value")
	}
	if _, ok := e.Within(time.Second); ok {
		t.Error("Within without a boundary has a value")
	}
	if c := agreement.Bins(nil, nil, span(0, 2), time.Second); c.Total() != 2 || len(c.Labels) != 1 {
		t.Errorf("Bins of nothing = %+v, want two bins without a name", c)
	}
}

// Source: worked by hand beside the worked rows: 2 s and 1 s, mean 1.5 s.
func TestBoundaryErrorOfWorkedRows(t *testing.T) {
	e := agreement.Boundaries(truth, late)
	mean, _ := e.Mean()
	median, _ := e.Median()
	one, _ := e.Within(time.Second)
	two, _ := e.Within(2 * time.Second)
	if mean != 1500*time.Millisecond || median != 1500*time.Millisecond || one != .5 || two != 1 || e.OnlyFirst+e.OnlySecond != 0 {
		t.Errorf("Boundaries = %+v: mean %v, median %v, within 1 s %v, 2 s %v", e, mean, median, one, two)
	}
	// The broken step: A to B at 10 s and B to C at 20 s are the same in both, and
	// of the two A to B the nearer one counts.
	e = agreement.Boundaries(truth, split)
	if diff := cmp.Diff(agreement.BoundaryError{Off: []time.Duration{0, 0}, OnlySecond: 2}, e); diff != "" {
		t.Errorf("Boundaries of the broken step (-want +got):\n%s", diff)
	}
}

// A table in public teaching material gives 38 as the mean of 22, 39 and 41; it is 34.
func TestMeanIsNotThatOfAMisprint(t *testing.T) {
	e := agreement.BoundaryError{Off: []time.Duration{22 * time.Second, 39 * time.Second, 41 * time.Second}}
	if mean, ok := e.Mean(); !ok || mean != 34*time.Second {
		t.Errorf("Mean of 22, 39 and 41 s = %v %t, want 34 s", mean, ok)
	}
	if median, ok := e.Median(); !ok || median != 39*time.Second {
		t.Errorf("Median of 22, 39 and 41 s = %v %t, want 39 s", median, ok)
	}
}

// A bin goes by its middle; a width that does not divide the window leaves a last
// bin that counts when its middle is inside.
func TestBinsGoByTheirMiddle(t *testing.T) {
	a, b := row("A", 3, "B", 3), row("A", 4, "B", 2)
	for _, tt := range []struct {
		width time.Duration
		total int64
		want  int64 // bins that the first calls B and the second A
	}{
		{time.Second, 6, 1},
		{time.Nanosecond, 6e9, 1e9},
		{2 * time.Second, 3, 1}, // middles at 1, 3 and 5 s: the one at 3 s is B and A
		{4 * time.Second, 1, 0}, // middles at 2 s, and at 6 s outside
	} {
		c := agreement.Bins(a, b, span(0, 6), tt.width)
		var got int64
		for i, la := range c.Labels {
			for j, lb := range c.Labels {
				if la == "B" && lb == "A" {
					got = c.Counts[i][j]
				}
			}
		}
		if c.Total() != tt.total || got != tt.want {
			t.Errorf("Bins of %v: %d in all, %d B for A, want %d and %d", tt.width, c.Total(), got, tt.total, tt.want)
		}
	}
}

func TestListsOutOfOrderPanic(t *testing.T) {
	for _, list := range [][]agreement.Segment{
		{{Label: "A", Span: span(0, 10)}, {Label: "B", Span: span(5, 12)}},
		{{Label: "A", Span: span(4, 2)}},
	} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("Edit(%v) did not panic", list)
				}
			}()
			agreement.Edit(list, nil)
		}()
	}
}
