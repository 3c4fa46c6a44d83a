package media

import (
	"time"

	"sideport/timeline"
)

// The ids of the elements of chapters. Source: RFC 9559.
const (
	idEditionEntry       = 0x45B9
	idEditionFlagDefault = 0x45DB
	idChapterAtom        = 0xB6
	idChapterStringUID   = 0x5654
	idChapterTimeStart   = 0x91
	idChapterTimeEnd     = 0x92
	idChapterFlagHidden  = 0x98
	idChapterDisplay     = 0x80
	idChapString         = 0x85
)

// edition is one list of chapters; a file may have several.
type edition struct {
	chosen   bool // marked as the one to use
	chapters []timeline.Chapter
}

// chosen is the chapters of the edition marked as default, else of the first.
func chosen(editions []edition) []timeline.Chapter {
	for _, e := range editions {
		if e.chosen {
			return e.chapters
		}
	}
	if len(editions) > 0 {
		return editions[0].chapters
	}
	return nil
}

func (m *matroska) readChapters(e element) {
	m.children(e, func(entry element) {
		if entry.id != idEditionEntry || !m.room(len(m.editions), "lists of chapters") {
			return
		}
		var ed edition
		m.children(entry, func(e element) {
			switch e.id {
			case idEditionFlagDefault:
				ed.chosen = m.uint(e) == 1
			case idChapterAtom:
				m.readAtom(e, 0, &ed)
			}
		})
		m.editions = append(m.editions, ed)
	})
}

// readAtom adds a chapter and, behind it and one level down, the chapters it
// holds. A hidden one is left out with all it holds.
func (m *matroska) readAtom(atom element, level int, ed *edition) {
	if level > maxDepth {
		m.damaged(atom.from, "chapters lie more than %d deep in each other", maxDepth)
		return
	}
	ch := timeline.Chapter{Level: level}
	hidden, titled := false, false
	var inner []element
	m.children(atom, func(e element) {
		switch e.id {
		case idChapterStringUID:
			ch.ID = m.string(e)
		case idChapterTimeStart:
			ch.From = m.nanoseconds(e)
		case idChapterTimeEnd:
			ch.To, ch.HasTo = m.nanoseconds(e), true
		case idChapterFlagHidden:
			hidden = m.uint(e) != 0
		case idChapterDisplay:
			if titled {
				return // the first language counts
			}
			titled = true
			m.children(e, func(e element) {
				if e.id == idChapString {
					ch.Title = m.string(e)
				}
			})
		case idChapterAtom:
			inner = append(inner, e)
		}
	})
	if hidden || !m.room(m.chapters, "chapters") {
		return
	}
	m.chapters++
	if ch.To < ch.From {
		ch.To, ch.HasTo = 0, false
	}
	ed.chapters = append(ed.chapters, ch)
	for _, e := range inner {
		m.readAtom(e, level+1, ed)
	}
}

func (m *matroska) nanoseconds(e element) time.Duration {
	v := m.uint(e)
	if v > 1<<63-1 {
		m.damaged(e.from, "a chapter's time is later than any video lasts")
		return 0
	}
	return time.Duration(v)
}
