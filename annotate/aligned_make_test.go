package annotate_test

import (
	"cmp"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"sideport/annotate/taxonomy"
	"sideport/timeline"
	"sideport/timeline/timelinetest"
)

// Cases for measuring the aligner from end to end: written lists of times and
// chapter files in, placed stamps out.
//
// Not invented: the order and the relative lengths of the phases of the
// phacoemulsification cases, digitised from a figure of Ghamsarian et al.,
// Scientific Data 2024, s41597-024-03193-4 (CC BY 4.0).
//
// Invented: how long a recording lasts, all cuts, title cards, clock offsets and
// rates, scatter, misspellings, what is missing and what is noted beside; the orders
// of the manual operations, drawn from the vocabulary's own order constraints; and
// the words, which were written for this by someone who had seen neither the vocabulary
// nor the phrases beside it.

// phase is one stretch of a recording in which a step was done.
type phase struct {
	step     string
	from, to time.Duration
}

// conditions say how a case is spoilt.
type conditions struct {
	cutLow, cutHigh float64       // share of the recording that is cut out
	scatter         time.Duration // of stamps and of chapters, uniform either way
	misspelt        float64
	missing         float64 // of stamps and, apart, of chapters
	remarks         float64 // notes on top, as a share of the stamps
	nameRemarks     float64 // share of those that name a step that does not begin there
	offset          time.Duration
	drift           float64 // largest rate error
	lateChapters    bool    // a step whose beginning is cut gets its chapter where it is first seen
	ownWords        bool    // texts are the vocabulary's own names
	sameWords       bool    // stamp and chapter of a moment are written alike
	everyStretch    bool    // a step that goes on after idle time is noted again
}

// asAsked are the conditions that the main figures are for.
func asAsked() conditions {
	return conditions{
		cutLow: .2, cutHigh: .6, scatter: time.Second, misspelt: .1, missing: .1,
		remarks: .1, nameRemarks: .25, offset: 12 * time.Hour, drift: .001,
	}
}

// alignedCase is a generated case with its truth. stampOf and chapterOf say which
// phase a line of each list names, -1 for none.
type alignedCase struct {
	procedure          string
	recording          string // the list of times as written
	chapters           string // WebVTT
	stampOf, chapterOf []int
	video              []time.Duration // true video time of each phase, -1 when cut out
	chapterAt          []time.Duration // as written
}

// phaseOrders reads the 56 orders; each case is a list of phases in shares of a
// thousandth of a second of a recording that lasts its bar's pixels in seconds.
func phaseOrders(t testing.TB) [][]phase {
	t.Helper()
	steps := map[string]string{
		"in": "main-incision", "vi": "ovd-fill", "rh": "capsulotomy", "hy": "hydrodissection", "ph": "fragment-removal",
		"ia": "cortex-aspiration", "po": "capsule-polish", "le": "iol-insertion", "lp": "iol-dialling", "vs": "ovd-removal",
		"fl": "ovd-removal", "to": "stromal-hydration", "id": "",
	}
	raw, err := os.ReadFile(filepath.Join(timelinetest.Root(t), "testdata", "open", "phase_orders.txt"))
	if err != nil {
		t.Fatal(err)
	}
	var out [][]phase
	for line := range strings.Lines(string(raw)) {
		cells := strings.Fields(line)
		if len(cells) < 3 || cells[0] == "#" {
			continue
		}
		var one []phase
		for _, c := range cells[2:] {
			name, span, _ := strings.Cut(c, ":")
			a, b, _ := strings.Cut(span, "-")
			from, errA := strconv.Atoi(a)
			to, errB := strconv.Atoi(b)
			step, known := steps[name]
			if errA != nil || errB != nil || !known {
				t.Fatalf("phase %q of case %s is not read", c, cells[0])
			}
			one = append(one, phase{step, time.Duration(from) * time.Second, time.Duration(to) * time.Second})
		}
		out = append(out, one)
	}
	if len(out) != 56 {
		t.Fatalf("%d orders, want 56", len(out))
	}
	return out
}

// phacoPhases stretches one of the orders to a recording of five to twenty minutes.
// Stretches of one phase with nothing but idle time between them are one run of the
// step, which is noted once; with every they are noted each.
func phacoPhases(r *rand.Rand, orders [][]phase, every bool) []phase {
	order := orders[r.IntN(len(orders))]
	bar := order[len(order)-1].to
	length := time.Duration(300+r.IntN(901)) * time.Second
	var out []phase
	for _, p := range order {
		scale := func(d time.Duration) time.Duration {
			return time.Duration(float64(d) / float64(bar) * float64(length)).Round(time.Millisecond)
		}
		switch last := len(out) - 1; {
		case p.step == "":
		case !every && last >= 0 && out[last].step == p.step:
			out[last].to = scale(p.to)
		default:
			out = append(out, phase{p.step, scale(p.from), scale(p.to)})
		}
	}
	return out
}

