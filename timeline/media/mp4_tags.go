package media

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"
	"unicode/utf16"
)

// tagWords are the words for the four-letter codes of tags. The code's first
// letter © is the byte 0xA9. Source: libavformat/mov.c; QuickTime File Format,
// user data; 3GPP TS 26.244, asset information.
var tagWords = map[string]string{
	"\xa9nam": "title", "\xa9ART": "artist", "aART": "album_artist", "\xa9alb": "album",
	"\xa9aut": "author", "\xa9cmt": "comment", "\xa9inf": "comment", "\xa9des": "description",
	"desc": "description", "ldes": "synopsis", "\xa9day": "date", "\xa9too": "encoder",
	"\xa9swr": "encoder", "\xa9enc": "encoder", "\xa9cpy": "copyright", "cprt": "copyright",
	"\xa9gen": "genre", "\xa9wrt": "composer", "\xa9grp": "grouping", "\xa9lyr": "lyrics",
	"\xa9xyz": "location", "\xa9mak": "make", "\xa9mod": "model", "\xa9key": "keywords",
	"\xa9dir": "director", "\xa9prd": "producer", "\xa9prf": "performers", "\xa9hst": "host_computer",
	"\xa9src": "original_source", "\xa9fmt": "original_format", "\xa9url": "url", "\xa9trk": "track",
	"covr": "cover", "trkn": "track", "disk": "disc", "keyw": "keywords", "purl": "url",
	"titl": "title", "auth": "author", "perf": "performers", "dscp": "description", "albm": "album",
	"gnre": "genre", "name": "name", "loci": "location", "XMP_": "xmp",
}

// boxName is the kind of a box as text: its word, or its four letters.
func boxName(kind string) string {
	var b strings.Builder
	for _, c := range []byte(kind) {
		switch {
		case c == 0xA9:
			b.WriteString("©")
		case c < ' ' || c > '~':
			fmt.Fprintf(&b, "\\x%02x", c)
		default:
			b.WriteByte(c)
		}
	}
	return b.String()
}

func tagName(kind string) string {
	if word, ok := tagWords[kind]; ok {
		return word
	}
	return boxName(kind)
}

// readUserData reads a udta box: QuickTime texts, 3GPP asset information, a list
// of chapters and a meta box.
func (m *mp4) readUserData(udta box) {
	m.walk(udta.from, udta.to, false, func(b box) {
		switch {
		case b.kind == "meta":
			m.readMeta(b)
		case b.kind == "chpl":
			m.readChapterList(b)
		case b.kind == "uuid":
			m.readUUID(b)
		case b.kind == "XMP_" || b.kind == "name":
			m.tag(&m.facts, tagName(b.kind), string(m.text(b.from, b.to)))
		case b.kind[0] == 0xA9:
			m.readQuickTimeTexts(b)
		case b.kind == "loci":
			m.readLocation(b)
		case b.kind == "titl", b.kind == "auth", b.kind == "perf", b.kind == "dscp", b.kind == "albm", b.kind == "cprt", b.kind == "gnre":
			if p := m.text(b.from, b.to); len(p) > 6 {
				m.tag(&m.facts, tagName(b.kind), markedText(p[6:]))
			}
		}
	})
}

// readQuickTimeTexts reads the texts of a © box, each behind its length and its
// language of two bytes.
func (m *mp4) readQuickTimeTexts(b box) {
	p := m.text(b.from, b.to)
	for len(p) > 4 {
		n := min(int(binary.BigEndian.Uint16(p)), len(p)-4)
		m.tag(&m.facts, tagName(b.kind), string(p[4:4+n]))
		p = p[4+n:]
	}
}

// readLocation reads the place of 3GPP TS 26.244: a name, then longitude,
// latitude and altitude as 16.16 fixed point, which are kept as their digits.
func (m *mp4) readLocation(b box) {
	p := m.text(b.from, b.to)
	if len(p) < 6 {
		return
	}
	name, rest, _ := bytes.Cut(p[6:], []byte{0})
	place := clean(string(name))
	if len(rest) >= 9 {
		fixed := func(p []byte) float64 { return float64(int32(binary.BigEndian.Uint32(p))) / 65536 }
		place = strings.TrimSpace(fmt.Sprintf("%s %+.4f%+.4f", place, fixed(rest[5:]), fixed(rest[1:])))
	}
	m.tag(&m.facts, "location", place)
}

// xmpUUID marks a uuid box with an XMP packet. Source: XMP specification part 3.
const xmpUUID = "\xbe\x7a\xcf\xcb\x97\xa9\x42\xe8\x9c\x71\x99\x94\x91\xe3\xaf\xac"

func (m *mp4) readUUID(b box) {
	if string(m.bytes(b.from, min(b.to, b.from+16))) == xmpUUID {
		m.tag(&m.facts, "xmp", string(m.text(b.from+16, b.to)))
	}
}

