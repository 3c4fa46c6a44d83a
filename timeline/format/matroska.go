package format

import (
	"fmt"
	"strings"

	"sideport/timeline"
	"sideport/timeline/source"
)

const matroskaSource = "matroskachapters.dtd of mkvtoolnix and its manual; IETF CELLAR Matroska, Chapters (RFC 9559)"

func matroskaReader() Reader {
	return Reader{
		Name:       "matroska",
		Doc:        "chapters XML of mkvmerge, nested and timed to the nanosecond",
		Extensions: []string{".xml"},
		Roles:      []Role{Chapters},
		Sniff:      hasChaptersElement,
		Signed:     true,
		Chapters:   readMatroska,
	}
}

// hasChaptersElement reports whether the outermost element of an XML text is named
// Chapters. Cost is a look at what stands in front of it.
func hasChaptersElement(src *source.Source) bool {
	rest := strings.TrimLeft(string(src.Text()[:min(len(src.Text()), sniffXML)]), asciiSpace)
	for strings.HasPrefix(rest, "<?") || strings.HasPrefix(rest, "<!") {
		end := ">"
		if strings.HasPrefix(rest, "<!--") {
			end = "-->"
		} else if subset := strings.IndexAny(rest, "[>"); subset > 0 && rest[subset] == '[' {
			rest, end = rest[subset:], "]"
		}
		i := strings.Index(rest, end)
		if i < 0 {
			return false
		}
		rest = strings.TrimLeft(rest[i+len(end):], asciiSpace+">")
	}
	name, ok := strings.CutPrefix(rest, "<Chapters")
	return ok && name != "" && strings.IndexByte(asciiSpace+"/>", name[0]) >= 0
}

// sniffXML is how far into a text its outermost element is looked for.
const sniffXML = 1 << 16

// readMatroska reads one edition: the first marked as default that is not hidden,
// else the first not hidden, else the first. A hidden chapter is left out with all
// it holds, one that is switched off is read; both are noted, as players show
// neither. The title is that of the first display. The id is ChapterStringUID,
// which is made for the ids of WebVTT cues; the number ChapterUID is not taken for
// one, since it names a chapter to programs only and is drawn at random by most.
// References to other files are reported and not followed; commands are not read.
func readMatroska(src *source.Source, report source.Report) []timeline.Chapter {
	if !hasChaptersElement(src) {
		report(source.Finding{
			Pos: src.Pos(0), Severity: source.Error, Rule: "read/no-signature", Source: matroskaSource,
			Message: "the outermost element of the file is not Chapters; nothing of the file is read",
		})
		return nil
	}
	noteForeignExtension("matroska", src, report)
	faults := 0
	report = counted(report, &faults)
	m := matroska{src: src, report: report}
	root := readXML(src, report)
	if root == nil {
		return nil
	}
	var editions []*xmlElement
	for _, e := range root.children {
		if e.name == "EditionEntry" {
			editions = append(editions, e)
		}
	}
	if len(editions) > 0 {
		m.atoms(m.choose(editions), 0)
	}
	if len(m.chapters) == 0 && faults == 0 {
		report(source.Finding{
			Pos: src.Whole(), Severity: source.Error, Rule: "read/no-chapters", Source: matroskaSource,
			Message: "the list of chapters holds no ChapterAtom that is shown, so the file holds no chapter",
		})
	}
	reportNesting(m.chapters, matroskaSource, report)
	return m.chapters
}

// matroska gathers the chapters of one file.
type matroska struct {
	src      *source.Source
	report   source.Report
	chapters []timeline.Chapter
}

func (m *matroska) note(at int, rule, format string, args ...any) {
	m.report(source.Finding{
		Pos: m.src.Pos(at), Severity: source.Note, Rule: rule, Source: matroskaSource, Message: fmt.Sprintf(format, args...),
	})
}

// choose returns the edition to read and says which it is where that can be asked.
func (m *matroska) choose(editions []*xmlElement) *xmlElement {
	chosen, why := -1, ""
	for i, e := range editions {
		switch {
		case on(e, "EditionFlagHidden", false):
		case on(e, "EditionFlagDefault", false):
			if why != "default" {
				chosen, why = i, "default"
			}
		case chosen < 0:
			chosen, why = i, "first that is not hidden"
		}
	}
	if chosen < 0 {
		chosen = 0
		m.note(editions[0].at, "read/edition", "every list of chapters in the file is hidden; the first is read all the same")
	}
	e := editions[chosen]
	if n := len(editions); n > 1 && why != "" {
		m.note(e.at, "read/edition", "the file has %d lists of chapters; list %d is read, the %s", n, chosen+1, why)
	}
	if on(e, "EditionFlagOrdered", false) {
		m.note(e.at, "read/edition", "the list of chapters is ordered: players that know this show its chapters one after the other, so that its times are not those seen while it plays")
	}
	return e
}

