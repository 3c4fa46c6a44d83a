package placing

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"sideport/timeline/source"
	"sideport/timeline/timecode"
)

// subject is what a finding is about: -1 in every index that does not count.
type subject struct {
	stamp, chapter, pin int
	step                string
}

func aboutAll() subject { return subject{stamp: -1, chapter: -1, pin: -1} }

func (p *placer) aboutStamp(i int) subject {
	return subject{stamp: i, chapter: -1, pin: -1, step: p.stamps[i].Step}
}

func (p *placer) aboutChapter(j int) subject {
	return subject{stamp: -1, chapter: j, pin: -1, step: p.chapters[j].Step}
}

func aboutPin(k int) subject { return subject{stamp: -1, chapter: -1, pin: k} }

func (p *placer) say(about subject, severity source.Severity, rule, hint, format string, args ...any) {
	p.out.Findings = append(p.out.Findings, Finding{
		Finding: source.Finding{
			Severity: severity, Rule: rule, Step: about.step, Message: fmt.Sprintf(format, args...), Hint: hint,
		},
		Stamp: about.stamp, Chapter: about.chapter, Pin: about.pin,
	})
}

// checkEnd reports the chapters that begin past the end of the video.
func (p *placer) checkEnd() {
	for j, c := range p.chapters {
		if p.pastEnd(c) {
			p.say(p.aboutChapter(j), source.Caution, "time/past-end", "",
				"a chapter at video %s lies past the end of the video, %s", timecode.Format(c.From), timecode.Format(p.opt.VideoLength))
		}
	}
}

// sayOpen reports the ties.
func (p *placer) sayOpen(m matching) {
	const hint = "a pin decides it"
	for _, o := range m.open {
		if len(o.stamps) > 0 {
			p.say(p.aboutChapter(o.chapter), source.Caution, "time/ambiguous", hint,
				"the chapter at video %s%s fits the stamps at recording %s equally well; it is matched with none",
				timecode.Format(o.video), named(o.step), p.stampTimes(append(o.stamps, o.stamp)))
		}
		if len(o.chapters) > 0 {
			p.say(p.aboutStamp(o.stamp), source.Caution, "time/ambiguous", hint,
				"the stamp at recording %s%s fits the chapters at video %s equally well; it is matched with none",
				timecode.Format(o.recording), named(o.step), p.chapterTimes(append(o.chapters, o.chapter)))
		}
	}
}

// sayUnmatched reports chapters whose step the stamps name too but never at a time
// that fits.
func (p *placer) sayUnmatched(nodes []node, m matching) {
	settled, used := map[int]bool{}, map[int]bool{}
	for _, l := range m.links {
		if l.pin < 0 {
			settled[l.chapter], used[l.stamp] = true, true
		}
	}
	for _, o := range m.open {
		settled[o.chapter] = true
	}
	fit := make([][]int, len(p.chapters))
	for k := range nodes {
		if n := &nodes[k]; n.pin < 0 && p.alike(n) && !settled[n.chapter] && !used[n.stamp] {
			fit[n.chapter] = append(fit[n.chapter], n.stamp)
		}
	}
	for _, j := range p.chapterOrder {
		stamps := fit[j]
		if len(stamps) > 0 {
			c := p.chapters[j]
			p.say(p.aboutChapter(j), source.Note, "time/not-matched", "",
				"the chapter at video %s%s does not fit in time what the recording names alike, at %s",
				timecode.Format(c.From), named(c.Step), p.stampTimes(stamps))
		}
	}
}

// alike reports whether a stamp and a chapter are called alike, by name or by words.
func (p *placer) alike(n *node) bool {
	s, c := &p.stamps[n.stamp], &p.chapters[n.chapter]
	if s.Step != "" && c.Step != "" {
		return related(s.Step, c.Step, p.vocab) > 0
	}
	remark := p.labels.stampRemark[n.stamp]
	return remark > 0 && remark == p.labels.chapterRemark[n.chapter]
}

// sayPins reports the pins that the labels alone would have put elsewhere.
func (p *placer) sayPins(m matching) {
	if !slices.ContainsFunc(m.links, func(l link) bool { return l.pin >= 0 }) {
		return
	}
	loose := p.loose
	_, anchors, speed := p.settle(p.nodes(nil))
	p.loose = loose
	if len(anchors) == 0 {
		return
	}
	l := p.lay(anchors, speed.value)
	for _, n := range m.links {
		if n.pin < 0 {
			continue
		}
		v, within, ok := l.toVideo(n.recording)
		if !ok || (v-n.video).Abs() <= max(agreeWithin, within) {
			continue
		}
		p.say(aboutPin(n.pin), source.Caution, "time/pin", "",
			"the pin puts recording %s at video %s, the names of the marks put it at video %s; the pin holds",
			timecode.Format(n.recording), timecode.Format(n.video), timecode.Format(v))
	}
}

func named(step string) string {
	if step == "" {
		return ""
	}
	return " (" + step + ")"
}

// stampTimes prints the times of the stamps in order.
func (p *placer) stampTimes(list []int) string {
	return clockTimes(list, func(i int) time.Duration { return p.stamps[i].At })
}

func (p *placer) chapterTimes(list []int) string {
	return clockTimes(list, func(j int) time.Duration { return p.chapters[j].From })
}

// clockTimes joins at most four times and counts the rest.
func clockTimes(list []int, at func(int) time.Duration) string {
	const most = 4
	var sorted []time.Duration
	for _, i := range list {
		sorted = append(sorted, at(i))
	}
	slices.Sort(sorted)
	var out []string
	for _, t := range sorted[:min(most, len(sorted))] {
		out = append(out, timecode.Format(t))
	}
	last := len(out) - 1
	switch more := len(sorted) - len(out); {
	case more > 0:
		return fmt.Sprintf("%s and %d more", strings.Join(out, ", "), more)
	case last == 0:
		return out[0]
	}
	return strings.Join(out[:last], ", ") + " and " + out[last]
}
