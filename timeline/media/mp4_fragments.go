package media

import (
	"encoding/binary"
	"maps"
	"slices"
)

// A recording kept in fragments has its samples described in a moof box a
// fragment and often no total length anywhere. The length is then the end of the
// last fragment. Source: ISO/IEC 14496-12, movie fragments.

// fragmented is what fragments need to know of a track.
type fragmented struct {
	known     bool // the file has a trak box for it
	track     int  // index of the track, when known
	timescale uint64
	each      uint64 // length of a sample that states none, from trex
	end       uint64 // of the last fragment so far, in units of the track
	samples   uint64 // in all fragments, and their length
	length    uint64
	begin     uint64 // of the first fragment
	first     int64  // when the first sample is shown
}

// of says which track the fragments belong to.
func (t *fragmented) of(track int, timescale uint64) {
	t.known, t.track, t.timescale = true, track, timescale
}

// fragmented is the entry of a track id. Ids past the limit share one that is
// thrown away.
func (m *mp4) fragmented(id uint32) *fragmented {
	t, ok := m.fragments[id]
	if !ok {
		t = &fragmented{}
		if m.room(len(m.fragments), "tracks") {
			m.fragments[id] = t
		}
	}
	return t
}

// readTrackID reads the id of a track from its tkhd box.
func (m *mp4) readTrackID(b box) uint32 {
	p := m.bytes(b.from, min(b.to, b.from+24))
	switch {
	case len(p) >= 24 && p[0] == 1:
		return binary.BigEndian.Uint32(p[20:])
	case len(p) >= 16 && p[0] == 0:
		return binary.BigEndian.Uint32(p[12:])
	}
	return 0
}

// readExtends reads mvex: the length of the whole movie, if stated, and each
// track's usual sample length.
func (m *mp4) readExtends(mvex box) {
	m.walk(mvex.from, mvex.to, false, func(b box) {
		p := m.bytes(b.from, min(b.to, b.from+24))
		switch {
		case b.kind == "mehd" && len(p) >= 12 && p[0] == 1:
			m.facts.last(exact(binary.BigEndian.Uint64(p[4:]), m.timescale))
		case b.kind == "mehd" && len(p) >= 8 && p[0] == 0:
			m.facts.last(exact(uint64(binary.BigEndian.Uint32(p[4:])), m.timescale))
		case b.kind == "trex" && len(p) >= 16:
			m.fragmented(binary.BigEndian.Uint32(p[4:])).each = uint64(binary.BigEndian.Uint32(p[12:]))
		}
	})
}

func (m *mp4) readFragment(moof box) {
	m.walk(moof.from, moof.to, false, func(traf box) {
		if traf.kind != "traf" {
			return
		}
		var t *fragmented
		var each, at, length, samples uint64
		var shift int64
		m.walk(traf.from, traf.to, false, func(b box) {
			switch {
			case b.kind == "tfhd":
				t, each = m.readFragmentHeader(b)
			case t == nil: // tfhd comes first
			case b.kind == "tfdt":
				at = m.readFragmentStart(b)
			case b.kind == "trun":
				n, l, late := m.readRun(b, each)
				if samples == 0 {
					shift = late
				}
				samples, length = samples+n, length+l
			}
		})
		if t != nil {
			if at == 0 {
				at = t.end
			}
			if t.samples == 0 {
				t.begin = min(at, 1<<60)
				t.first = int64(t.begin) + shift
			}
			t.end = max(t.end, at+length)
			t.samples, t.length = t.samples+samples, t.length+length
		}
	})
}

// readFragmentHeader reads tfhd: whose fragment it is and the length of a sample
// that states none.
func (m *mp4) readFragmentHeader(b box) (*fragmented, uint64) {
	p := m.bytes(b.from, min(b.to, b.from+28))
	if len(p) < 8 {
		return nil, 0
	}
	t := m.fragmented(binary.BigEndian.Uint32(p[4:]))
	flags, i := binary.BigEndian.Uint32(p), 8
	if flags&0x1 != 0 {
		i += 8
	}
	if flags&0x2 != 0 {
		i += 4
	}
	if flags&0x8 != 0 && len(p) >= i+4 {
		return t, uint64(binary.BigEndian.Uint32(p[i:]))
	}
	return t, t.each
}

func (m *mp4) readFragmentStart(b box) uint64 {
	p := m.bytes(b.from, min(b.to, b.from+12))
	switch {
	case len(p) >= 12 && p[0] == 1:
		return binary.BigEndian.Uint64(p[4:])
	case len(p) >= 8 && p[0] == 0:
		return uint64(binary.BigEndian.Uint32(p[4:]))
	}
	return 0
}

// readRun is the number of samples of a trun box, their length, and how much later
// than its turn the first is shown.
func (m *mp4) readRun(b box, each uint64) (count, length uint64, late int64) {
	head := m.bytes(b.from, min(b.to, b.from+8))
	if len(head) < 8 {
		return 0, 0, 0
	}
	flags, samples := binary.BigEndian.Uint32(head), uint64(binary.BigEndian.Uint32(head[4:]))
	at := b.from + 8
	for _, field := range []uint32{0x1, 0x4} {
		if flags&field != 0 {
			at += 4
		}
	}
	row := 0
	for _, field := range []uint32{0x100, 0x200, 0x400, 0x800} {
		if flags&field != 0 {
			row += 4
		}
	}
	if p := m.bytes(at, min(b.to, at+int64(row))); flags&0x800 != 0 && len(p) == row {
		late = int64(int32(binary.BigEndian.Uint32(p[row-4:]))) // unsigned in version 0, which is never this large
	}
	if flags&0x100 == 0 {
		return samples, samples * each, late
	}
	for p := m.bytes(at, b.to); len(p) >= row && count < samples; p, count = p[row:], count+1 {
		length += uint64(binary.BigEndian.Uint32(p))
	}
	return count, length, late
}

// measureFragments takes the length of the movie from the end of its last
// fragment, and the rate of a video track from all of its fragments.
func (m *mp4) measureFragments() {
	for _, id := range slices.Sorted(maps.Keys(m.fragments)) {
		t := m.fragments[id]
		m.facts.last(exact(t.end, t.timescale))
		if !t.known || t.track >= len(m.facts.Tracks) || t.samples == 0 || t.samples >= 1<<32 {
			continue
		}
		if track := &m.facts.Tracks[t.track]; track.Kind == "video" && track.Rate.IsZero() {
			track.Rate = rate(t.samples*t.timescale, t.length)
		}
	}
}
