package placing_test

import (
	"math/rand/v2"
	"time"

	"sideport/annotate/placing"
	"sideport/timeline"
)

// The material here is made by us: it shows that the method recovers what it
// assumes, not how hospitals edit.

// words is a small vocabulary in canonical order.
type words struct {
	order  []string
	repeat map[string]bool
	parent map[string]string
}

func (w words) Rank(id string) int {
	for k, s := range w.order {
		if s == id {
			return k
		}
	}
	return -1
}
func (w words) MayRepeat(id string) bool        { return w.repeat[id] }
func (w words) Akin(string, string) bool        { return false }
func (w words) Parent(id string) (string, bool) { p, ok := w.parent[id]; return p, ok }

// manual is the order of a manual small-incision operation with its usual repeats.
func manual() words {
	return words{
		order: []string{"peritomy", "cautery", "scleral-groove", "tunnel-dissection", "side-port", "capsule-stain", "ovd-fill",
			"capsulotomy", "ac-entry", "entry-extension", "hydroprocedure", "nucleus-prolapse", "nucleus-delivery",
			"cortex-aspiration", "iol-insertion", "iol-dialling", "ovd-removal", "stromal-hydration", "wound-check", "conj-closure"},
		repeat: map[string]bool{"ovd-fill": true, "cautery": true, "cortex-aspiration": true, "side-port": true, "hydroprocedure": true},
		parent: map[string]string{"hydrodissection": "hydroprocedure", "hydrodelineation": "hydroprocedure"},
	}
}

// recipe says how a case is spoilt.
type recipe struct {
	cuts          int           // stretches removed
	card          time.Duration // opening title
	insert        time.Duration // card between, about the middle of the video
	rate          float64
	jitter        time.Duration // of stamps, either way; chapters have a quarter of it
	missing       float64       // share of stamps and, apart, of chapters that are not there
	unknown       float64       // share of labels not resolved
	second        bool          // stamps are written to the whole second
	wrong         float64       // share of labels that name another step
	neverFirstCut bool          // the recording is kept from its start
}

// made is a generated case with its truth.
type made struct {
	stamps     []placing.Stamp
	chapters   []placing.Chapter
	stampOf    []int // the true event of each stamp
	chapterOf  []int
	recording  []time.Duration // true time of each event
	video      []time.Duration // -1 when removed
	kept       timeline.Map
	length     time.Duration // of the video
	recordings time.Duration
}

func seconds(s float64) time.Duration { return time.Duration(s * float64(time.Second)) }

// sequence draws the steps of one operation: canonical order, with OVD filled
// again before the lens, now and then a second cautery and cortex pass, and some
// optional steps left out.
func sequence(r *rand.Rand) []string {
	var out []string
	for _, id := range manual().order {
		if (id == "cautery" || id == "capsule-stain" || id == "iol-dialling" || id == "conj-closure") && r.IntN(3) == 0 {
			continue
		}
		if (id == "iol-insertion" || id == "nucleus-prolapse" || id == "ac-entry") && r.IntN(3) > 0 {
			out = append(out, "ovd-fill")
		}
		out = append(out, id)
		if id == "ovd-removal" && r.IntN(3) == 0 {
			out = append(out, "cortex-aspiration")
		}
		if id == "tunnel-dissection" && r.IntN(4) == 0 {
			out = append(out, "cautery")
		}
	}
	return out
}

func generate(r *rand.Rand, how recipe) made {
	if how.rate == 0 {
		how.rate = 1
	}
	steps := sequence(r)
	m := made{}
	at := seconds(2 + 20*r.Float64())
	for range steps {
		m.recording = append(m.recording, at.Round(time.Millisecond))
		at += seconds(8 + 70*r.Float64()*r.Float64()*2)
	}
	m.recordings = at.Round(time.Millisecond)
	m.edit(r, how)
	for k := range steps {
		m.video = append(m.video, -1)
		if v := m.kept.ToVideo(m.recording[k]); len(v) > 0 {
			m.video[k] = v[0]
		}
	}
	spoil := func(id string) string {
		if r.Float64() < how.wrong {
			return manual().order[r.IntN(len(manual().order))]
		}
		if r.Float64() < how.unknown {
			return ""
		}
		return id
	}
	for k, id := range steps {
		if r.Float64() >= how.missing {
			t := max(0, m.recording[k]+seconds((2*r.Float64()-1)*how.jitter.Seconds()))
			if how.second {
				t = t.Round(time.Second)
			}
			m.stamps = append(m.stamps, placing.Stamp{At: t, Step: spoil(id), Confidence: .95, Text: id, Kind: "step"})
			m.stampOf = append(m.stampOf, k)
		}
		if m.video[k] >= 0 && r.Float64() >= how.missing {
			v := max(0, m.video[k]+seconds((2*r.Float64()-1)*how.jitter.Seconds()/4))
			m.chapters = append(m.chapters, placing.Chapter{From: v.Round(time.Millisecond), Step: spoil(id), Confidence: .95, Title: "chapter " + id, Kind: "step"})
			m.chapterOf = append(m.chapterOf, k)
		}
	}
	return m
}

