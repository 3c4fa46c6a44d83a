package placing

import (
	"fmt"
	"math"
	"slices"
	"time"

	"sideport/timeline/align"
)

// defaultMaxRate is the largest |rate-1| taken for two clocks that drift.
// Source: common practice, no source; 0.2 % is 7 s an hour, twice the step between
// 29.97 and 30 frames a second.
const defaultMaxRate = 0.002

// enough is the least number of anchors beyond those that any line would go
// through (two for the first kept stretch, one for every other) that make a rate.
const enough = 3

// enoughPoints is about how many points of one kept stretch the rate is fitted to; of
// more, every second, third and so on is taken: the slopes of all pairs are looked at.
const enoughPoints = 256

// sigmas is how many standard errors prove that a rate is not 1: at three, one
// generated case in twenty with a second of scatter drifted without cause; at four,
// one in a hundred.
const sigmas = 4

// ratio is a speed that comes of playing frames at another rate than they were
// taken at.
type ratio struct {
	value float64
	name  string
}

// frameRatios lists them. The first two are so near 1 that matching does not tell
// them from it; the others need a matching of their own. Source: SMPTE ST 12-1
// counts 30000/1001 and 24000/1001 frames a second beside 30 and 24; playing 24
// frames as 25 is common practice.
func frameRatios() []ratio {
	return []ratio{
		{1000.0 / 1001, "1000/1001"}, {1001.0 / 1000, "1001/1000"},
		{24.0 / 25, "24/25"}, {25.0 / 24, "25/24"}, {960.0 / 1001, "960/1001"}, {1001.0 / 960, "1001/960"},
	}
}

// runs splits the anchors where two neighbours do not agree.
func runs(anchors []anchor, rate float64) [][]anchor {
	var out [][]anchor
	from := 0
	for k := 1; k <= len(anchors); k++ {
		if k < len(anchors) && agree(anchors[k].recording-anchors[k-1].recording, anchors[k].video-anchors[k-1].video, anchors[k].half+anchors[k-1].half, rate) {
			continue
		}
		if k > from {
			out = append(out, anchors[from:k])
		}
		from = k
	}
	return out
}

// scatterFloor is the least scatter of the stamps: a uniform rounding to the
// second when all are whole seconds, a tenth of a second otherwise.
func (p *placer) scatterFloor() float64 {
	if slices.ContainsFunc(p.stamps, func(s Stamp) bool { return s.At%time.Second != 0 }) {
		return 0.1
	}
	return 1 / math.Sqrt(12)
}

// speed is an estimate of the rate: its value, whether the marks prove that it is
// not 1, and what to say of it.
type speed struct {
	value  float64
	proved bool
	note   string
}

// rate estimates the video seconds a recording second within kept stretches: by Theil
// and Sen from the longest stretch, then by all stretches without the anchors that this
// line leaves far off. It is 1 unless enough anchors in stretches that agree at the speed
// near prove a frame-rate ratio or a drift of at most MaxRate.
func (p *placer) rate(anchors []anchor, near float64) speed {
	var series []align.Series
	longest := 0
	for _, run := range runs(anchors, near) {
		var s align.Series
		for k := 0; k < len(run); k += 1 + len(run)/enoughPoints {
			a := run[k]
			s.X, s.Y = append(s.X, a.recording.Seconds()), append(s.Y, a.video.Seconds())
		}
		if series = append(series, s); len(s.X) > len(series[longest].X) {
			longest = len(series) - 1
		}
	}
	if len(series) > 0 {
		if first, ok := align.TheilSen(series[longest].X, series[longest].Y); ok && len(series[longest].X) >= enough+2 {
			for k := range series {
				series[k] = p.beside(series[k], first.Slope)
			}
		}
	}
	slope, ok := align.PooledSlope(series, p.scatterFloor())
	doubt := sigmas * slope.Error
	if !ok || slope.Free < enough || math.Abs(slope.Value-1) <= doubt {
		return speed{value: 1}
	}
	best := ratio{value: math.Inf(1)}
	for _, r := range frameRatios() {
		if math.Abs(r.value-slope.Value) < math.Abs(best.value-slope.Value) {
			best = r
		}
	}
	limit := p.opt.MaxRate
	if limit == 0 {
		limit = defaultMaxRate
	}
	said := fmt.Sprintf("the video runs at %.4f of the recording's speed in kept material", slope.Value)
	switch {
	case math.Abs(best.value-slope.Value) <= doubt:
		return speed{best.value, true, said + "; taken as the frame-rate ratio " + best.name}
	case math.Abs(slope.Value-1) <= limit:
		return speed{slope.Value, true, said + "; taken as two clocks that drift"}
	}
	return speed{1, false, fmt.Sprintf("%s by the marks, which is no frame-rate ratio and beyond the %.1f %% that clocks differ by; taken as 1", said, 100*limit)}
}

// beside is a series without the points further from a line of the slope than marks of
// one moment scatter.
func (p *placer) beside(s align.Series, slope float64) align.Series {
	rest := make([]float64, len(s.X))
	for k := range s.X {
		rest[k] = s.Y[k] - slope*s.X[k]
	}
	middle := align.Median(slices.Clone(rest))
	var out align.Series
	for k := range s.X {
		if math.Abs(rest[k]-middle) <= 2*p.loose*agreeWithin.Seconds() {
			out.X, out.Y = append(out.X, s.X[k]), append(out.Y, s.Y[k])
		}
	}
	return out
}

// muchLooser is how much looser than usual the marks have to be to be matched once more
// with a wider tolerance, and stillLooser how much looser than that to be so again.
const (
	muchLooser  = 1.4
	stillLooser = 1.1
)

// settle matches at speed 1 and, when few gaps agree there, at the frame-rate
// ratios further from it; another speed is taken only when its chain is cheaper by
// frameCost and the anchors prove the ratio.
func (p *placer) settle(nodes []node) (matching, []anchor, speed) {
	p.loose = 1
	plain := p.match(nodes, 1)
	anchors := p.anchors(plain)
	if len(anchors) >= enough+2 && agreeing(anchors, 1)*2 < len(anchors)-1 {
		best := plain
		for _, r := range frameRatios()[2:] {
			if m := p.match(nodes, r.value); m.cost < min(best.cost, plain.cost-frameCost) {
				best = m
			}
		}
		if best.rate != 1 {
			other := p.anchors(best)
			if s := p.rate(other, best.rate); s.proved && math.Abs(s.value-best.rate) < agreeShare/4 {
				if p.long() {
					_, best = p.widen(best)
					other = p.anchors(best)
				}
				return best, other, s
			}
		}
	}
	plain = p.loosen(nodes, plain)
	if p.long() {
		_, plain = p.widen(plain)
	}
	anchors = p.anchors(plain)
	return plain, anchors, p.rate(anchors, 1)
}

// loosen matches once more with a wider tolerance while the marks turn out to scatter
// wider than was taken for.
func (p *placer) loosen(nodes []node, m matching) matching {
	for round := range 3 {
		loose, least := p.looseness(m), muchLooser
		if round > 0 {
			least = stillLooser
		}
		if loose < least*p.loose {
			break
		}
		p.loose = loose
		m = p.match(nodes, m.rate)
	}
	return m
}

// agreeing counts the neighbours whose distances agree.
func agreeing(anchors []anchor, rate float64) int { return len(anchors) - len(runs(anchors, rate)) }
