package format

import (
	"bytes"
	"fmt"
	"math/big"
	"slices"
	"strings"
	"time"

	"sideport/timeline"
	"sideport/timeline/source"
)

const ffmetadataSource = "FFmpeg documentation, Metadata (doc/metadata.texi); libavformat/ffmetadec.c"

const ffmetadataSignature = ";FFMETADATA1"

func ffmetadataReader() Reader {
	return Reader{
		Name:       "ffmetadata",
		Doc:        "metadata text of ffmpeg with [CHAPTER] sections, timed in fractions of a second",
		Extensions: []string{".ffmeta", ".ffmetadata"},
		Roles:      []Role{Chapters},
		Sniff:      hasFFMetadataSignature,
		Signed:     true,
		Chapters:   readFFMetadata,
		Members:    ffmetadataTitle,
	}
}

// ffmetadataTitle is the title of the file as a member. Its other tags are those of
// one video and mean nothing in another format.
func ffmetadataTitle(src *source.Source) []timeline.Member {
	if !hasFFMetadataSignature(src) {
		return nil
	}
	for s := newFFScanner(src); s.next() && s.section == ""; {
		if s.isPair && strings.EqualFold(s.key, "title") {
			return []timeline.Member{{Name: "title", JSON: jsonString(s.value), Pos: src.Pos(s.valueAt)}}
		}
	}
	return nil
}

func hasFFMetadataSignature(src *source.Source) bool {
	return bytes.HasPrefix(src.Text(), []byte(ffmetadataSignature))
}

// Tag is a name and value a file carries beside its times.
type Tag struct {
	Name, Value string
	Pos         source.Pos // of the value
}

// FFMetadataTags returns the tags of the file and of its streams and chapters,
// in file order: every key but those that carry a chapter's times. Any of them may
// name somebody, where the chapters read from the file hold their titles only.
func FFMetadataTags(src *source.Source) []Tag {
	var tags []Tag
	section := ""
	for s := newFFScanner(src); s.next(); {
		switch {
		case s.section != "":
			section = s.section
		case section == "CHAPTER" && isChapterTime(s.key):
		case s.isPair:
			tags = append(tags, Tag{Name: s.key, Value: s.value, Pos: src.Pos(s.valueAt)})
		}
	}
	return tags
}

func isChapterTime(key string) bool {
	return strings.EqualFold(key, "TIMEBASE") || strings.EqualFold(key, "START") || strings.EqualFold(key, "END")
}

// ffChapter is a [CHAPTER] section while it is read; the offsets are -1 until
// the key was seen.
type ffChapter struct {
	at                                 int
	timebase, start, end, title        string
	timebaseAt, startAt, endAt, textAt int

	keys []string // the first ones, as written
}

func readFFMetadata(src *source.Source, report source.Report) []timeline.Chapter {
	if !hasFFMetadataSignature(src) {
		report(source.Finding{
			Pos: src.Pos(0), Severity: source.Error, Rule: "read/no-signature", Source: ffmetadataSource,
			Message: "the file does not begin with " + ffmetadataSignature + "; nothing of the file is read",
		})
		return nil
	}
	noteForeignExtension("ffmetadata", src, report)
	var chapters []timeline.Chapter
	var open *ffChapter
	var unread skipped
	section := ""
	finish := func() {
		if open != nil {
			if ch, ok := open.chapter(src, report); ok {
				chapters = append(chapters, ch)
			}
		}
		open = nil
	}
	for s := newFFScanner(src); s.next(); {
		switch {
		case s.section != "":
			finish()
			section = s.section
			if s.section == "CHAPTER" {
				open = &ffChapter{at: s.at, timebaseAt: -1, startAt: -1, endAt: -1, textAt: -1}
			}
		case !s.isPair:
			report(source.Finding{
				Pos: src.Pos(s.at), Severity: source.Caution, Rule: "read/bad-line", Source: ffmetadataSource,
				Message: "the line is neither a section nor a key, an equals sign and a value; it is passed over",
			})
		default:
			if open != nil {
				open.set(s)
			}
			if isUnread(section, s.key) {
				unread.add(src.Pos(s.at))
			}
		}
	}
	finish()
	unread.say(report, "read/unread-key", "a key of the file is not carried along; nothing that is written from the chapters holds it",
		"%d keys of the file, its streams and chapters are not carried along; nothing that is written from the chapters holds them")
	reportNesting(chapters, ffmetadataSource, report)
	return chapters
}

// isUnread reports whether a key of a section, "" for the file itself, is passed over
// and lost. The encoder is the program that wrote the file, which another writes anew.
func isUnread(section, key string) bool {
	switch {
	case strings.EqualFold(key, "title"):
		return section != "" && section != "CHAPTER"
	case section == "CHAPTER":
		return !isChapterTime(key)
	}
	return !strings.EqualFold(key, "encoder")
}

func (c *ffChapter) set(s *ffScanner) {
	if len(c.keys) < len(ffTimeKeys) {
		c.keys = append(c.keys, s.key)
	}
	switch strings.ToUpper(s.key) {
	case "TIMEBASE":
		c.timebase, c.timebaseAt = s.value, s.valueAt
	case "START":
		c.start, c.startAt = s.value, s.valueAt
	case "END":
		c.end, c.endAt = s.value, s.valueAt
	case "TITLE":
		c.title, c.textAt = s.value, s.valueAt
	}
}