// readMeta reads a meta box: its list of keys, when it has one, and its items.
// MP4 puts a version ahead of the boxes inside, MOV does not.
func (m *mp4) readMeta(meta box) {
	from := meta.from
	if p := m.bytes(from, min(from+8, meta.to)); len(p) < 8 || string(p[4:8]) != "hdlr" {
		from += 4
	}
	var keys []string
	var lists []box
	m.walk(from, meta.to, false, func(b box) {
		switch b.kind {
		case "keys":
			keys = m.readKeys(b)
		case "ilst":
			lists = append(lists, b)
		}
	})
	for _, list := range lists {
		m.walk(list.from, list.to, false, func(item box) { m.readItem(item, keys) })
	}
}

func (m *mp4) readKeys(b box) []string {
	p := m.text(b.from, b.to)
	var keys []string
	for i := 8; i+8 <= len(p); {
		n := int(binary.BigEndian.Uint32(p[i:]))
		if n < 8 || n > len(p)-i {
			m.damaged(b.from+int64(i), "a key has the size %d", n)
			break
		}
		keys = append(keys, clean(string(p[i+8:i+n])))
		i += n
	}
	return keys
}

// readItem reads one tag: its name from the list of keys, from the boxes mean and
// name, or from its own kind, and its values.
func (m *mp4) readItem(item box, keys []string) {
	name := tagName(item.kind)
	if n := binary.BigEndian.Uint32([]byte(item.kind)); n >= 1 && uint64(n) <= uint64(len(keys)) {
		name = keys[n-1]
	}
	m.walk(item.from, item.to, false, func(b box) {
		switch b.kind {
		case "name":
			if p := m.text(b.from, b.to); len(p) > 4 {
				name = clean(string(p[4:]))
			}
		case "data":
			p := m.text(b.from, b.to)
			if len(p) < 8 {
				return
			}
			value := itemValue(item.kind, binary.BigEndian.Uint32(p), p[8:], b.to-b.from-8)
			m.tag(&m.facts, name, value)
			if strings.HasSuffix(strings.ToLower(name), ".creationdate") {
				m.created(value)
			}
		}
	})
}

// created takes a time with an offset, "2026-11-25T13:45:30+0530", ahead of the
// movie header's, which has none. The offset often lacks its colon, which RFC 3339
// asks for.
func (m *mp4) created(value string) {
	for _, layout := range []string{time.RFC3339, "2006-01-02T15:04:05-0700"} {
		if t, err := time.Parse(layout, value); err == nil {
			m.facts.Created, m.facts.CreatedIn, m.dated = t.Format(time.RFC3339), "creationdate", true
			return
		}
	}
}

// itemValue prints the value of a data box by its well-known type. What is no
// text or number is named by its size, so that a cover picture does not go
// unseen.
func itemValue(kind string, class uint32, p []byte, size int64) string {
	switch class & 0xFFFFFF {
	case 1, 4:
		return string(p)
	case 2, 5:
		return utf16Text(p, binary.BigEndian)
	case 13, 14, 27:
		return fmt.Sprintf("picture of %d bytes", size)
	case 21, 22, 65, 66, 67, 74, 75, 76, 77, 78:
		return integerText(p, class)
	case 23:
		if len(p) == 4 {
			return strconv.FormatFloat(float64(math.Float32frombits(binary.BigEndian.Uint32(p))), 'g', -1, 32)
		}
	case 24:
		if len(p) == 8 {
			return strconv.FormatFloat(math.Float64frombits(binary.BigEndian.Uint64(p)), 'g', -1, 64)
		}
	case 0:
		if (kind == "trkn" || kind == "disk") && len(p) >= 6 {
			return fmt.Sprintf("%d/%d", binary.BigEndian.Uint16(p[2:]), binary.BigEndian.Uint16(p[4:]))
		}
	}
	return fmt.Sprintf("data of %d bytes", size)
}

func integerText(p []byte, class uint32) string {
	if len(p) == 0 || len(p) > 8 {
		return ""
	}
	var wide [8]byte
	signed := class == 21 || class >= 65 && class <= 74
	if signed && p[0]&0x80 != 0 {
		binary.BigEndian.PutUint64(wide[:], 1<<64-1)
	}
	copy(wide[8-len(p):], p)
	v := binary.BigEndian.Uint64(wide[:])
	if signed {
		return strconv.FormatInt(int64(v), 10)
	}
	return strconv.FormatUint(v, 10)
}

// markedText is UTF-8, or UTF-16 behind a byte order mark.
func markedText(p []byte) string {
	switch {
	case bytes.HasPrefix(p, []byte{0xFE, 0xFF}):
		return utf16Text(p[2:], binary.BigEndian)
	case bytes.HasPrefix(p, []byte{0xFF, 0xFE}):
		return utf16Text(p[2:], binary.LittleEndian)
	}
	return string(p)
}

func utf16Text(p []byte, order binary.ByteOrder) string {
	units := make([]uint16, 0, len(p)/2)
	for ; len(p) >= 2; p = p[2:] {
		units = append(units, order.Uint16(p))
	}
	return string(utf16.Decode(units))
}
