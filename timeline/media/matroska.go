package media

import (
	"math"
	"math/big"
	"strings"
	"time"

	"sideport/timeline/timecode"
)

// The ids of the elements read here. Source: RFC 8794 (EBML head), RFC 9559.
const (
	idDocType         = 0x4282
	idSegment         = 0x18538067
	idSeekHead        = 0x114D9B74
	idInfo            = 0x1549A966
	idTimestampScale  = 0x2AD7B1
	idDuration        = 0x4489
	idDateUTC         = 0x4461
	idTitle           = 0x7BA9
	idMuxingApp       = 0x4D80
	idWritingApp      = 0x5741
	idSegmentFilename = 0x7384
	idPrevFilename    = 0x3C83AB
	idNextFilename    = 0x3E83BB
	idTracks          = 0x1654AE6B
	idTrackEntry      = 0xAE
	idTrackNumber     = 0xD7
	idTrackType       = 0x83
	idCodecID         = 0x86
	idLanguage        = 0x22B59C
	idLanguageBCP47   = 0x22B59D
	idName            = 0x536E
	idDefaultDuration = 0x23E383
	idTags            = 0x1254C367
	idTag             = 0x7373
	idSimpleTag       = 0x67C8
	idTagName         = 0x45A3
	idTagString       = 0x4487
	idTagBinary       = 0x4485
	idChapters        = 0x1043A770
	idAttachments     = 0x1941A469
	idAttachedFile    = 0x61A7
	idFileName        = 0x466E
	idFileDescription = 0x467E
	idCluster         = 0x1F43B675
	idTimestamp       = 0xE7
	idSimpleBlock     = 0xA3
	idBlockGroup      = 0xA0
	idBlock           = 0xA1
	idCues            = 0x1C53BB6B
)

// epoch2001 is 2001-01-01T00:00:00Z in Unix seconds, the zero of DateUTC.
const epoch2001 = 978_307_200

type matroska struct {
	*file
	facts    Facts
	info     bool
	editions []edition
	chapters int               // in all editions together
	scale    uint64            // nanoseconds in a unit of the segment's clock
	numbers  []uint64          // the number blocks know a track by, as facts.Tracks
	firsts   map[uint64]uint64 // the first time of each track, in units, by number
	looked   bool              // the first cluster was walked
}

// read reads the file and reports whether it is Matroska or WebM at all.
func (m *matroska) read() bool {
	m.facts.Container = "matroska"
	head, ok := m.elementAt(0, m.size)
	if !ok {
		return false
	}
	kind := ""
	m.children(head, func(e element) {
		if e.id == idDocType {
			kind = m.string(e)
		}
	})
	if kind != "matroska" && kind != "webm" {
		return false
	}
	m.children(element{from: head.to, to: m.size}, func(e element) {
		if e.id == idSegment {
			m.readSegment(e)
		}
	})
	if !m.info {
		m.damaged(m.size, "the file has no segment information")
	}
	m.facts.Chapters = chosen(m.editions)
	m.measureTracks()
	for _, t := range m.facts.Tags {
		if name := t.Name[strings.LastIndexByte(t.Name, '/')+1:]; strings.EqualFold(name, "TIMECODE") && m.facts.Start.Text == "" {
			m.facts.Start = writtenCode(t.Value, m.facts.Rate())
		}
	}
	return true
}

// topLevel reports whether an element with this id lies in the segment itself
// and so ends a cluster whose size is not stated.
func topLevel(id uint32) bool {
	switch id {
	case idSeekHead, idInfo, idTracks, idTags, idChapters, idAttachments, idCluster, idCues, idSegment:
		return true
	}
	return false
}

// readSegment walks the segment and steps over its clusters. A cluster without a
// size is walked by the headers of its blocks up to the next element that cannot
// lie in it.
func (m *matroska) readSegment(segment element) {
	for at := segment.from; ; {
		e, ok := m.elementAt(at, segment.to)
		if !ok {
			return
		}
		at = e.to
		switch e.id {
		case idInfo:
			m.info = true
			m.readInfo(e)
		case idTracks:
			m.children(e, m.readTrack)
		case idTags:
			m.children(e, func(tag element) {
				if tag.id == idTag {
					m.readTags(tag, "", 0)
				}
			})
		case idChapters:
			m.readChapters(e)
		case idAttachments:
			m.children(e, m.readAttachment)
		case idCluster:
			if !m.looked {
				m.looked = true
				m.firstTimes(e)
			}
			if e.open {
				at = m.endOfCluster(e)
			}
		}
	}
}

