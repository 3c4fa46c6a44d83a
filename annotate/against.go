package annotate

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"time"

	"sideport/annotate/agreement"
	"sideport/annotate/taxonomy"
	"sideport/timeline"
	"sideport/timeline/format"
	"sideport/timeline/source"
	"sideport/timeline/timecode"
)

// Against is a second list of times on the same recording, held against the case's
// own: what the surgeon and the scrub nurse wrote down, each by a clock of their
// own. First is the case's list throughout, Second the other.
//
// Times of the second list are on the case's clock, with the constant difference
// taken out where Removed says so.
type Against struct {
	Name      string // the file as it was given
	Clock     Clock  // of the second list
	OtherKind bool   // the two lists were read from different kinds of clock
	// Offset is the median of second minus first over the Paired steps that both
	// lists name, nil when there is none. Where the kinds of clock differ the second
	// list counts from its own zero.
	Offset  *time.Duration
	Paired  int
	Removed bool

	Steps  []AgainstStep // every run of a step in either list, in time order
	Others []Mark        // stamps of the second list that name no step; they are not compared

	// Window is what is compared, as far as both lists are known, and empty when
	// nothing is. FirstOpen and SecondOpen say that the end of a list's last step is
	// not known, so that the step is left out.
	Window                timeline.Span
	FirstOpen, SecondOpen bool
	First, Second         []agreement.Segment // inside Window
	Findings              []source.Finding
}

// AgainstStep is one run of a step, as each list has it: nil, and Nth 0, where a
// list has none.
type AgainstStep struct {
	ID                  string
	FirstNth, SecondNth int
	First, Second       *time.Duration
}

// HoldAgainst reads a second list of times in any format of a recording list and
// compares it with the times of the case's stamps and of case.yaml; chapters and
// narration say nothing here.
//
// The second clock is read by the rules of the first. stated is its kind, Unknown
// for none said: then recording.clock holds for a list that shows no sign of its
// own and is written in as many fields. A difference between the lists counts as
// constant, and is taken out, when the kinds of clock differ, or when its median
// over at least three steps is above two seconds and at least half of the steps lie
// nearer to that median than half of it. Stamps outside recording.part are left out.
//
// Findings are those of reading and naming; the error is one of I/O. Cost is
// O(n m) for n and m runs.
func (c *Case) HoldAgainst(name string, stated timecode.Kind) (*Against, error) {
	a := &Against{Name: filepath.ToSlash(name)}
	second := &Case{
		Procedure: c.Procedure,
		Material:  &Material{Name: c.Name, Shown: c.Shown, File: &File{}, CaseFile: c.CaseFile},
	}
	r := &resolver{c: second, names: newNamer(c.Procedure), converted: c.converted}
	src, err := readAgainst(name, second.Material, c.File.Recording.Rate, r.report)
	if err != nil {
		return nil, err
	}
	second.clean()
	keys := c.File.Recording
	second.File.Recording = Recording{Rate: keys.Rate, Date: keys.Date, Zone: keys.Zone, Clock: c.againstKind(second.Stamps, stated)}
	second.scale = c.dated()
	stamps := r.readTimes()
	a.Clock, a.OtherKind = second.Clock, second.Clock.Kind != c.Clock.Kind
	if !a.OtherKind {
		by := c.between(second.Clock)
		for i := range stamps {
			stamps[i].at += by
		}
		stamps = c.insidePart(stamps, 0, src, r.report)
	}
	first, runs := c.listRuns(), silently(r, stamps)
	a.findOffset(first, runs)
	by := time.Duration(0)
	if a.Removed {
		by = *a.Offset
	}
	if a.OtherKind {
		if a.Offset == nil && (c.clock.partStart != nil || c.clock.partEnd != nil) {
			stamps = nil // nothing says which of them lie inside
		}
		stamps = c.insidePart(stamps, by, src, r.report)
	}
	for i := range stamps {
		stamps[i].at -= by
	}
	r.nameMarks(stamps)
	r.clockNote()
	if comparable := !a.OtherKind || a.Offset != nil; comparable {
		a.compare(first, asListRuns(r.runsFromMarks()), c.end)
	}
	for _, m := range second.Marks {
		if m.Match.ID == "" || m.Match.Kind != taxonomy.KindStep {
			a.Others = append(a.Others, m)
		}
	}
	a.Findings = second.Findings
	for i, f := range a.Findings {
		if f.Rule == "time/clock" && !second.File.Recording.Clock.Set {
			a.Findings[i].Hint = "--against-clock states the clock of the second list"
		}
	}
	return a, nil
}