// msicsPhases draws a manual operation from the vocabulary: steps expected in every
// case and half of the others in the usual order, neighbours that may swap swapped
// now and then, repeatable steps done again later, lengths within their windows.
func msicsPhases(r *rand.Rand) []phase {
	p, _ := taxonomy.ByID("msics")
	var ids []string
	for i := range p.Steps {
		s := &p.Steps[i]
		if s.OffVideo || !s.Required && r.IntN(2) == 0 {
			continue
		}
		ids = append(ids, s.ID)
	}
	for i := 1; i < len(ids); i++ {
		if slices.Contains(p.SwapsWith(ids[i]), ids[i-1]) && r.IntN(3) == 0 {
			ids[i], ids[i-1] = ids[i-1], ids[i]
		}
	}
	for _, id := range slices.Clone(ids) {
		if p.MayRepeat(id) && r.IntN(3) == 0 {
			at := slices.Index(ids, id) + 2
			if at < len(ids) {
				ids = slices.Insert(ids, at+r.IntN(min(6, len(ids)-at)), id)
			}
		}
	}
	var out []phase
	at := time.Duration(2000+r.IntN(20000)) * time.Millisecond
	for _, id := range ids {
		s, _ := p.Step(id)
		low, high := max(5, float64(s.WindowS[0])), max(20, float64(s.WindowS[1])/2)
		length := time.Duration((low + (max(high, low)-low)*r.Float64()*r.Float64()) * float64(time.Second)).Round(time.Millisecond)
		out = append(out, phase{id, at, at + length})
		at += length + time.Duration(r.IntN(8000))*time.Millisecond
	}
	return out
}

// alignedGen draws cases.
type alignedGen struct {
	r      *rand.Rand
	orders [][]phase
	words  wordList
	how    conditions
}

func (g *alignedGen) uniform(low, high float64) float64 { return low + (high-low)*g.r.Float64() }

func (g *alignedGen) jitter() time.Duration {
	return time.Duration(g.uniform(-1, 1) * float64(g.how.scatter))
}

// keep draws what the edit keeps: whole steps dropped, then stretches anywhere, till
// the share that is to be cut is reached.
func (g *alignedGen) keep(phases []phase, length time.Duration) timeline.Map {
	kept := []timeline.Span{{To: length}}
	left := time.Duration(g.uniform(g.how.cutLow, g.how.cutHigh) * float64(length))
	cut := func(from, to time.Duration) {
		before := total(kept)
		kept = without(kept, timeline.Span{From: from, To: min(to, from+left)})
		left -= before - total(kept)
	}
	for k, p := range phases {
		if g.r.Float64() < .12 && left > 0 {
			end := length
			if k+1 < len(phases) {
				end = phases[k+1].from
			}
			cut(p.from-min(p.from, time.Second), end-min(end-p.from, 2*time.Second))
		}
	}
	for left > time.Second {
		from := time.Duration(g.r.Float64() * float64(length)).Round(time.Millisecond)
		cut(from, from+time.Duration(g.uniform(5, 60)*float64(time.Second)).Round(time.Millisecond))
	}
	rate := 1 + g.uniform(-g.how.drift, g.how.drift)
	at := time.Duration(g.uniform(3, 10) * float64(time.Second)).Round(time.Millisecond)
	var m timeline.Map
	for _, s := range kept {
		n := time.Duration(float64(s.Len()) * rate).Round(time.Millisecond)
		m.Pieces = append(m.Pieces, timeline.Piece{Recording: s, Video: timeline.Span{From: at, To: at + n}})
		at += n
	}
	return m
}

func total(list []timeline.Span) (sum time.Duration) {
	for _, s := range list {
		sum += s.Len()
	}
	return sum
}

func without(list []timeline.Span, cut timeline.Span) []timeline.Span {
	var out []timeline.Span
	for _, s := range list {
		for _, part := range []timeline.Span{{From: s.From, To: min(s.To, cut.From)}, {From: max(s.From, cut.To), To: s.To}} {
			if part.To > part.From {
				out = append(out, part)
			}
		}
	}
	return out
}

// entry is one line of either list.
type entry struct {
	at    time.Duration
	text  string
	phase int
}

// text draws a text for a step and misspells it now and then.
func (g *alignedGen) text(procedure, step, kind string) string {
	list := g.words[procedure+"/"+step+"/"+kind]
	if len(list) == 0 { // shared by both operations
		list = g.words["msics/"+step+"/"+kind]
	}
	return g.misspell(list[g.r.IntN(len(list))])
}

