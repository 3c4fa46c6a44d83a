package format

import (
	"html"
	"iter"
	"strings"
	"unicode/utf8"
)

// TokenKind is the kind of a CueToken.
type TokenKind int

// The kinds of token in WebVTT cue text.
const (
	TextToken TokenKind = iota
	StartTag
	EndTag
	TimestampTag
)

// CueToken is one token of WebVTT cue text.
type CueToken struct {
	Kind       TokenKind
	Text       string   // of a TextToken, character references decoded; of a TimestampTag, the time as written
	Name       string   // of a tag: "v", "i", ...; any other name is for the caller to ignore
	Classes    []string // of a StartTag
	Annotation string   // of a StartTag: the speaker of v, the language of lang
}

// CueTokens cuts WebVTT cue text into tokens by the W3C rules. Nothing is
// refused: a "<" always begins a tag, and a tag without ">" reaches to the end.
// Two text tokens never follow each other. Cost is one pass.
// Source: W3C WebVTT, "WebVTT cue text tokenizer".
func CueTokens(cueText string) iter.Seq[CueToken] {
	return func(yield func(CueToken) bool) {
		for rest := cueText; rest != ""; {
			text, tag, tagged := strings.Cut(rest, "<")
			if text != "" && !yield(CueToken{Text: decodeReferences(text)}) {
				return
			}
			if !tagged {
				return
			}
			tag, rest, _ = strings.Cut(tag, ">")
			if !yield(parseTag(tag)) {
				return
			}
		}
	}
}

// parseTag reads what stands between < and >.
func parseTag(tag string) CueToken {
	switch {
	case strings.HasPrefix(tag, "/"):
		return CueToken{Kind: EndTag, Name: tag[1:]}
	case tag != "" && '0' <= tag[0] && tag[0] <= '9':
		return CueToken{Kind: TimestampTag, Text: tag}
	}
	head, annotation := tag, ""
	if i := strings.IndexAny(tag, " \t\n\f"); i >= 0 {
		head, annotation = tag[:i], tag[i+1:]
	}
	parts := strings.Split(head, ".")
	t := CueToken{Kind: StartTag, Name: parts[0]}
	for _, class := range parts[1:] {
		if class != "" {
			t.Classes = append(t.Classes, class)
		}
	}
	t.Annotation = strings.Join(strings.FieldsFunc(decodeReferences(annotation), isASCIISpace), " ")
	return t
}

// PlainText is WebVTT cue text as a viewer reads it: tags dropped, character
// references decoded, line ends kept.
func PlainText(cueText string) string {
	if !strings.ContainsAny(cueText, "<&") {
		return cueText
	}
	var b strings.Builder
	for t := range CueTokens(cueText) {
		if t.Kind == TextToken {
			b.WriteString(t.Text)
		}
	}
	return b.String()
}

// ChapterTitle is WebVTT cue text as the title of a chapter: its plain text
// without the small text beside ruby.
// Source: W3C WebVTT, "rules for extracting the chapter title".
func ChapterTitle(cueText string) string {
	var b strings.Builder
	var open []string // the elements the text stands in
	beside := 0       // how many of them are rt
	top := func() string {
		if len(open) == 0 {
			return ""
		}
		return open[len(open)-1]
	}
	for t := range CueTokens(cueText) {
		switch t.Kind {
		case TextToken:
			if beside == 0 {
				b.WriteString(t.Text)
			}
		case StartTag:
			switch t.Name {
			case "c", "i", "b", "u", "ruby", "v", "lang":
				open = append(open, t.Name)
			case "rt":
				if top() == "ruby" {
					open = append(open, t.Name)
					beside++
				}
			}
		case EndTag:
			switch {
			case t.Name != "" && t.Name == top():
				if t.Name == "rt" {
					beside--
				}
				open = open[:len(open)-1]
			case t.Name == "ruby" && top() == "rt":
				open = open[:len(open)-2]
				beside--
			}
		}
	}
	return b.String()
}

// Voices returns the speakers that WebVTT cue text names in <v Name>, in order,
// each once.
func Voices(cueText string) []string {
	var names []string
	seen := map[string]bool{}
	for t := range CueTokens(cueText) {
		if t.Kind == StartTag && t.Name == "v" && t.Annotation != "" && !seen[t.Annotation] {
			seen[t.Annotation] = true
			names = append(names, t.Annotation)
		}
	}
	return names
}

// decodeReferences decodes HTML character references outside attributes. A bare
// ampersand and an unknown name stay as they are; a name that the standard allows
// without its semicolon is taken from the start of a longer one, as in "&notit;".
// Source: HTML standard, "consume a character reference", as WebVTT cites it.
func decodeReferences(text string) string {
	if strings.IndexByte(text, '&') < 0 {
		return text
	}
	var b strings.Builder
	for {
		before, after, found := strings.Cut(text, "&")
		b.WriteString(before)
		if !found {
			return b.String()
		}
		var decoded string
		decoded, text = consumeReference(after)
		b.WriteString(decoded)
	}
}

// consumeReference decodes the reference whose ampersand stands before text and
// returns what follows it.
func consumeReference(text string) (decoded, rest string) {
	if number, ok := strings.CutPrefix(text, "#"); ok {
		if decoded, rest, ok := consumeNumber(number); ok {
			return decoded, rest
		}
		return "&", text
	}
	n := 0
	for n < len(text) && isAlphanumeric(text[n]) {
		n++
	}
	if n < len(text) && text[n] == ';' {
		n++
	}
	return html.UnescapeString("&" + text[:n]), text[n:]
}

// consumeNumber decodes a numeric reference after its "&#". The standard library
// takes "&#1" for no reference and "&#x;" for one, so it is not asked here.
func consumeNumber(text string) (decoded, rest string, ok bool) {
	base, i := rune(10), 0
	if text != "" && (text[0] == 'x' || text[0] == 'X') {
		base, i = 16, 1
	}
	first, value := i, rune(0)
	for ; i < len(text); i++ {
		d, isDigit := digitValue(text[i], base)
		if !isDigit {
			break
		}
		value = min(value*base+d, utf8.MaxRune+1)
	}
	if i == first {
		return "", "", false
	}
	if i < len(text) && text[i] == ';' {
		i++
	}
	return string(referencedRune(value)), text[i:], true
}

func digitValue(c byte, base rune) (rune, bool) {
	switch {
	case '0' <= c && c <= '9':
		return rune(c - '0'), true
	case base == 16 && 'a' <= c && c <= 'f':
		return rune(c-'a') + 10, true
	case base == 16 && 'A' <= c && c <= 'F':
		return rune(c-'A') + 10, true
	}
	return 0, false
}

func isAlphanumeric(c byte) bool {
	return '0' <= c && c <= '9' || 'a' <= c && c <= 'z' || 'A' <= c && c <= 'Z'
}

// windows1252 holds what the references &#128; to &#159; stand for.
const windows1252 = "€\u0081‚ƒ„…†‡ˆ‰Š‹Œ\u008DŽ\u008F\u0090‘’“”•–—˜™š›œ\u009DžŸ"

// referencedRune is the character a number stands for.
func referencedRune(n rune) rune {
	switch {
	case n == 0 || n > utf8.MaxRune || 0xD800 <= n && n <= 0xDFFF:
		return utf8.RuneError
	case 0x80 <= n && n <= 0x9F:
		return []rune(windows1252)[n-0x80]
	}
	return n
}
