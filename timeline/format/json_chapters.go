package format

import (
	"fmt"
	"strings"
	"time"

	"sideport/timeline"
	"sideport/timeline/source"
)

const jsonSource = "podcast-namespace, JSON chapters format 1.2.0 (2021-04-15)"

func jsonReader() Reader {
	return Reader{
		Name:       "json",
		Doc:        "JSON chapters 1.2.0 of the podcast namespace, timed in decimal seconds",
		Extensions: []string{".json"},
		Roles:      []Role{Chapters},
		Sniff:      looksLikeJSONChapters,
		Signed:     true,
		Chapters:   readJSONChapters,
		Members:    jsonFileMembers,
	}
}

// looksLikeJSONChapters reports whether the text is an object whose members up to a
// list of chapters can be read.
func looksLikeJSONChapters(src *source.Source) bool {
	s, ok := newJSONScanner(src.Text(), 0, '{')
	for ok {
		m, more := s.name()
		if !more {
			return false
		}
		if m.name == "chapters" {
			_, err := s.d.Token()
			return err == nil
		}
		_, _, ok = s.value()
	}
	return false
}

// jsonFileMembers returns the members of the file but version and chapters.
func jsonFileMembers(src *source.Source) []timeline.Member {
	var out []timeline.Member
	seen := map[string]bool{"version": true, "chapters": true}
	s, ok := newJSONScanner(src.Text(), 0, '{')
	for ok {
		var m jsonMember
		if m, ok = s.member(); ok && !seen[m.name] {
			seen[m.name] = true
			out = append(out, timeline.Member{Name: m.name, JSON: string(m.raw), Pos: src.Pos(m.valueAt)})
		}
	}
	return out
}

// readJSONChapters reads startTime, endTime and title of each entry and carries
// every other member along. Seconds are taken from the decimals as they are
// written. A marker with toc false, which players do not list, is kept and noted.
func readJSONChapters(src *source.Source, report source.Report) []timeline.Chapter {
	if len(src.Text()) == 0 {
		return nil
	}
	faults := 0
	report = counted(report, &faults)
	r := jsonChapters{src: src, report: report}
	s, ok := newJSONScanner(src.Text(), 0, '{')
	if !ok {
		if s.fault != nil {
			s.reportFault(src, report)
			return nil
		}
		r.say(0, source.Error, "read/no-signature", "the outermost value of the file is not an object; nothing of the file is read")
		return nil
	}
	noteForeignExtension("json", src, report)
	seen := map[string]bool{}
	for {
		m, ok := s.name()
		if !ok {
			break
		}
		r.fileMember(s, m, seen[m.name])
		seen[m.name] = true
	}
	s.close(true)
	s.reportFault(src, report)
	if s.fault == nil {
		r.missing(seen)
	}
	if len(r.chapters) == 0 && faults == 0 {
		report(source.Finding{
			Pos: src.Whole(), Severity: source.Error, Rule: "read/no-chapters", Source: jsonSource,
			Message: "the list of chapters is empty",
		})
	}
	reportNesting(r.chapters, jsonSource, report)
	return r.chapters
}

// jsonChapters gathers the chapters of one file.
type jsonChapters struct {
	src      *source.Source
	report   source.Report
	chapters []timeline.Chapter
}

func (r *jsonChapters) say(at int, severity source.Severity, rule, format string, args ...any) {
	r.report(source.Finding{Pos: r.src.Pos(at), Severity: severity, Rule: rule, Source: jsonSource, Message: fmt.Sprintf(format, args...)})
}

func (r *jsonChapters) missing(seen map[string]bool) {
	if !seen["version"] {
		r.say(0, source.Caution, "read/missing-key", "the file states no version; it is read as version 1.2.0")
	}
	if !seen["chapters"] {
		r.say(0, source.Error, "read/missing-key", "the file has no member chapters, so it holds no chapter")
	}
}

// fileMember reads the value of a member of the file. The chapters are read entry by
// entry, so that a fault in one costs none ahead of it.
func (r *jsonChapters) fileMember(s *jsonScanner, m jsonMember, again bool) {
	if m.name == "chapters" && !again {
		r.list(s)
		return
	}
	raw, at, ok := s.value()
	switch {
	case !ok:
	case again:
		reportTwice(r.src.Pos(at), r.report)
	case m.name == "version":
		if v, text := jsonText(raw); !text || v != "1" && !strings.HasPrefix(v, "1.") {
			r.say(at, source.Caution, "read/version", "the version is %s; the file is read as version 1.2.0", quoted(raw))
		}
	}
}