// readAgainst reads the stamps of the second list; rate is what recording.rate says.
func readAgainst(name string, m *Material, rate Text, report source.Report) (*source.Source, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, fmt.Errorf("reading the second list: %w", err)
	}
	defer func() { _ = f.Close() }()
	src, err := source.Read(f, filepath.ToSlash(name), report)
	if err != nil {
		return nil, err
	}
	if reader, ok := format.Find(format.Recording, src, "second list of times", report); ok {
		m.Stamps = readList(reader, src, rate, report)
	}
	return src, nil
}

// againstKind is the kind of clock that is stated for the second list: what the
// caller says, else recording.clock where the list itself tells nothing else and is
// written as the first one is.
func (c *Case) againstKind(list []timeline.Stamp, stated timecode.Kind) Text {
	if stated != timecode.Unknown {
		return Text{Value: stated.String(), Set: true}
	}
	if !c.File.Recording.Clock.Set || len(list) == 0 || len(c.Marks) == 0 {
		return Text{}
	}
	var readings []timecode.Reading
	for _, s := range list {
		readings = append(readings, s.At)
	}
	kind, _, _ := timecode.Classify(readings, timecode.Unknown)
	if kind != timecode.Elapsed || len(list[0].At.Fields) != len(c.Marks[0].At.Fields) {
		return Text{}
	}
	return c.File.Recording.Clock
}

// dated is the first time of the case's list that has a date, where its place on the
// globe is known. The two lists may begin on either side of a change of the clocks, or
// state different offsets: both then count as the clock of that time shows them.
func (c *Case) dated() []timecode.Reading {
	list, _ := readings(c.Material)
	for _, r := range list {
		if r.Date == "" {
			continue
		}
		if _, stated := r.East(); stated || r.Place != "" || c.File.Recording.Zone.Set {
			return []timecode.Reading{r}
		}
		return nil
	}
	return nil
}

// between is what turns a time from the zero of a clock of the same kind into one
// from the case's. A time of day has no date here: the shorter way round counts.
func (c *Case) between(second Clock) time.Duration {
	const day = 24 * time.Hour
	by := second.Offset - c.Clock.Offset
	if second.Kind != timecode.Wall {
		return by
	}
	by %= day
	switch {
	case by > day/2:
		by -= day
	case by <= -day/2:
		by += day
	}
	return by
}

// insidePart are the stamps that lie inside recording.part once by is taken off
// their times. What lies outside leaves no trace but its number.
func (c *Case) insidePart(stamps []stampTime, by time.Duration, src *source.Source, report source.Report) []stampTime {
	from, to := c.clock.partStart, c.clock.partEnd
	kept := slices.DeleteFunc(slices.Clone(stamps), func(s stampTime) bool {
		at := s.at - by
		return from != nil && at < *from || to != nil && at > *to
	})
	if n := len(stamps) - len(kept); n > 0 {
		report(source.Finding{
			Pos: src.Whole(), Severity: source.Note, Rule: "time/outside-part",
			Message: fmt.Sprintf("%d of %d times of the second list lie outside recording.part and are not compared", n, len(stamps)),
		})
	}
	return kept
}

// silently are the runs of a list, named without a word about it: what recording.part
// leaves out is not known yet, and nothing of it is to be quoted.
func silently(r *resolver, stamps []stampTime) []listRun {
	c := *r.c
	c.Marks, c.Findings = nil, nil
	quiet := &resolver{c: &c, names: r.names, converted: r.converted}
	quiet.nameMarks(stamps)
	return asListRuns(quiet.runsFromMarks())
}

// knownEnd is where the recording ends, from zero: where its part does, or where
// the video does that shows it uncut. Without either it is nil.
func (r *resolver) knownEnd() *time.Duration {
	if r.clock.partEnd != nil {
		return r.clock.partEnd
	}
	if n := len(r.c.Map.Pieces); r.exact && n > 0 && !r.c.VideoLengthAssumed {
		return &r.c.Map.Pieces[n-1].Recording.To
	}
	return nil
}
