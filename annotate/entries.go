package annotate

import (
	"fmt"
	"slices"
	"strings"

	"sideport/annotate/narration"
	"sideport/annotate/taxonomy"
	"sideport/timeline"
	"sideport/timeline/source"
)

// occurrence is one of the times a step happens.
type occurrence struct {
	step string
	nth  int
}

// occurrences says which occurrence of its step each entry of case.yaml speaks of:
// the one that nth states, else the first that no other entry claims. 0 is an entry
// without a known step.
func (r *resolver) occurrences() []int {
	claimed := map[occurrence]bool{}
	next := map[string]int{} // the lowest number of a step that may still be free
	steps := r.c.File.Steps
	names := make([]string, len(steps))
	for i := range steps {
		id, _, info := r.names.step(steps[i].Step.Value, r.converted)
		if steps[i].Step.Set && info != nil {
			names[i] = id
			claimed[occurrence{id, count(steps[i].Nth)}] = true
		}
	}
	out := make([]int, len(steps))
	for i, id := range names {
		out[i] = count(steps[i].Nth)
		if id == "" || out[i] > 0 {
			continue
		}
		for out[i] = max(next[id], 1); claimed[occurrence{id, out[i]}]; out[i]++ {
		}
		claimed[occurrence{id, out[i]}], next[id] = true, out[i]+1
	}
	return out
}

// addEntries ties the entries of case.yaml to the runs: the k-th entry of a step
// belongs to its k-th run unless nth says otherwise. An entry without a run stays,
// untimed.
func (r *resolver) addEntries(runs []*run) []*run {
	sortRuns(runs)
	number(runs)
	known, taken := byOccurrence(runs), map[*run]bool{}
	for i := range r.c.File.Steps {
		keys := &r.c.File.Steps[i]
		if !keys.Step.Set {
			continue
		}
		id, _, info := r.names.step(keys.Step.Value, r.converted)
		if info == nil {
			r.unknownStep(keys.Step)
			continue
		}
		k := r.occurrence[i]
		x := known[occurrence{id, k}]
		if x != nil && taken[x] {
			r.report(source.Finding{
				Pos: keys.pos, Severity: source.Error, Rule: "read/same-occurrence", Step: id, Nth: k,
				Message: fmt.Sprintf("two entries speak of occurrence %d of %s; this one is not read", k, id),
				Related: []source.Related{{Pos: x.Pos, Message: "the other entry"}},
			})
			continue
		}
		if x == nil {
			x = &run{Step: Step{ID: id, Nth: k}, file: i + 1}
			runs = append(runs, x)
			known[occurrence{id, k}] = x
		}
		taken[x] = true
		r.enter(x, keys, i)
	}
	return runs
}

// byOccurrence finds runs by their step and number.
func byOccurrence(runs []*run) map[occurrence]*run {
	out := make(map[occurrence]*run, len(runs))
	for _, x := range runs {
		if key := (occurrence{x.ID, x.Nth}); out[key] == nil {
			out[key] = x
		}
	}
	return out
}

// enter writes an entry's keys into its run. Times of the entry win over every
// other source, and a difference is said.
func (r *resolver) enter(x *run, keys *StepKeys, index int) {
	if at, ok := r.clock.when(keys.At, r.report); ok {
		if x.start != nil && (*x.start-at).Abs() > disagree {
			r.report(source.Finding{
				Pos: keys.At.Pos, Path: keys.At.Path, Severity: source.Caution, Rule: "time/disagree", Step: x.ID, Nth: x.Nth,
				Message: fmt.Sprintf("the time of case.yaml and the %s lie %.1f s apart; case.yaml counts", x.From, (*x.start - at).Abs().Seconds()),
				Related: []source.Related{{Pos: x.Pos, Message: "the " + x.From}},
			})
		}
		x.start, x.From, x.Placed, x.vstart, x.vuntil = &at, "case", "", nil, nil
		x.Confidence = 1
	}
	if until, ok := r.clock.when(keys.Until, r.report); ok {
		x.until = &until
	}
	x.HasEntry, x.Index, x.Pos = true, index, keys.pos
	x.Variant = variant(r.names, x.ID, keys)
	x.Reason, x.Note = keys.Reason.Value, keys.Note.Value
	for _, t := range keys.Tips {
		x.Tips = append(x.Tips, t.Value)
	}
	x.Shown = true
	if shown, said := truth(keys.Shown); said {
		x.Shown = shown
	}
}

