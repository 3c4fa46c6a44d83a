package caption

import (
	"bufio"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"sideport/timeline/timecode"
)

// ttmlHead is the part of the document that is the same for every track. Sizes
// are shares of the picture, so they suit any of its shapes: a letter is 80 % of
// a fifteenth of the height, which lets 42 of them stand on a line of a 16:9
// picture; each region holds three lines and the two lie apart.
const ttmlHead = `    <styling>
      <style xml:id="style-p" tts:fontFamily="proportionalSansSerif" tts:fontSize="80%" tts:lineHeight="125%" tts:textAlign="center" tts:color="white"/>
      <style xml:id="style-rtl" style="style-p" tts:direction="rtl"/>
      <style xml:id="style-text" tts:backgroundColor="#000000cc"/>
    </styling>
    <layout>
      <region xml:id="region-top" tts:origin="5% 5%" tts:extent="90% 25%" tts:displayAlign="before" tts:showBackground="whenActive"/>
      <region xml:id="region-bottom" tts:origin="5% 70%" tts:extent="90% 25%" tts:displayAlign="after" tts:showBackground="whenActive"/>
    </layout>
`

// WriteTTML writes t as a TTML document of the IMSC 1.2 text profile: media time
// base, clock times with milliseconds, two regions that do not overlap, colour
// and line height stated. Nothing is indented inside a paragraph, where a line
// end would be read as a space. Ids become XML names; a speaker is an agent of
// the metadata; a paragraph whose first letter is of a right-to-left script has
// that direction.
//
// Source: W3C TTML2; IMSC 1.2 (2020-08-06), sections Document Encoding, Profile
// Signaling, Region, Text.
func WriteTTML(w io.Writer, t Track) error {
	cues, err := prepare(t, time.Millisecond)
	if err != nil {
		return err
	}
	agents := speakers(cues)
	out := bufio.NewWriter(w)
	fmt.Fprintf(out, `<?xml version="1.0" encoding="UTF-8"?>
<tt xmlns="http://www.w3.org/ns/ttml" xmlns:ttp="http://www.w3.org/ns/ttml#parameter" xmlns:tts="http://www.w3.org/ns/ttml#styling" xmlns:ttm="http://www.w3.org/ns/ttml#metadata" ttp:contentProfiles="http://www.w3.org/ns/ttml/profile/imsc1.2/text" ttp:timeBase="media" xml:lang="%s">
  <head>
`, EscapeXML(CleanLine(t.Language)))
	writeTTMLMetadata(out, t, agents)
	out.WriteString(ttmlHead + "  </head>\n  <body>\n    <div>\n")
	ids := make([]string, len(cues))
	for i, c := range cues {
		ids[i] = xmlName(c.ID)
	}
	ids = unique(ids)
	for i, c := range cues {
		writeTTMLCue(out, c, ids[i], slices.Index(agents, c.Speaker))
	}
	out.WriteString("    </div>\n  </body>\n</tt>\n")
	return out.Flush()
}

func writeTTMLMetadata(out *bufio.Writer, t Track, agents []string) {
	if title := CleanLine(t.Title); title != "" {
		fmt.Fprintf(out, "    <ttm:title>%s</ttm:title>\n", EscapeXML(title))
	}
	for _, note := range t.Notes {
		if note = CleanLine(note); note != "" {
			fmt.Fprintf(out, "    <ttm:desc>%s</ttm:desc>\n", EscapeXML(note))
		}
	}
	for i, name := range agents {
		fmt.Fprintf(out, "    <ttm:agent xml:id=\"agent-%d\" type=\"person\"><ttm:name type=\"full\">%s</ttm:name></ttm:agent>\n",
			i+1, EscapeXML(name))
	}
}

func writeTTMLCue(out *bufio.Writer, c Cue, id string, agent int) {
	out.WriteString("      <p")
	if id != "" {
		fmt.Fprintf(out, ` xml:id="%s"`, id)
	}
	style, region := "style-p", "region-bottom"
	if rightToLeft(c.Text) {
		style = "style-rtl"
	}
	if c.Line == Top {
		region = "region-top"
	}
	fmt.Fprintf(out, ` style="%s" region="%s" begin="%s" end="%s"`, style, region, timecode.FormatMS(c.From), timecode.FormatMS(c.To))
	if agent >= 0 {
		fmt.Fprintf(out, ` ttm:agent="agent-%d"`, agent+1)
	}
	text := strings.ReplaceAll(EscapeXML(c.Text), "\n", "<br/>")
	fmt.Fprintf(out, "><span style=\"style-text\">%s</span></p>\n", text)
}

// speakers lists the names in the order of their first cue.
func speakers(cues []Cue) []string {
	var names []string
	for _, c := range cues {
		if c.Speaker != "" && !slices.Contains(names, c.Speaker) {
			names = append(names, c.Speaker)
		}
	}
	return names
}

// EscapeXML writes the characters that XML gives a meaning as references, for
// text and for attributes in double quotes.
func EscapeXML(text string) string {
	return strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;").Replace(text)
}

// xmlName makes an id into an XML name that no id of the document's own can
// equal; an empty id stays empty.
func xmlName(id string) string {
	if id = CleanLine(id); id == "" {
		return ""
	}
	return "cue-" + strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '-' || r == '.' {
			return r
		}
		return '_'
	}, id)
}