// list reads the value of chapters from the file's own scanner.
func (r *jsonChapters) list(s *jsonScanner) {
	at := nextJSON(r.src.Text(), s.at())
	token, err := s.d.Token()
	if err != nil {
		s.fault = err
		return
	}
	if token != jsonList {
		r.say(at, source.Error, "read/wrong-type", "chapters is no list, so the file holds no chapter")
		s.skip(token)
		return
	}
	for {
		raw, at, ok := s.value()
		if !ok {
			break
		}
		if raw[0] != '{' {
			r.say(at, source.Error, "read/wrong-type", "the entry is %s, not an object; it is left out", jsonKind(raw))
			continue
		}
		r.entry(raw, at)
	}
	s.close(false)
}

// entry reads one chapter.
func (r *jsonChapters) entry(raw []byte, base int) {
	ch, started := timeline.Chapter{}, false
	var end *jsonMember
	seen := map[string]bool{}
	s, _ := newJSONScanner(raw, base, '{') // an object that was read once
	for {
		m, ok := s.member()
		if !ok {
			break
		}
		if seen[m.name] {
			reportTwice(r.src.Pos(m.valueAt), r.report)
			continue
		}
		seen[m.name] = true
		switch m.name {
		case "startTime":
			if ch.From, started = r.start(m); !started {
				return
			}
			ch.Pos = r.src.Pos(m.valueAt)
		case "endTime":
			end = &m
		case "title":
			r.title(&ch, m)
		default:
			r.carry(&ch, m)
		}
	}
	if !started {
		reportBadTime(r.src.Pos(base), "the entry has no startTime", r.report)
		return
	}
	if !ch.TitleP.IsValid() {
		ch.TitleP = ch.Pos
	}
	if end != nil {
		r.end(&ch, *end)
	}
	noteUntitled(ch, r.report)
	r.chapters = append(r.chapters, ch)
}

func (r *jsonChapters) title(ch *timeline.Chapter, m jsonMember) {
	text, ok := jsonText(m.raw)
	if !ok {
		r.say(m.valueAt, source.Caution, "read/wrong-type", "the title is %s, not a text; the chapter is read without one", jsonKind(m.raw))
		ch.TitleP = r.src.Pos(m.valueAt)
		return
	}
	ch.Title, ch.TitleP = strings.Join(strings.Fields(text), " "), r.src.Pos(m.valueAt+1)
}

// carry keeps a member that is not read here.
func (r *jsonChapters) carry(ch *timeline.Chapter, m jsonMember) {
	if m.name == "toc" {
		switch string(m.raw) {
		case "false":
			r.say(m.valueAt, source.Note, "read/hidden-chapter", "the chapter is a silent marker (toc false); it is read, where players do not list it")
		case "true":
		default:
			r.say(m.valueAt, source.Caution, "read/wrong-type", "toc is %s, where true or false is known; it is kept as it is", jsonKind(m.raw))
		}
	}
	ch.Members = append(ch.Members, timeline.Member{Name: m.name, JSON: string(m.raw), Pos: r.src.Pos(m.valueAt)})
}

func (r *jsonChapters) start(m jsonMember) (d time.Duration, ok bool) {
	d, what := jsonSeconds(m.raw)
	if what != "" {
		reportBadTime(r.src.Pos(m.valueAt), "startTime "+what, r.report)
	}
	return d, what == ""
}

func (r *jsonChapters) end(ch *timeline.Chapter, m jsonMember) {
	to, what := jsonSeconds(m.raw)
	switch {
	case what != "":
		r.say(m.valueAt, source.Error, "read/chapter-end", "the chapter is read without an end: endTime %s", what)
	case to < ch.From:
		reportEndBeforeStart(r.src.Pos(m.valueAt), to, ch.From, r.report)
	default:
		ch.To, ch.HasTo = to, true
	}
}

// jsonSeconds reads a number literal; what says why there is none.
func jsonSeconds(raw []byte) (d time.Duration, what string) {
	if kind := jsonKind(raw); kind != "a number" {
		return 0, "is " + kind + ", where 1.2.0 has a number of seconds"
	}
	return exactSeconds(string(raw))
}
