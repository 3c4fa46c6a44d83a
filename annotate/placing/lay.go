package placing

import (
	"time"

	"sideport/timeline"
)

// anchor is an exact correspondence: a match or a pin.
type anchor struct {
	recording, video time.Duration
	pin              bool
	half             time.Duration // half the unit that recording is written to
}

// anchors are the links as correspondences, strictly increasing on both clocks: a
// match that a pin stands beside gives way to the pin.
func (p *placer) anchors(m matching) []anchor {
	var out []anchor
	for _, l := range m.links {
		if l.pin < 0 && besidePin(&l.node, m.links) {
			continue
		}
		out = append(out, p.anchor(&l))
	}
	return out
}

func (p *placer) anchor(l *link) anchor {
	a := anchor{recording: l.recording, video: l.video, pin: l.pin >= 0}
	if !a.pin {
		a.half = p.stamps[l.stamp].Half
	}
	return a
}

func besidePin(n *node, links []link) bool {
	for k := range links {
		if l := &links[k]; l.pin >= 0 && l.near(n) {
			return true
		}
	}
	return false
}

type kind int

// The kinds of stretch between two anchors, and the two ends beyond them.
const (
	same kind = iota
	removed
	inserted
	head
	tail
)

// stretch is what lies between two neighbouring anchors, or between an end of the
// material and the anchor next to it. bounded says that a mark inside can be placed
// in principle: always between anchors, at an end only when both distances to the
// end agree.
type stretch struct {
	kind           kind
	r1, r2, v1, v2 time.Duration
	bounded        bool
	half           time.Duration // the coarser of its anchors'
}

// layout is the map in the making.
type layout struct {
	rate      float64
	stretches []stretch
	pieces    []timeline.Piece
	cuts      []Cut
	inserts   []Insert
}

// lay builds the map from anchors, which has at least one.
func (p *placer) lay(anchors []anchor, rate float64) *layout {
	l := &layout{rate: rate}
	l.head(anchors[0], p)
	for k := 1; k < len(anchors); k++ {
		l.between(anchors[k-1], anchors[k])
	}
	l.tail(anchors[len(anchors)-1], p)
	return l
}

// piece adds a kept stretch, joined to the one before when they touch on both
// clocks and neither changes the speed.
func (l *layout) piece(r1, r2, v1, v2 time.Duration) {
	if r2 <= r1 || v2 <= v1 {
		return
	}
	q := timeline.Piece{Recording: timeline.Span{From: r1, To: r2}, Video: timeline.Span{From: v1, To: v2}}
	if n := len(l.pieces); n > 0 {
		last := &l.pieces[n-1]
		if last.Recording.To == r1 && last.Video.To == v1 && last.Recording.Len() == last.Video.Len() && r2-r1 == v2-v1 {
			last.Recording.To, last.Video.To = r2, v2
			return
		}
	}
	l.pieces = append(l.pieces, q)
}

// head lays what is before the first anchor, straight back from it. Video that
// the recording since its zero cannot fill is an opening card, and so is video that
// the chapters call one.
func (l *layout) head(a anchor, p *placer) {
	if a.video > 0 && p.opensWithCard(a.video) {
		l.stretches = append(l.stretches, stretch{kind: head, r2: a.recording, v2: a.video, half: a.half})
		l.inserts = append(l.inserts, Insert{To: a.video, Kind: "before-first"})
		return
	}
	reach := max(0, times(a.recording, l.rate)) // video that the recording could fill
	excess := a.video - reach
	l.stretches = append(l.stretches, stretch{
		kind: head, r2: a.recording, v2: a.video, half: a.half,
		bounded: excess < card+a.half && agree(a.recording, a.video, a.half, l.rate),
	})
	if excess <= 0 {
		l.piece(a.recording-times(a.video, 1/l.rate), a.recording, 0, a.video)
		return
	}
	l.piece(0, a.recording, excess, a.video)
	if excess >= card+a.half && !p.opt.ZeroAssumed {
		l.inserts = append(l.inserts, Insert{To: excess, Kind: "before-first"})
	}
}

func (l *layout) between(a, b anchor) {
	s := stretch{r1: a.recording, r2: b.recording, v1: a.video, v2: b.video, bounded: true, half: max(a.half, b.half)}
	dr, dv := s.r2-s.r1, s.v2-s.v1
	switch gap := surplus(dr, dv, l.rate); {
	case agree(dr, dv, a.half+b.half, l.rate):
		l.piece(s.r1, s.r2, s.v1, s.v2)
	case gap > 0:
		s.kind = removed
		kept := times(dv, 1/l.rate)
		l.piece(s.r1, s.r1+kept, s.v1, s.v2)
		l.cuts = append(l.cuts, Cut{
			Removed: dr - kept, RecordingFrom: s.r1, RecordingTo: s.r2, Video: s.v1, Source: "inferred",
		})
	default:
		s.kind = inserted
		shown := s.v1 + times(dr, l.rate)
		l.piece(s.r1, s.r2, s.v1, shown)
		l.inserts = append(l.inserts, Insert{From: shown, To: s.v2, Kind: "between"})
	}
	l.stretches = append(l.stretches, s)
}

// tail lays what is after the last anchor, straight on to the nearer of the two
// ends. Where the length of the video is not known it reaches as far as lastMark
// says, and at least a second.
func (l *layout) tail(a anchor, p *placer) {
	video := p.opt.VideoLength - a.video
	known := p.opt.VideoLength > 0
	if !known {
		video = max(time.Second, p.lastMark()-a.video)
	}
	if p.opt.RecordingLength == 0 {
		l.piece(a.recording, a.recording+times(video, 1/l.rate), a.video, a.video+video)
		return
	}
	recording := p.opt.RecordingLength - a.recording
	s := stretch{kind: tail, r1: a.recording, v1: a.video, r2: p.opt.RecordingLength, v2: a.video + video, half: a.half}
	s.bounded = known && recording > 0 && agree(recording, video, a.half, l.rate)
	l.stretches = append(l.stretches, s)
	shown := min(video, times(recording, l.rate))
	l.piece(a.recording, a.recording+times(shown, 1/l.rate), a.video, a.video+shown)
	if known && recording > 0 && !s.bounded && shown < video {
		l.inserts = append(l.inserts, Insert{From: a.video + shown, To: p.opt.VideoLength, Kind: "after-last"})
	}
}