// on reports a flag, or what it is where it is not written.
func on(e *xmlElement, name string, absent bool) bool {
	switch e.value(name) {
	case "":
		return absent
	case "0":
		return false
	}
	return true
}

// atoms adds the chapters of an edition or a chapter, each ahead of those in it.
func (m *matroska) atoms(in *xmlElement, level int) {
	for _, e := range in.children {
		if e.name != "ChapterAtom" {
			continue
		}
		if on(e, "ChapterFlagHidden", false) {
			within := ""
			if e.first("ChapterAtom") != nil {
				within = " with those in it"
			}
			m.note(e.at, "read/hidden-chapter", "the chapter is hidden and is left out%s", within)
			continue
		}
		inner := level
		if m.atom(e, level) {
			inner++
		}
		m.atoms(e, inner)
	}
}

// atom adds one chapter, or reports false when its start cannot be read. Then those
// in it stand in its place.
func (m *matroska) atom(e *xmlElement, level int) bool {
	start := e.first("ChapterTimeStart")
	if start == nil {
		reportBadTime(m.src.Pos(e.at), "the chapter has no ChapterTimeStart", m.report)
		return false
	}
	from, f := chapterClock(string(start.text), ".")
	if f != nil {
		reportBadTime(m.place(start), "ChapterTimeStart "+f.what, m.report)
		return false
	}
	ch := timeline.Chapter{ID: e.value("ChapterStringUID"), From: from, Level: level, Pos: m.place(start), TitleP: m.place(start)}
	if end := e.first("ChapterTimeEnd"); end != nil {
		to, f := chapterClock(string(end.text), ".")
		switch {
		case f != nil:
			m.report(source.Finding{
				Pos: m.place(end), Severity: source.Error, Rule: "read/chapter-end", Source: matroskaSource,
				Message: "the chapter is read without an end: ChapterTimeEnd " + f.what,
			})
		case to < from:
			reportEndBeforeStart(m.place(end), to, from, m.report)
		default:
			ch.To, ch.HasTo = to, true
		}
	}
	m.title(&ch, e)
	if !on(e, "ChapterFlagEnabled", true) {
		m.note(e.at, "read/hidden-chapter", "the chapter is switched off (ChapterFlagEnabled 0); it is read, where players pass over it")
	}
	if other := e.first("ChapterSegmentUID"); other != nil {
		m.report(source.Finding{
			Pos: m.place(other), Severity: source.Caution, Rule: "read/other-file", Source: matroskaSource,
			Message: "the chapter lies in another file (ChapterSegmentUID); its times are read as if they were of this video",
		})
	}
	m.chapters = append(m.chapters, ch)
	return true
}

// title takes the first display and says so where there are more.
func (m *matroska) title(ch *timeline.Chapter, e *xmlElement) {
	var first *xmlElement
	more := 0
	for _, display := range e.children {
		if display.name != "ChapterDisplay" {
			continue
		}
		if first == nil {
			first = display
		} else {
			more++
		}
	}
	if first != nil {
		if s := first.first("ChapterString"); s != nil {
			ch.Title, ch.TitleP = strings.Join(strings.Fields(string(s.text)), " "), m.place(s)
		}
	}
	noteUntitled(*ch, m.report)
	if more > 0 {
		m.note(first.at, "read/more-titles", "the chapter has %d titles; the first is read, whose language is %s", more+1, displayLanguage(first))
	}
}

// displayLanguage is the language of a display as the file has it.
func displayLanguage(e *xmlElement) string {
	for _, name := range []string{"ChapLanguageIETF", "ChapterLanguage"} {
		if v := e.value(name); v != "" {
			return quoted([]byte(v))
		}
	}
	return `"eng" where none is written`
}

// place is that of an element's text.
func (m *matroska) place(e *xmlElement) source.Pos { return m.src.Pos(e.textAt) }