// chapter turns a section into a chapter, or false when its start cannot be
// read. A section without TIMEBASE counts nanoseconds.
func (c *ffChapter) chapter(src *source.Source, report source.Report) (timeline.Chapter, bool) {
	base := big.NewRat(1, int64(time.Second))
	if c.timebaseAt >= 0 {
		var ok bool
		if base, ok = parseTimebase(c.timebase); !ok {
			reportBadTime(src.Pos(c.timebaseAt), fmt.Sprintf("TIMEBASE %s is not a fraction of a second above 0 such as 1/1000", quoted([]byte(c.timebase))), report)
			return timeline.Chapter{}, false
		}
	}
	if c.startAt < 0 {
		reportBadTime(src.Pos(c.at), "the section has no START", report)
		return timeline.Chapter{}, false
	}
	ch := timeline.Chapter{Title: strings.Join(strings.Fields(c.title), " "), Pos: src.Pos(c.startAt), TitleP: src.Pos(c.startAt)}
	var what string
	if ch.From, what = scaleTime(c.start, base); what != "" {
		reportBadTime(ch.Pos, "START "+what, report)
		return timeline.Chapter{}, false
	}
	if c.textAt >= 0 {
		ch.TitleP = src.Pos(c.textAt)
	}
	if ch.Title == "" {
		report(source.Finding{Pos: ch.TitleP, Severity: source.Note, Rule: "read/no-title", Message: "the chapter has no title"})
	}
	c.readEnd(&ch, base, src, report)
	c.noteOrder(src, report)
	return ch, true
}

// ffTimeKeys are the keys that ffmpeg looks for at the beginning of a chapter, in
// this order and case; the first can be left out.
var ffTimeKeys = []string{"TIMEBASE", "START", "END"}

// noteOrder notes keys that ffmpeg does not find because they stand elsewhere.
func (c *ffChapter) noteOrder(src *source.Source, report source.Report) {
	want := ffTimeKeys
	if c.timebaseAt < 0 {
		want = want[1:]
	}
	if c.endAt < 0 {
		want = want[:len(want)-1]
	}
	if slices.Equal(c.keys[:len(want)], want) {
		return
	}
	report(source.Finding{
		Pos: src.Pos(c.at), Severity: source.Note, Rule: "read/key-order", Source: ffmetadataSource,
		Message: "the chapter does not begin with " + strings.Join(want, ", ") + " in this order; its keys are read all the same, where ffmpeg reads other times",
	})
}

func (c *ffChapter) readEnd(ch *timeline.Chapter, base *big.Rat, src *source.Source, report source.Report) {
	if c.endAt < 0 {
		report(source.Finding{
			Pos: src.Pos(c.at), Severity: source.Note, Rule: "read/chapter-end", Source: ffmetadataSource,
			Message: "the chapter has no END; it is read without one, where ffmpeg takes the line at its place for it",
		})
		return
	}
	to, what := scaleTime(c.end, base)
	switch {
	case what != "":
		report(source.Finding{
			Pos: src.Pos(c.endAt), Severity: source.Error, Rule: "read/chapter-end",
			Message: "the chapter is read without an end: END " + what,
		})
	case to < ch.From:
		reportEndBeforeStart(src.Pos(c.endAt), to, ch.From, func(f source.Finding) {
			f.Source, f.Hint = ffmetadataSource, "ffmpeg refuses the whole of a file with such a chapter"
			report(f)
		})
	default:
		ch.To, ch.HasTo = to, true
	}
}

// parseTimebase reads "n/d", both above 0 and at most 32 bits as in ffmpeg.
func parseTimebase(s string) (*big.Rat, bool) {
	num, den, ok := strings.Cut(strings.TrimSpace(s), "/")
	n, okN := parseInteger(num)
	d, okD := parseInteger(den)
	if !ok || !okN || !okD || !n.IsInt64() || !d.IsInt64() || n.Sign() <= 0 || d.Sign() <= 0 || n.BitLen() > 31 || d.BitLen() > 31 {
		return nil, false
	}
	return big.NewRat(n.Int64(), d.Int64()), true
}

// parseInteger reads up to 19 decimal digits with an optional sign.
func parseInteger(s string) (*big.Int, bool) {
	s = strings.TrimSpace(s)
	body := strings.TrimLeft(s, "+-")
	if body == "" || len(body) > 19 || len(s)-len(body) > 1 || strings.Trim(body, "0123456789") != "" {
		return nil, false
	}
	return new(big.Int).SetString(s, 10)
}

// scaleTime is a count of base seconds as a duration rounded half up to the
// nanosecond; what says why there is none.
func scaleTime(count string, base *big.Rat) (d time.Duration, what string) {
	n, ok := parseInteger(count)
	switch {
	case !ok:
		return 0, quoted([]byte(count)) + " is not a whole number"
	case n.Sign() < 0:
		return 0, quoted([]byte(count)) + " is below 0"
	}
	ns := new(big.Rat).Mul(new(big.Rat).SetInt(n), base)
	ns.Mul(ns, big.NewRat(int64(time.Second), 1))
	ns.Add(ns, big.NewRat(1, 2))
	whole := new(big.Int).Quo(ns.Num(), ns.Denom())
	if hours := whole.Int64() / int64(time.Hour); !whole.IsInt64() || hours > maxHours {
		return 0, fmt.Sprintf("%s is later than %d hours, the most that is held here", quoted([]byte(count)), maxHours)
	}
	return time.Duration(whole.Int64()), ""
}