// misspell changes one letter of one word: drops it, doubles it, swaps it with the
// next or takes another.
func (g *alignedGen) misspell(text string) string {
	if g.r.Float64() >= g.how.misspelt {
		return text
	}
	words := strings.Fields(text)
	w := g.r.IntN(len(words))
	letters := []rune(words[w])
	if len(letters) < 3 {
		return text
	}
	k := 1 + g.r.IntN(len(letters)-2)
	switch g.r.IntN(4) {
	case 0:
		letters = slices.Delete(letters, k, k+1)
	case 1:
		letters = slices.Insert(letters, k, letters[k])
	case 2:
		letters[k], letters[k+1] = letters[k+1], letters[k]
	default:
		letters[k] = rune('a' + g.r.IntN(26))
	}
	words[w] = string(letters)
	return strings.Join(words, " ")
}

// next draws a case; even draws are phacoemulsification.
func (g *alignedGen) next(phaco bool) alignedCase {
	c := alignedCase{procedure: "msics"}
	phases := msicsPhases(g.r)
	if phaco {
		c.procedure, phases = "phaco", phacoPhases(g.r, g.orders, g.how.everyStretch)
	}
	length := phases[len(phases)-1].to + 5*time.Second
	m := g.keep(phases, length)
	stamps, chapters := g.lists(&c, phases, m)
	offset := time.Duration(g.r.Float64() * float64(g.how.offset)).Round(time.Second)
	var list strings.Builder
	for _, s := range stamps {
		at := int((s.at + offset).Round(time.Second) / time.Second)
		fmt.Fprintf(&list, "%d:%02d:%02d %s\n", at/3600, at/60%60, at%60, s.text)
		c.stampOf = append(c.stampOf, s.phase)
	}
	c.recording = list.String()
	var vtt strings.Builder
	vtt.WriteString("WEBVTT\n")
	end := m.Pieces[len(m.Pieces)-1].Video.To
	for k, t := range chapters {
		to := max(end, t.at+time.Second)
		if k+1 < len(chapters) {
			to = chapters[k+1].at
		}
		fmt.Fprintf(&vtt, "\n%s --> %s\n%s\n", vttTime(t.at), vttTime(to), t.text)
		c.chapterOf, c.chapterAt = append(c.chapterOf, t.phase), append(c.chapterAt, t.at)
	}
	c.chapters = vtt.String()
	return c
}

func vttTime(d time.Duration) string {
	ms := d / time.Millisecond
	return fmt.Sprintf("%02d:%02d:%02d.%03d", ms/3600000, ms/60000%60, ms/1000%60, ms%1000)
}

// lists draws both lists in the order of their times.
func (g *alignedGen) lists(c *alignedCase, phases []phase, m timeline.Map) (stamps, chapters []entry) {
	if g.r.IntN(2) == 0 {
		chapters = append(chapters, entry{0, "Title", -1})
	}
	for k, p := range phases {
		at := m.ToVideo(p.from)
		c.video = append(c.video, -1)
		if len(at) > 0 {
			c.video[k] = at[0]
		} else if seen := m.SpanToVideo(timeline.Span{From: p.from, To: p.to}); g.how.lateChapters && len(seen) > 0 {
			at = []time.Duration{seen[0].From}
		}
		note := g.text(c.procedure, p.step, "note")
		if g.r.Float64() >= g.how.missing {
			stamps = append(stamps, entry{max(0, p.from+g.jitter()), note, k})
		}
		if len(at) > 0 && g.r.Float64() >= g.how.missing {
			title := g.text(c.procedure, p.step, "title")
			if g.how.sameWords {
				title = note
			}
			chapters = append(chapters, entry{max(0, at[0]+g.jitter()).Round(time.Millisecond), title, k})
		}
	}
	for range stamps {
		if g.r.Float64() >= g.how.remarks {
			continue
		}
		text := g.misspell(g.words["any/-/note"][g.r.IntN(len(g.words["any/-/note"]))])
		if g.r.Float64() < g.how.nameRemarks {
			text = g.text(c.procedure, phases[g.r.IntN(len(phases))].step, "note")
		}
		stamps = append(stamps, entry{time.Duration(g.r.Float64() * float64(phases[len(phases)-1].to)), text, -1})
	}
	for _, list := range [][]entry{stamps, chapters} {
		slices.SortStableFunc(list, func(a, b entry) int { return cmp.Compare(a.at, b.at) })
	}
	return stamps, spaced(chapters)
}

// spaced moves chapters that scatter has put on one moment a millisecond apart.
func spaced(chapters []entry) []entry {
	for k := 1; k < len(chapters); k++ {
		chapters[k].at = max(chapters[k].at, chapters[k-1].at+time.Millisecond)
	}
	return chapters
}