// edit draws the cuts and lays the true map.
func (m *made) edit(r *rand.Rand, how recipe) {
	kept := []timeline.Span{{To: m.recordings}}
	for range how.cuts {
		length := seconds(8 + 80*r.Float64())
		from := seconds(r.Float64() * (m.recordings - length).Seconds()).Round(time.Millisecond)
		if how.neverFirstCut {
			from = max(from, seconds(30))
		}
		kept = without(kept, timeline.Span{From: from, To: from + length.Round(time.Millisecond)})
	}
	v, half := how.card, len(kept)/2
	for k, s := range kept {
		if k == half && k > 0 {
			v += how.insert
		}
		n := seconds(s.Len().Seconds() * how.rate)
		m.kept.Pieces = append(m.kept.Pieces, timeline.Piece{Recording: s, Video: timeline.Span{From: v, To: v + n}})
		v += n
	}
	m.length = v
}

func without(list []timeline.Span, cut timeline.Span) []timeline.Span {
	var out []timeline.Span
	for _, s := range list {
		if cut.To <= s.From || s.To <= cut.From {
			out = append(out, s)
			continue
		}
		if cut.From > s.From {
			out = append(out, timeline.Span{From: s.From, To: cut.From})
		}
		if cut.To < s.To {
			out = append(out, timeline.Span{From: cut.To, To: s.To})
		}
	}
	return out
}

// place runs Place as the pipeline would.
func (m made) place() placing.Result {
	return placing.Place(m.stamps, m.chapters, manual(), placing.Options{VideoLength: m.length, RecordingLength: m.recordings})
}

// score counts what came out right.
type score struct {
	cases, pairs, right, possible int // possible: both marks of a kept event are there and share a label
	placed, inside                int // interpolated stamps; those within their own bound (plus jitter)
	removedPlaced                 int // interpolated stamps of removed moments
	unsure, unsureRight           int // pairs below confidence 0.5
	sure, sureRight               int // pairs at or above 0.85
	rates, nearRates              int // cases whose rate is within 1e-4, and within the step between 24 and 23.976, of the truth
}

func (s *score) add(m made, res placing.Result, how recipe) {
	s.cases++
	stampFor := map[int]int{}
	for i, k := range m.stampOf {
		if m.stamps[i].Step != "" {
			stampFor[k] = i
		}
	}
	for j, k := range m.chapterOf {
		if i, ok := stampFor[k]; ok && m.stamps[i].Step == m.chapters[j].Step {
			s.possible++
		}
	}
	for _, p := range res.Pairs {
		s.pairs++
		right := m.stampOf[p.Stamp] == m.chapterOf[p.Chapter]
		if right {
			s.right++
		}
		if p.Confidence < .5 {
			s.unsure++
			if right {
				s.unsureRight++
			}
		}
		if p.Confidence >= .85 {
			s.sure++
			if right {
				s.sureRight++
			}
		}
	}
	for i, at := range res.Stamps {
		if at.Placed != placing.Interpolated {
			continue
		}
		truth := m.video[m.stampOf[i]]
		if truth < 0 {
			s.removedPlaced++
			continue
		}
		s.placed++
		if (*at.Video - truth).Abs() <= at.Within+2*how.jitter+time.Second/2 {
			s.inside++
		}
	}
	want := how.rate
	if want == 0 {
		want = 1
	}
	if d := res.Rate - want; d < 1e-4 && d > -1e-4 {
		s.rates++
	}
	if d := res.Rate - want; d < 1.1e-3 && d > -1.1e-3 {
		s.nearRates++
	}
}