func (m *matroska) endOfCluster(cluster element) int64 {
	at := cluster.from
	for {
		e, ok := m.elementAt(at, cluster.to)
		if !ok {
			return cluster.to
		}
		if topLevel(e.id) {
			return at
		}
		at = e.to
	}
}

func (m *matroska) readInfo(info element) {
	scale, length := uint64(time.Millisecond), 0.0
	m.children(info, func(e element) {
		switch e.id {
		case idTimestampScale:
			scale = m.uint(e)
		case idDuration:
			length = m.float(e)
		case idDateUTC:
			at := time.Unix(epoch2001, 0).UTC().Add(time.Duration(int64(m.uint(e))))
			m.facts.Created, m.facts.CreatedIn = at.Format(time.RFC3339Nano), "DateUTC"
		case idTitle:
			m.tag(&m.facts, "title", m.string(e))
		case idMuxingApp:
			m.tag(&m.facts, "muxing_app", m.string(e))
		case idWritingApp:
			m.tag(&m.facts, "writing_app", m.string(e))
		case idSegmentFilename, idPrevFilename, idNextFilename:
			m.tag(&m.facts, "filename", m.string(e))
		}
	})
	m.scale = scale
	m.facts.last(exact(uint64(units(length, scale)), uint64(time.Second)))
}

// units is a number of units of scale nanoseconds, rounded half up, or 0 when it
// is no length of time. The format keeps the number as a float; from here on it
// is exact.
func units(n float64, scale uint64) time.Duration {
	if !(n > 0) || math.IsInf(n, 0) {
		return 0
	}
	ns := new(big.Rat).SetFloat64(n)
	ns.Mul(ns, new(big.Rat).SetInt(new(big.Int).SetUint64(scale)))
	ns.Add(ns, big.NewRat(1, 2))
	whole := new(big.Int).Quo(ns.Num(), ns.Denom())
	if !whole.IsInt64() {
		return 0
	}
	return time.Duration(whole.Int64())
}

func (m *matroska) readTrack(entry element) {
	if entry.id != idTrackEntry {
		return
	}
	t := Track{Kind: "other", Language: "eng"} // the default of RFC 9559
	bcp47 := ""
	var each, number uint64
	m.children(entry, func(e element) {
		switch e.id {
		case idTrackNumber:
			number = m.uint(e)
		case idTrackType:
			switch m.uint(e) {
			case 1:
				t.Kind = "video"
			case 2:
				t.Kind = "audio"
			case 17:
				t.Kind = "text"
			}
		case idCodecID:
			t.Codec = m.string(e)
		case idLanguage:
			t.Language = m.string(e)
		case idLanguageBCP47:
			bcp47 = m.string(e)
		case idName:
			t.Name = m.string(e)
		case idDefaultDuration:
			each = m.uint(e)
		}
	})
	if bcp47 != "" {
		t.Language = bcp47
	}
	if t.Language == "und" {
		t.Language = ""
	}
	if t.Kind == "video" {
		t.Rate = frameRate(each)
	}
	if m.room(len(m.facts.Tracks), "tracks") {
		m.facts.Tracks = append(m.facts.Tracks, t)
		m.numbers = append(m.numbers, number)
	}
}

// frameRate is the rate whose frames last each nanoseconds. The file has the
// length rounded to a nanosecond; where that is the rounded length of a rate
// timecode is defined for, that rate is meant.
func frameRate(each uint64) timecode.Rate {
	if each == 0 {
		return timecode.Rate{}
	}
	for _, r := range timecode.Rates() {
		if d := int64(each) - int64(r.Duration(1)); d >= -1 && d <= 1 {
			return r
		}
	}
	return rate(uint64(time.Second), each)
}

// readTags reads the simple tags in e; a tag inside a tag has both names.
func (m *matroska) readTags(e element, outer string, depth int) {
	if depth > maxDepth {
		m.damaged(e.from, "tags lie more than %d deep in each other", maxDepth)
		return
	}
	m.children(e, func(tag element) {
		if tag.id != idSimpleTag {
			return
		}
		name, value := "", ""
		m.children(tag, func(e element) {
			switch e.id {
			case idTagName:
				name = outer + m.string(e)
			case idTagString:
				value = m.string(e)
			case idTagBinary:
				value = itemValue("", 0, nil, e.to-e.from)
			}
		})
		m.tag(&m.facts, name, value)
		m.readTags(tag, name+"/", depth+1)
	})
}

// readAttachment keeps the name and description of an attached file.
func (m *matroska) readAttachment(e element) {
	if e.id != idAttachedFile {
		return
	}
	m.children(e, func(e element) {
		if e.id == idFileName || e.id == idFileDescription {
			m.tag(&m.facts, "attachment", m.string(e))
		}
	})
}
