package media

import (
	"encoding/binary"
	"time"
)

// edit is an entry of an edit list: length units of the movie's clock, shown from
// the moment from of the track's media, or nothing shown when from is below zero.
// Source: ISO/IEC 14496-12, edit list box.
type edit struct {
	length uint64
	from   int64
}

// readEdits reads edts. The playing speed an entry states is not looked at: cameras
// and recorders write 1.
func (m *mp4) readEdits(edts box, p *mp4Track) {
	m.walk(edts.from, edts.to, false, func(b box) {
		if b.kind != "elst" {
			return
		}
		raw := m.bytes(b.from, b.to)
		if len(raw) < 8 {
			return
		}
		row := 12
		if raw[0] == 1 {
			row = 20
		}
		n := int64(binary.BigEndian.Uint32(raw[4:]))
		for raw = raw[8:]; n > 0 && len(raw) >= row; n, raw = n-1, raw[row:] {
			if !m.room(m.edits, "edits") {
				return
			}
			m.edits++
			e := edit{uint64(binary.BigEndian.Uint32(raw)), int64(int32(binary.BigEndian.Uint32(raw[4:])))}
			if row == 20 {
				e = edit{binary.BigEndian.Uint64(raw), int64(binary.BigEndian.Uint64(raw[8:]))}
			}
			p.edits = append(p.edits, e)
		}
	})
}

// measureTracks finds how long each track is shown and when it begins, and the
// timecode of the first picture. It comes last, since the movie's header, whose
// units edits count in, may lie behind the tracks.
func (m *mp4) measureTracks() {
	for i := range m.facts.Tracks {
		t, p := &m.facts.Tracks[i], &m.tracks[i]
		if f := m.fragments[p.id]; f != nil && f.known && f.track == i {
			if p.length == 0 {
				p.first = f.first
			}
			p.length = max(p.length, f.end-min(f.begin, f.end))
		}
		t.Exact, t.Starts = p.shown(m.timescale)
		if m.facts.Start.Text == "" {
			m.facts.Start = m.startCode(p.code)
		}
	}
}

// shown is how long the track is shown and from when on.
func (p *mp4Track) shown(movie uint64) (Exact, time.Duration) {
	if len(p.edits) == 0 {
		return exact(p.length, p.timescale), scaled(uint64(max(p.first, 0)), 1, p.timescale)
	}
	var empty, shown uint64
	var used []edit
	for _, e := range p.edits {
		switch {
		case e.length > 1<<60 || e.from > 1<<60:
			return Exact{}, 0 // longer than any video lasts
		case e.from < 0 && len(used) == 0:
			empty += e.length
		case e.from >= 0:
			used, shown = append(used, e), shown+e.length
		default:
			shown += e.length // a pause between two stretches
		}
	}
	starts := scaled(empty, 1, movie)
	if len(used) == 0 {
		return Exact{}, starts
	}
	starts += scaled(uint64(max(p.first-used[0].from, 0)), 1, p.timescale)
	// One stretch up to the end of the media has its length in the track's own
	// units; the list has it rounded to those of the movie.
	if left := int64(min(p.length, 1<<60)) + p.first - used[0].from; len(used) == 1 && left > 0 {
		whole, listed := scaled(uint64(left), 1, p.timescale), scaled(shown, 1, movie)
		if unit := scaled(1, 1, movie); shown == 0 || whole-listed <= unit && listed-whole <= unit {
			return exact(uint64(left), p.timescale), starts
		}
	}
	return exact(shown, movie), starts
}

// codeEntry is what a timecode track says of its count, and where its first sample
// lies. Source: QuickTime File Format, timecode sample description.
type codeEntry struct {
	timescale, each uint64 // units a second, and of one frame
	perSecond       int64  // codes in a second
	drop, counter   bool
	at              int64 // of the first sample in the file; 0 is none
}

// The flags of a timecode sample description.
const (
	codeDrops   = 0x1
	codeCounter = 0x8 // a plain count, of tape for instance
)

func (m *mp4) readCodeEntry(stsd box, p *mp4Track) {
	raw := m.bytes(stsd.from, min(stsd.to, stsd.from+42))
	if len(raw) < 41 { // version and count, then an entry of 34 bytes but for its last
		return
	}
	entry := raw[8:]
	flags := binary.BigEndian.Uint32(entry[20:])
	p.code.timescale, p.code.each = uint64(binary.BigEndian.Uint32(entry[24:])), uint64(binary.BigEndian.Uint32(entry[28:]))
	p.code.perSecond = int64(entry[32])
	p.code.drop, p.code.counter = flags&codeDrops != 0, flags&codeCounter != 0
}

// startCode reads the first sample of a timecode track: the number of the frame
// that the first picture carries.
func (m *mp4) startCode(c codeEntry) Code {
	if c.timescale == 0 || c.counter || c.at <= 0 {
		return Code{}
	}
	p := m.bytes(c.at, c.at+4)
	if len(p) < 4 || p[0]&0x80 != 0 { // a count below zero is no time of a clock
		return Code{}
	}
	return countedCode(int64(binary.BigEndian.Uint32(p)), c.timescale, c.each, c.perSecond, c.drop)
}
