package media

import (
	"encoding/binary"
	"slices"
	"time"

	"sideport/timeline"
)

// epoch1904 is 1970-01-01 in seconds since 1904-01-01, both UTC.
// Source: ISO/IEC 14496-12, mvhd creation_time.
const epoch1904 = 2_082_844_800

// year10000 is the first second since 1904 that RFC 3339 cannot write.
const year10000 = 253_402_300_800 + epoch1904

// box is a box of an MP4 file: its kind and the bytes of its content.
type box struct {
	kind     string
	from, to int64
}

type mp4 struct {
	*file
	facts     Facts
	timescale uint64 // of the movie
	moov      bool
	dated     bool                   // Created came from a tag with an offset
	fragments map[uint32]*fragmented // by id of the track
	tracks    []mp4Track             // as facts.Tracks
	edits     int                    // entries of all edit lists
}

// startsWithBox reports whether the first bytes are the header of a box that
// MP4 and MOV files start with.
func startsWithBox(head []byte) bool {
	if len(head) < 8 {
		return false
	}
	size := binary.BigEndian.Uint32(head)
	starts := []string{"ftyp", "moov", "mdat", "free", "wide", "skip", "pnot", "styp"}
	return (size < 2 || size >= 8) && slices.Contains(starts, string(head[4:8]))
}

// walk visits the boxes in [from, to). A box that claims to end behind to is cut
// there and reported as damage; one smaller than its own header ends the walk.
func (m *mp4) walk(from, to int64, top bool, visit func(box)) {
	for from+8 <= to && m.another(from) {
		head := m.bytes(from, min(from+16, to))
		if len(head) < 8 {
			return
		}
		size, start := int64(binary.BigEndian.Uint32(head)), int64(8)
		switch {
		case size == 0 && top:
			size = to - from
		case size == 0:
			return // the end mark of a QuickTime list
		case size == 1 && len(head) == 16:
			size, start = int64(binary.BigEndian.Uint64(head[8:])), 16
		}
		if size < start {
			m.damaged(from, "a box has the size %d, less than its own header", size)
			return
		}
		b := box{kind: string(head[4:8]), from: from + start, to: to}
		if size <= to-from {
			b.to = from + size
		} else {
			m.damaged(from, "the box %q of %d bytes ends behind what holds it", boxName(b.kind), size)
		}
		visit(b)
		from = b.to
	}
}

func (m *mp4) read() {
	m.facts.Container = "mp4"
	m.fragments = map[uint32]*fragmented{}
	m.walk(0, m.size, true, func(b box) {
		switch b.kind {
		case "moov":
			m.moov = true
			m.readMovie(b)
		case "moof":
			m.readFragment(b)
		case "meta":
			m.readMeta(b)
		case "udta":
			m.readUserData(b)
		case "uuid":
			m.readUUID(b)
		}
	})
	m.measureFragments()
	m.measureTracks()
	if !m.moov {
		m.damaged(m.size, "the file ends without the moov box that describes it")
	}
	for i := range m.facts.Chapters { // a chpl box states starts only
		if i+1 < len(m.facts.Chapters) {
			m.facts.Chapters[i].To, m.facts.Chapters[i].HasTo = m.facts.Chapters[i+1].From, true
		}
	}
}

func (m *mp4) readMovie(moov box) {
	m.walk(moov.from, moov.to, false, func(b box) {
		switch b.kind {
		case "mvhd":
			m.readMovieHeader(b)
		case "trak":
			m.readTrack(b)
		case "udta":
			m.readUserData(b)
		case "meta":
			m.readMeta(b)
		case "uuid":
			m.readUUID(b)
		case "mvex":
			m.readExtends(b)
		}
	})
}

// header is the part that mvhd and mdhd share.
type header struct {
	created, timescale, duration uint64
	rest                         []byte // behind the duration
}

// readHeader reads an mvhd or mdhd box of version 0 or 1. A duration of all ones
// is unknown and comes back as 0.
func (m *mp4) readHeader(b box) (header, bool) {
	p := m.bytes(b.from, min(b.to, b.from+40))
	var h header
	switch {
	case len(p) >= 32 && p[0] == 1:
		h = header{binary.BigEndian.Uint64(p[4:]), uint64(binary.BigEndian.Uint32(p[20:])), binary.BigEndian.Uint64(p[24:]), p[32:]}
		if h.duration == 1<<64-1 {
			h.duration = 0
		}
	case len(p) >= 20 && p[0] == 0:
		h = header{uint64(binary.BigEndian.Uint32(p[4:])), uint64(binary.BigEndian.Uint32(p[12:])), uint64(binary.BigEndian.Uint32(p[16:])), p[20:]}
		if h.duration == 1<<32-1 {
			h.duration = 0
		}
	default:
		m.damaged(b.from, "the box %q is shorter than its fields or of an unknown version", boxName(b.kind))
		return h, false
	}
	return h, true
}

func (m *mp4) readMovieHeader(b box) {
	h, ok := m.readHeader(b)
	if !ok {
		return
	}
	m.timescale = h.timescale
	m.facts.last(exact(h.duration, h.timescale))
	if h.created == 0 || h.created >= year10000 || m.dated {
		return
	}
	// No recording was made before 1970: a smaller number was counted from 1970 by
	// its writer. FFmpeg, libavformat/mov.c, reads it so too.
	since1970, from := int64(h.created), "mvhd-1970"
	if h.created >= epoch1904 {
		since1970, from = since1970-epoch1904, "mvhd"
	}
	m.facts.Created, m.facts.CreatedIn = time.Unix(since1970, 0).UTC().Format(time.RFC3339), from
}

// readChapterList reads a chpl box: starts in units of 100 ns and titles of up to
// 255 bytes. Source: libavformat/mov.c and movenc.c; no open standard has it.
func (m *mp4) readChapterList(b box) {
	p := m.text(b.from, b.to)
	if len(p) < 5 {
		return
	}
	i := 4
	if p[0] != 0 {
		i += 4
	}
	if i >= len(p) {
		return
	}
	n := int(p[i])
	i++
	for range n {
		if i+9 > len(p) {
			m.damaged(b.from+int64(i), "the list of chapters ends in the middle of one")
			return
		}
		at, size := binary.BigEndian.Uint64(p[i:]), int(p[i+8])
		i += 9
		title := p[i:min(i+size, len(p))]
		i += len(title)
		if !m.room(len(m.facts.Chapters), "chapters") {
			return
		}
		if at > 1<<62/100 {
			m.damaged(b.from, "a chapter starts later than any video lasts")
			return
		}
		m.facts.Chapters = append(m.facts.Chapters, timeline.Chapter{From: time.Duration(at) * 100, Title: clean(string(title))})
	}
}
