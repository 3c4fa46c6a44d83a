package taxonomy

import (
	"slices"
	"sort"
)

// What a reading costs against its neighbours: one place of the step order each,
// three for a step back, and how much better the best reading has to be.
const (
	stepBack    = 3
	sameStep    = 3 // the neighbour's own step again, when it is not one that repeats
	noPlace     = 3 // an event that belongs to no particular step
	margin      = 2
	defaultNear = 3 // per neighbour: a default yields only to a reading as near as this
)

// settle picks the reading of c that the neighbours leave, with the readings in
// order of how well they fit. It returns false when they do not decide.
func (p *Procedure) settle(c *Collision, ctx Context) (best Candidate, decided bool, all []Candidate) {
	ranks := p.contextRanks(ctx)
	costs := make([]int, len(c.Readings))
	order := make([]int, len(c.Readings))
	for i, r := range c.Readings {
		order[i], costs[i] = i, r.Handicap
		if r.ID == "" {
			costs[i] = r.Handicap * max(1, len(ranks))
		} else if len(ranks) > 0 {
			costs[i] += p.distance(r.ID, ctx)
		}
	}
	sort.SliceStable(order, func(a, b int) bool { return costs[order[a]] < costs[order[b]] })
	sum := 0.0
	for _, cost := range costs {
		sum += 1 / float64(1+cost)
	}
	for _, i := range order {
		r := c.Readings[i]
		all = append(all, Candidate{
			ID: r.ID, Kind: p.readingKind(r), Variant: r.Variant, Meaning: r.Meaning, Score: 1 / float64(1+costs[i]) / sum,
		})
	}
	first := order[0]
	if c.Default {
		if first == 0 || len(ranks) == 0 || costs[0]-costs[first] < margin || costs[first] > defaultNear*len(ranks) {
			first = 0
		}
		i := slices.Index(order, first)
		return all[i], true, all
	}
	decided = len(ranks) > 0 && costs[order[1]]-costs[first] >= margin
	return all[0], decided, all
}

func (p *Procedure) contextRanks(ctx Context) []int {
	var out []int
	for _, id := range []string{ctx.Previous, ctx.Next} {
		if r := p.Rank(id); id != "" && r >= 0 {
			out = append(out, r)
		}
	}
	return out
}

// distance is how far id lies from its neighbours in the usual order, an event as
// near as the nearest of its steps.
func (p *Procedure) distance(id string, ctx Context) int {
	e, isEvent := p.Event(id)
	if !isEvent {
		return p.stepDistance(id, ctx, false)
	}
	if len(e.Steps) == 0 {
		return noPlace
	}
	best := p.stepDistance(e.Steps[0], ctx, true)
	for _, s := range e.Steps[1:] {
		best = min(best, p.stepDistance(s, ctx, true))
	}
	return best
}

func (p *Procedure) stepDistance(id string, ctx Context, during bool) int {
	at, cost := p.Rank(id), 0
	gap := func(from, to int, neighbour string) int {
		switch {
		case to == from && (during || p.MayRepeat(id)):
			return 0
		case to == from:
			return sameStep
		case to > from:
			return to - from
		case slices.Contains(p.SwapsWith(id), neighbour):
			return 1
		}
		return stepBack * (from - to)
	}
	if r := p.Rank(ctx.Previous); ctx.Previous != "" && r >= 0 {
		cost += gap(r, at, ctx.Previous)
	}
	if r := p.Rank(ctx.Next); ctx.Next != "" && r >= 0 {
		cost += gap(at, r, ctx.Next)
	}
	return cost
}