// variant is the technique an entry names, as the vocabulary spells it. A step
// named by a part of it, as hydrodissection is of hydroprocedure, names its
// technique that way. What the vocabulary does not know comes back as written.
func variant(names namer, step string, keys *StepKeys) string {
	_, _, info := names.step(step, true)
	if info == nil {
		return keys.Variant.Value
	}
	if part := plainID(keys.Step.Value); !keys.Variant.Set && part != step {
		if v, ok := info.Variant(strings.TrimPrefix(part, "hydro")); ok {
			return v.ID
		}
	}
	word := plainID(keys.Variant.Value)
	for _, v := range info.Variants {
		if plainID(v.ID) == word {
			return v.ID
		}
	}
	for _, v := range info.Variants { // the trade's other words for it
		for _, other := range slices.Concat(v.Synonyms, v.Words, v.Beside) {
			if plainID(other) == word {
				return v.ID
			}
		}
	}
	return keys.Variant.Value
}

// plainID is a word in the form of an id: lower case, with hyphens between.
func plainID(text string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(text), func(r rune) bool {
		return r == ' ' || r == '-' || r == '_' || r == '\t'
	}), "-")
}

// addSpoken gives entries that nothing else has a time for the moment at which the
// narration first names their step. A voice may speak before or after what it
// speaks of, so the confidence is halved and the end is assumed.
func (r *resolver) addSpoken(runs []*run) []*run {
	cues := r.c.Speech
	if r.spokenOnRecording() {
		cues = r.c.Cues
	}
	spoken := map[string]bool{}
	for _, x := range runs {
		if x.start != nil || x.vstart != nil || spoken[x.ID] {
			continue
		}
		spoken[x.ID] = true // a second occurrence is not the first mention
		for _, cue := range cues {
			m, ok := r.namesStep(cue, x.ID)
			if !ok {
				continue
			}
			x.From, x.Confidence, x.EndAssumed = "narration", m.Confidence/2, true
			from, to := cue.From, cue.To
			if r.spokenOnRecording() {
				x.start = &from
				break
			}
			x.vstart, x.vuntil, x.onVideo, x.Placed = &from, &to, &from, "spoken"
			if at, ok := r.c.Map.ToRecording(cue.From); ok {
				x.start = &at
			}
			break
		}
	}
	return runs
}

// namesStep reports whether a cue names the step, in words that neither plan nor
// deny it.
func (r *resolver) namesStep(cue timeline.Cue, id string) (m taxonomy.Match, ok bool) {
	narration.Events(r.c.PlainCue(cue), nil, func(stretch string) (string, bool) {
		got := r.names.match(stretch, taxonomy.Context{}, r.converted)
		if got.Kind == taxonomy.KindStep && got.ID == id && got.Confidence >= sure && !ok {
			m, ok = got, true
		}
		return got.ID, ok
	})
	return m, ok
}

// unknownStep reports a step that the vocabulary does not have, with the step that
// the word names as a stamp would, else with the nearest id.
func (r *resolver) unknownStep(step Text) {
	near := nearest(step.Value, r.names.stepIDs())
	if m := r.names.match(step.Value, taxonomy.Context{}, r.converted); m.Kind == taxonomy.KindStep && m.ID != "" {
		near = fmt.Sprintf("; the vocabulary calls it %q", m.ID)
	}
	r.report(source.Finding{
		Pos: step.Pos, Path: step.Path, Severity: source.Error, Rule: "read/unknown-step",
		Message: fmt.Sprintf("unknown step %q%s", step.Value, near),
		Hint:    "sideport steps prints the names of all steps",
	})
}
