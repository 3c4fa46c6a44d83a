package media

import (
	"encoding/binary"
	"strings"
)

// mp4Track is what is read of a track before the movie's header need be known.
type mp4Track struct {
	id        uint32
	timescale uint64
	length    uint64 // of its media, in its own units
	first     int64  // when its first sample is shown, in its own units of media
	edits     []edit
	code      codeEntry
}

// readTrack reads a trak box into a Track and its own tags.
func (m *mp4) readTrack(trak box) {
	t, p := Track{Kind: "other"}, mp4Track{}
	m.walk(trak.from, trak.to, false, func(b box) {
		switch b.kind {
		case "tkhd":
			p.id = m.readTrackID(b)
		case "edts":
			m.readEdits(b, &p)
		case "mdia":
			if m.readMedia(b, &t, &p); p.id != 0 {
				m.fragmented(p.id).of(len(m.facts.Tracks), p.timescale)
			}
		case "udta":
			m.readUserData(b)
		case "meta":
			m.readMeta(b)
		}
	})
	if t.Kind != "video" {
		t.Rate.Num, t.Rate.Den = 0, 0
	}
	if m.room(len(m.facts.Tracks), "tracks") {
		m.facts.Tracks = append(m.facts.Tracks, t)
		m.tracks = append(m.tracks, p)
	}
}

// readMedia reads mdia.
func (m *mp4) readMedia(mdia box, t *Track, p *mp4Track) {
	m.walk(mdia.from, mdia.to, false, func(b box) {
		switch b.kind {
		case "mdhd":
			if h, ok := m.readHeader(b); ok {
				p.timescale, p.length = h.timescale, h.duration
				if len(h.rest) >= 2 && t.Language == "" {
					t.Language = language(binary.BigEndian.Uint16(h.rest))
				}
			}
		case "elng":
			if p := m.text(b.from, b.to); len(p) > 4 {
				t.Language = clean(string(p[4:]))
			}
		case "hdlr":
			m.readHandler(b, t)
		case "minf":
			m.walk(b.from, b.to, false, func(b box) {
				if b.kind == "stbl" {
					m.readSampleTable(b, t, p)
				}
			})
		}
	})
}

// readHandler reads what kind of track it is and its name: in MP4 a text that a
// NUL ends, in MOV one with its length ahead of it.
func (m *mp4) readHandler(b box, t *Track) {
	p := m.text(b.from, b.to)
	if len(p) < 12 {
		m.damaged(b.from, "the box \"hdlr\" is shorter than its fields")
		return
	}
	switch string(p[8:12]) {
	case "vide":
		t.Kind = "video"
	case "soun":
		t.Kind = "audio"
	case "text", "sbtl", "subt", "clcp", "subp":
		t.Kind = "text"
	}
	if len(p) > 24 {
		name := p[24:]
		if n := int(name[0]); string(p[4:8]) == "mhlr" && n == len(name)-1 || n == len(name)-1 && n < ' ' {
			name = name[1:]
		}
		t.Name = clean(string(name))
	}
}

func (m *mp4) readSampleTable(stbl box, t *Track, p *mp4Track) {
	m.walk(stbl.from, stbl.to, false, func(b box) {
		switch b.kind {
		case "stsd":
			if head := m.bytes(b.from, min(b.to, b.from+16)); len(head) == 16 {
				t.Codec = strings.TrimSpace(boxName(string(head[12:16])))
			}
			if t.Codec == "tmcd" {
				m.readCodeEntry(b, p)
			}
		case "stts":
			num, den := m.sampleTimes(b)
			if p.timescale > 0 && num < 1<<32 {
				t.Rate = rate(num*p.timescale, den)
			}
		case "ctts":
			// the offset of the first sample is enough; version 1 may be below zero
			if head := m.bytes(b.from, min(b.to, b.from+16)); len(head) == 16 && binary.BigEndian.Uint32(head[4:]) > 0 {
				p.first = int64(binary.BigEndian.Uint32(head[12:]))
				if head[0] == 1 {
					p.first = int64(int32(binary.BigEndian.Uint32(head[12:])))
				}
			}
		case "stco":
			if head := m.bytes(b.from, min(b.to, b.from+12)); len(head) == 12 && binary.BigEndian.Uint32(head[4:]) > 0 {
				p.code.at = int64(binary.BigEndian.Uint32(head[8:]))
			}
		case "co64":
			if head := m.bytes(b.from, min(b.to, b.from+16)); len(head) == 16 && binary.BigEndian.Uint32(head[4:]) > 0 {
				p.code.at = int64(binary.BigEndian.Uint64(head[8:])) // one past the end is read as nothing
			}
		}
	})
}

// sampleTimes reads an stts box as a number of samples and their length in units
// of the track, as one sample when all but the last have the same length.
func (m *mp4) sampleTimes(b box) (samples, length uint64) {
	var first uint64
	even, entries := true, 0
	for at, left := b.from+8, uint64(0); at < b.to && m.err == nil; at += 1 << 16 {
		if at == b.from+8 {
			head := m.bytes(b.from, at)
			if len(head) < 8 {
				return 0, 0
			}
			left = uint64(binary.BigEndian.Uint32(head[4:]))
		}
		chunk := m.bytes(at, min(b.to, at+1<<16))
		for ; len(chunk) >= 8 && left > 0; chunk, left = chunk[8:], left-1 {
			count, each := uint64(binary.BigEndian.Uint32(chunk)), uint64(binary.BigEndian.Uint32(chunk[4:]))
			if entries++; entries == 1 {
				first = each
			}
			last := left == 1 && count == 1 && entries > 1
			even = even && (each == first || last)
			samples += count
			length += count * each
		}
		if left == 0 || !m.another(at) {
			break
		}
	}
	if even && first > 0 {
		return 1, first
	}
	return samples, length
}
