package media

import (
	"encoding/binary"
	"math/bits"
	"time"
)

// maxBlocks is how many blocks of the first cluster are looked at for the first
// time of each track. Writers put the tracks beside each other, so a few do.
const maxBlocks = 64

// firstTimes finds when the tracks begin from the heads of the first blocks: the
// track's number and the time, of which the cluster states the greater part. The
// content of a block is not read.
func (m *matroska) firstTimes(cluster element) {
	m.firsts = map[uint64]uint64{}
	damage := m.damage
	defer func() { m.damage = damage }() // a recording cut off in its first cluster is whole as far as it goes
	base, blocks := uint64(0), 0
	block := func(e element) {
		blocks++
		p := m.bytes(e.from, min(e.to, e.from+11))
		if len(p) == 0 {
			return
		}
		n := bits.LeadingZeros8(p[0]) + 1
		if n > 8 || len(p) < n+2 {
			return
		}
		number := uint64(p[0]) & (1<<(8-n) - 1)
		for _, c := range p[1:n] {
			number = number<<8 | uint64(c)
		}
		at := int64(base) + int64(int16(binary.BigEndian.Uint16(p[n:])))
		if _, seen := m.firsts[number]; !seen && at >= 0 && base < 1<<62 {
			m.firsts[number] = uint64(at)
		}
	}
	for at := cluster.from; blocks < maxBlocks; {
		e, ok := m.elementAt(at, cluster.to)
		if !ok || cluster.open && topLevel(e.id) {
			return
		}
		switch e.id {
		case idTimestamp:
			base = m.uint(e)
		case idSimpleBlock:
			block(e)
		case idBlockGroup:
			m.children(e, func(e element) {
				if e.id == idBlock {
					block(e)
				}
			})
		}
		at = e.to
	}
}

// measureTracks gives the tracks their first times, and the picture its length:
// from there to the end of the file, as the format states no other.
func (m *matroska) measureTracks() {
	for i := range m.facts.Tracks {
		t := &m.facts.Tracks[i]
		if at, ok := m.firsts[m.numbers[i]]; ok {
			t.Starts = scaled(at, m.scale, uint64(time.Second))
		}
		if t.Kind == "video" && m.facts.Duration > t.Starts {
			t.Exact = exact(uint64(m.facts.Duration-t.Starts), uint64(time.Second))
		}
	}
}
