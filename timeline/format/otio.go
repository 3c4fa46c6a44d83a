package format

import (
	"bytes"
	"fmt"
	"math/big"
	"strings"

	"sideport/timeline"
	"sideport/timeline/source"
	"sideport/timeline/timecode"
)

const otioSource = "OpenTimelineIO, draft file format specification and schema reference (github AcademySoftwareFoundation/OpenTimelineIO bc5fe2d)"

// sniffBytes is how much of a text is looked through for its mark.
const sniffBytes = 64 << 10

func otioReader() Reader {
	return Reader{
		Name:       "otio",
		Doc:        "OpenTimelineIO JSON: a timeline, stack, track or collection; the first video track that is switched on counts",
		Extensions: []string{".otio"},
		Roles:      []Role{Cuts},
		Sniff:      looksLikeOTIO,
		Signed:     true,
		Edit:       readOTIO,
	}
}

func looksLikeOTIO(src *source.Source) bool {
	text := bytes.TrimLeft(src.Text(), " \t\r\n")
	return len(text) > 0 && text[0] == '{' && bytes.Contains(text[:min(len(text), sniffBytes)], []byte(`"OTIO_SCHEMA"`))
}

// stretch is a part of a track that has been laid flat. A gap shows nothing.
type stretch struct {
	at         int
	length     *big.Rat // in seconds of the track
	gap        bool
	shows      timeline.Shows
	source     *big.Rat // where it begins on the clock of its medium
	speed      *big.Rat
	fileStart  *big.Rat // of the medium; nil when not said
	reel, clip string
}

// otioReading is the state of one reading.
type otioReading struct {
	src             *source.Source
	report          source.Report
	unknown, tracks skipped
	said            bool // something could not be read, and that was said
	sourceless      bool // a track or stack as a whole stands still or runs backwards
}

// readOTIO reads a timeline. Every time carries its own rate there, so none is asked
// for. The video begins with the first item of the track; global_start_time moves
// nothing. In a transition the incoming item has the whole of the overlap, as it has
// in the edit list that the same edit gives. A source that tells where its own clock
// starts has that as FileStart.
func readOTIO(src *source.Source, _ timecode.Rate, report source.Report) timeline.Edit {
	if len(bytes.TrimSpace(src.Text())) == 0 {
		return timeline.Edit{}
	}
	root := jsonTree(src, report)
	if root == nil {
		return timeline.Edit{}
	}
	noteForeignExtension("otio", src, report)
	r := &otioReading{src: src, report: report}
	list, ok := r.top(root)
	if !r.said && (!ok || len(list) == 0) {
		report(source.Finding{
			Pos: src.Pos(root.at), Severity: source.Error, Rule: "read/no-events", Source: otioSource,
			Message: "the text holds no timeline, stack or track with a picture",
		})
	}
	r.unknown.say(report, "read/unknown-schema",
		"an object is of a schema that is not read here and is passed over", "%d objects are of schemas that are not read here and are passed over")
	r.tracks.say(report, "read/edit-tracks",
		"beside the first picture track another is passed over", "beside the first picture track %d others are passed over")
	edit := finishEdit(r.events(list), report)
	edit.Partial = r.said || r.sourceless || len(r.unknown) > 0
	return edit
}

// schema is the name of an object's schema without its version.
func schema(n *node) string {
	name, _, _ := strings.Cut(n.key("OTIO_SCHEMA").words(), ".")
	return name
}

// top lays flat what stands at the top of the text, or the first of a collection that
// can be.
func (r *otioReading) top(n *node) ([]stretch, bool) {
	for depth := 0; depth < maxOTIODepth; depth++ {
		switch schema(n) {
		case "Timeline":
			n = n.key("tracks")
		case "SerializableCollection":
			var found []*node
			for _, c := range n.key("children").items() {
				switch schema(c) {
				case "Timeline", "SerializableCollection", "Stack", "Track", "Clip":
					found = append(found, c)
				default:
					r.unknown.add(r.src.Pos(c.at))
				}
			}
			if len(found) == 0 {
				return nil, false
			}
			for _, c := range found[1:] {
				r.tracks.add(r.src.Pos(c.at))
			}
			n = found[0]
		case "Stack", "Track", "Clip":
			list, _ := r.item(n, depth)
			return list, true
		default:
			return nil, false
		}
	}
	return nil, false
}

// events lays the stretches behind each other from the first frame of the video.
func (r *otioReading) events(list []stretch) []timeline.EditEvent {
	var out []timeline.EditEvent
	at := new(big.Rat)
	limit := new(big.Rat).SetInt64(maxOTIOSeconds)
	for _, s := range list {
		from := at
		if at = bounded(plus(at, s.length)); at.Cmp(limit) > 0 {
			r.fault(s.at, "the edit is longer than thirty years here; what follows is not read")
			break
		}
		if s.gap || s.length.Sign() == 0 {
			continue
		}
		ev := timeline.EditEvent{
			Reel: s.reel, Clip: s.clip, Pos: r.src.Pos(s.at), Shows: s.shows, Speed: ratio(s.speed),
			Record: timeline.Span{From: duration(from), To: duration(at)},
		}
		end := plus(s.source, by(s.length, new(big.Rat).Abs(s.speed)))
		if end.Cmp(limit) > 0 || s.source.Cmp(new(big.Rat).Neg(limit)) < 0 {
			r.fault(s.at, "the source of the clip is longer than thirty years; it is left out")
			continue
		}
		ev.Source = timeline.Span{From: duration(s.source), To: duration(end)}
		if s.fileStart != nil {
			ev.FileStart = duration(s.fileStart)
		}
		out = append(out, ev)
	}
	return out
}

func (r *otioReading) fault(at int, message string, args ...any) {
	r.said = true
	r.report(source.Finding{
		Pos: r.src.Pos(at), Severity: source.Error, Rule: "read/bad-time", Source: otioSource, Message: fmt.Sprintf(message, args...),
	})
}

// bounded keeps sums over many rates from growing without end: beyond 512 bits a time
// is rounded down to a million millionth of a second.
func bounded(t *big.Rat) *big.Rat {
	const fine = 1_000_000_000_000
	if t.Denom().BitLen() <= 512 {
		return t
	}
	n := by(t, big.NewRat(fine, 1))
	return new(big.Rat).SetFrac(new(big.Int).Quo(n.Num(), n.Denom()), big.NewInt(fine))
}
