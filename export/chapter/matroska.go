package chapter

import (
	"bufio"
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"io"
	"time"

	"golang.org/x/text/language"

	"sideport/export/caption"
)

// WriteMatroska writes l as the chapters XML that mkvmerge reads, elements in the
// order of its DTD. Numbers that name an edition or a chapter are made of what it
// says, so that the same list has the same numbers; they are positive, unique in
// the file and below 2^63, above which some programs show them negative.
//
// Source: matroskachapters.dtd of mkvtoolnix; IETF CELLAR Matroska, Chapters.
func WriteMatroska(w io.Writer, l List) error {
	roots, err := arrange(l)
	if err != nil {
		return err
	}
	m := matroska{out: bufio.NewWriter(w), used: map[uint64]bool{}}
	m.iso, m.ietf = languageCodes(l.Language)
	m.out.WriteString("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<Chapters>\n")
	// The format has no edition without chapters.
	if len(roots) > 0 {
		fmt.Fprintf(m.out, "  <EditionEntry>\n    <EditionUID>%d</EditionUID>\n    <EditionFlagHidden>0</EditionFlagHidden>\n    <EditionFlagDefault>1</EditionFlagDefault>\n",
			m.uid(fmt.Sprintf("edition %q %d", l.Title, l.Total)))
		m.atoms(roots, "    ")
		m.out.WriteString("  </EditionEntry>\n")
	}
	m.out.WriteString("</Chapters>\n")
	return m.out.Flush()
}

type matroska struct {
	out       *bufio.Writer
	used      map[uint64]bool
	iso, ietf string
}

func (m *matroska) atoms(nodes []*node, indent string) {
	for _, n := range nodes {
		id := m.uid(fmt.Sprintf("chapter %q %d %q %d %d", n.ID, n.nth, n.Title, n.From, n.To))
		for _, line := range []string{
			"<ChapterAtom>",
			"  <ChapterTimeStart>" + nanoseconds(n.From) + "</ChapterTimeStart>",
			"  <ChapterTimeEnd>" + nanoseconds(n.To) + "</ChapterTimeEnd>",
			fmt.Sprintf("  <ChapterUID>%d</ChapterUID>", id),
			"  <ChapterFlagHidden>0</ChapterFlagHidden>",
			"  <ChapterFlagEnabled>1</ChapterFlagEnabled>",
			"  <ChapterDisplay>",
			"    <ChapterString>" + caption.EscapeXML(n.Title) + "</ChapterString>",
			"    <ChapterLanguage>" + m.iso + "</ChapterLanguage>",
			"    <ChapLanguageIETF>" + m.ietf + "</ChapLanguageIETF>",
			"  </ChapterDisplay>",
		} {
			m.out.WriteString(indent + line + "\n")
		}
		m.atoms(n.children, indent+"  ")
		m.out.WriteString(indent + "</ChapterAtom>\n")
	}
}

// uid makes the number of what is said by text.
func (m *matroska) uid(text string) uint64 {
	sum := sha256.Sum256([]byte(text))
	id := binary.BigEndian.Uint64(sum[:8]) >> 1
	for id == 0 || m.used[id] {
		id = (id + 1) & (1<<63 - 1)
	}
	m.used[id] = true
	return id
}

// nanoseconds prints hh:mm:ss.nnnnnnnnn.
func nanoseconds(d time.Duration) string {
	return fmt.Sprintf("%02d:%02d:%02d.%09d", d/time.Hour, d/time.Minute%60, d/time.Second%60, d%time.Second)
}

// languageCodes returns the ISO 639-2 code in its bibliographic form, which the
// older element wants, and the IETF tag; und when the language is unknown or its
// older code is.
func languageCodes(tag string) (iso, ietf string) {
	parsed, err := language.Parse(tag)
	if err != nil || tag == "" {
		return "und", "und"
	}
	base, _ := parsed.Base()
	// Where the terminological code, which the library has, is another one.
	bibliographic := map[string]string{
		"deu": "ger", "fra": "fre", "nld": "dut", "zho": "chi", "fas": "per", "ces": "cze", "ell": "gre",
		"ron": "rum", "slk": "slo", "sqi": "alb", "hye": "arm", "eus": "baq", "mya": "bur", "kat": "geo",
		"isl": "ice", "mkd": "mac", "mri": "mao", "msa": "may", "bod": "tib", "cym": "wel",
	}
	iso = base.ISO3()
	if b, ok := bibliographic[iso]; ok {
		iso = b
	}
	if len(base.String()) != 2 {
		// A language with no two-letter code may have no 639-2 code either.
		iso = "und"
	}
	return iso, parsed.String()
}
