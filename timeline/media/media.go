package media

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math/bits"
	"strings"
	"time"

	"sideport/timeline"
	"sideport/timeline/timecode"
)

// ErrUnknown is returned for a file that is neither MP4, MOV, Matroska nor WebM.
var ErrUnknown = errors.New("not an MP4, MOV, Matroska or WebM file")

// ErrDamaged is returned, wrapped, for a container whose structure breaks its
// rules or the limits set here. The Facts returned with it hold what was read.
var ErrDamaged = errors.New("the container is damaged")

// Tag is a name and value the file carries, of the whole file or of a part of
// it. Names are those of the container, but for the four-letter codes of MP4,
// which get their usual word.
type Tag struct{ Name, Value string }

// Track is one track of a file. Language is as the file has it, empty when it is
// undetermined.
type Track struct {
	Kind     string // video, audio, text, other
	Codec    string // four-letter code or Matroska codec id
	Language string
	Name     string
	Rate     timecode.Rate // frames a second of a video track; zero if unknown
	Exact    Exact         // how long it is shown, edits of the container applied
	Starts   time.Duration // when its first sample is shown, from the start of the file
}

// Facts is what a container says about itself. Nothing in it was checked against
// the picture or the sound. Tags keep their file order and may repeat a name.
type Facts struct {
	Container string        // mp4 or matroska
	Duration  time.Duration // 0 if unknown
	Exact     Exact         // Duration in the file's own units
	Created   string        // RFC 3339, or ""
	CreatedIn string        // the field Created is from: mvhd, mvhd-1970, creationdate or DateUTC
	Start     Code          // the timecode of the first picture
	Tags      []Tag
	Tracks    []Track
	Chapters  []timeline.Chapter
}

// The limits that keep a hostile file from costing more than a good one.
const (
	maxHeaders = 1 << 22  // boxes or elements looked at in a file
	maxText    = 1 << 20  // bytes of one value
	maxTexts   = 16 << 20 // bytes of all values
	maxDepth   = 16       // of nested tags and chapters
	maxItems   = 10_000   // tags, tracks, chapters, each
)

// Read reads the facts of the container in r, which is size bytes long. Errors
// are ErrUnknown, an ErrDamaged, or those of r. Cost is one small read for each
// header on the way and the bytes of the values kept; samples are not read.
func Read(r io.ReaderAt, size int64) (Facts, error) {
	f := &file{r: r, size: size}
	head := f.bytes(0, min(size, 16))
	if f.err != nil {
		return Facts{}, f.err
	}
	var facts Facts
	switch {
	case bytes.HasPrefix(head, []byte{0x1A, 0x45, 0xDF, 0xA3}):
		m := &matroska{file: f}
		if !m.read() {
			return Facts{}, ErrUnknown
		}
		facts = m.facts
	case startsWithBox(head):
		m := &mp4{file: f}
		m.read()
		facts = m.facts
	default:
		return Facts{}, ErrUnknown
	}
	if f.err != nil {
		return facts, f.err
	}
	return facts, f.damage
}

// file reads parts of a container. The first error of the underlying reader and
// the first damage are kept; once there is an error every read gives nothing, so
// that walks end by themselves.
type file struct {
	r       io.ReaderAt
	size    int64
	headers int
	texts   int
	err     error
	damage  error
}

// bytes returns [from, to) of the file, at most maxText bytes of it, or less
// where the file ends.
func (f *file) bytes(from, to int64) []byte {
	to = min(to, f.size, from+maxText)
	if f.err != nil || from < 0 || from >= to {
		return nil
	}
	buf := make([]byte, to-from)
	n, err := f.r.ReadAt(buf, from)
	if err != nil && !errors.Is(err, io.EOF) {
		f.err = fmt.Errorf("reading the container at byte %d: %w", from, err)
		return nil
	}
	return buf[:n]
}

// text is bytes against the allowance for the whole file.
func (f *file) text(from, to int64) []byte {
	if f.texts += int(min(max(to-from, 0), maxText)); f.texts > maxTexts {
		f.damaged(from, "it carries more than %d bytes of text", maxTexts)
		return nil
	}
	return f.bytes(from, to)
}

// another counts a header and reports whether one more may be read.
func (f *file) another(at int64) bool {
	if f.headers++; f.headers > maxHeaders {
		f.damaged(at, "it has more than %d parts", maxHeaders)
		return false
	}
	return f.err == nil
}

// room reports whether a list of n items may take one more.
func (f *file) room(n int, what string) bool {
	if n >= maxItems {
		f.damaged(f.size, "it has more than %d %s", maxItems, what)
	}
	return n < maxItems
}

// damaged keeps the first damage.
func (f *file) damaged(at int64, format string, args ...any) {
	if f.damage == nil {
		f.damage = fmt.Errorf("%w at byte %d: %s", ErrDamaged, at, fmt.Sprintf(format, args...))
	}
}

// clean is text as it may be printed: valid UTF-8, cut at the first NUL, without
// space at the ends.
func clean(s string) string {
	s, _, _ = strings.Cut(s, "\x00")
	return strings.TrimSpace(strings.ToValidUTF8(s, "\uFFFD"))
}

// tag adds a tag to facts unless it is empty.
func (f *file) tag(facts *Facts, name, value string) {
	if value = clean(value); value != "" && f.room(len(facts.Tags), "tags") {
		facts.Tags = append(facts.Tags, Tag{Name: clean(name), Value: value})
	}
}

// scaled is count units of num/den seconds as a duration, rounded half up, or 0
// when it does not fit.
func scaled(count, num, den uint64) time.Duration {
	high, unit := bits.Mul64(num, uint64(time.Second))
	if den == 0 || high != 0 {
		return 0
	}
	hi, lo := bits.Mul64(count, unit)
	lo, carry := bits.Add64(lo, den/2, 0)
	if hi += carry; hi >= den {
		return 0
	}
	q, _ := bits.Div64(hi, lo, den)
	if q > 1<<63-1 {
		return 0
	}
	return time.Duration(q)
}

// rate is num/den frames a second in lowest terms, or zero when either is.
func rate(num, den uint64) timecode.Rate {
	a, b := num, den
	for b != 0 {
		a, b = b, a%b
	}
	if num == 0 || den == 0 || num/a > 1<<62 || den/a > 1<<62 {
		return timecode.Rate{}
	}
	return timecode.Rate{Num: int64(num / a), Den: int64(den / a)}
}
