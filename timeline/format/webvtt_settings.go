package format

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"

	"sideport/timeline/source"
)

// CueSettings is where and how a WebVTT cue is drawn. The zero value is not the
// default; ParseSettings("") is.
type CueSettings struct {
	Vertical      string   // "" for horizontal, "rl" or "lr"
	Line          *float64 // nil for auto; a line number, or percent when SnapToLines is false
	SnapToLines   bool
	LineAlign     string   // start, center, end
	Position      *float64 // percent of the width; nil for auto
	PositionAlign string   // auto, line-left, center, line-right
	Size          float64  // percent
	Align         string   // start, center, end, left, right
	Region        string   // identifier, or "" for none
}

// ParseSettings reads cue settings by the W3C rules: tokens parted by white
// space, each name:value; unknown and bad tokens are skipped, a later token wins.
// Any region counts as defined.
// Source: W3C WebVTT, "WebVTT cue timings and settings parsing".
func ParseSettings(text string) CueSettings {
	s := defaultSettings()
	anyRegion := func(string) bool { return true }
	for _, token := range strings.FieldsFunc(text, isASCIISpace) {
		s.apply(token, anyRegion)
	}
	return s
}

func defaultSettings() CueSettings {
	return CueSettings{SnapToLines: true, LineAlign: "start", PositionAlign: "auto", Size: 100, Align: "center"}
}

func isASCIISpace(r rune) bool { return r < 0x80 && strings.IndexByte(asciiSpace, byte(r)) >= 0 }

// apply lets one token change s. It returns the setting's name and whether the
// token states an alignment after a comma; why is what is wrong with a token
// that changes nothing. A region that is not defined takes the cue's region away
// and is wrong as well.
func (s *CueSettings) apply(token string, defined func(string) bool) (name string, aligned bool, why string) {
	name, value, ok := strings.Cut(token, ":")
	if !ok || name == "" || value == "" {
		return "", false, "has not the form name:value"
	}
	switch name {
	case "region":
		s.Region = ""
		if !defined(value) {
			return name, false, "names a region that is not defined before"
		}
		s.Region = value
	case "vertical":
		if value == "rl" || value == "lr" {
			s.Vertical = value
		} else {
			why = "is neither rl nor lr"
		}
		if s.Vertical != "" {
			s.Region = ""
		}
	case "line":
		aligned, why = s.applyLine(value)
	case "position":
		aligned, why = s.applyPosition(value)
	case "size":
		size, ok := percentage(value)
		if !ok {
			return name, false, "is no percentage from 0% to 100%"
		}
		s.Size = size
		if size != 100 {
			s.Region = ""
		}
	case "align":
		switch value {
		case "start", "center", "end", "left", "right":
			s.Align = value
		default:
			why = "is none of start, center, end, left, right"
		}
	default:
		return name, false, "is no setting of WebVTT"
	}
	return name, aligned, why
}

func (s *CueSettings) applyLine(value string) (aligned bool, why string) {
	pos, align, aligned := strings.Cut(value, ",")
	percent := strings.HasSuffix(pos, "%")
	var number float64
	var ok bool
	if percent {
		number, ok = percentage(pos)
	} else {
		number, ok = lineNumber(pos)
	}
	if !ok {
		return aligned, "is neither a line number nor a percentage from 0% to 100%"
	}
	if aligned {
		switch align {
		case "start", "center", "end":
			s.LineAlign = align
		default:
			return aligned, "has an alignment other than start, center, end"
		}
	}
	s.Line, s.SnapToLines, s.Region = &number, !percent, ""
	return aligned, ""
}

func (s *CueSettings) applyPosition(value string) (aligned bool, why string) {
	pos, align, aligned := strings.Cut(value, ",")
	number, ok := percentage(pos)
	if !ok {
		return aligned, "is no percentage from 0% to 100%"
	}
	if aligned {
		switch align {
		case "line-left", "center", "line-right":
			s.PositionAlign = align
		default:
			return aligned, "has an alignment other than line-left, center, line-right"
		}
	}
	s.Position = &number
	return aligned, ""
}

// percentage reads digits, optionally a dot and digits, and a percent sign; the
// number is at most 100.
func percentage(text string) (float64, bool) {
	text, ok := strings.CutSuffix(text, "%")
	if !ok || strings.HasPrefix(text, "-") {
		return 0, false
	}
	number, ok := lineNumber(text)
	return number, ok && number <= 100
}

// lineNumber reads an optional minus, digits, and optionally a dot and digits.
// A number too great for a float64 is no number, as in the HTML rules for
// parsing floating-point numbers.
func lineNumber(text string) (float64, bool) {
	whole, fraction, dotted := strings.Cut(strings.TrimPrefix(text, "-"), ".")
	if !allDigits(whole) || dotted && !allDigits(fraction) {
		return 0, false
	}
	number, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return 0, false
	}
	return number + 0, true // -0 becomes 0
}

func allDigits(text string) bool {
	return text != "" && strings.Trim(text, "0123456789") == ""
}

// settings applies the settings of a line of times, which begin at rest, and
// returns the tokens that decide the outcome in source order, one space between:
// applied again they give the same settings. Every other token is reported.
func (p *webvttParser) settings(line []byte, offset, rest int) string {
	if rest == len(line) {
		return ""
	}
	var (
		tokens  []settingToken
		s       = defaultSettings()
		defined = func(id string) bool { return p.regions[id] }
	)
	for i := skipSpace(line, rest); i < len(line); i = skipSpace(line, i) {
		end := i + max(0, bytes.IndexAny(line[i:], asciiSpace))
		if end == i {
			end = len(line)
		}
		t := settingToken{at: offset + i, text: replaceNUL(string(line[i:end]))}
		t.name, t.aligned, t.why = s.apply(t.text, defined)
		tokens = append(tokens, t)
		i = end
	}
	var kept []string
	for i, t := range tokens {
		if t.why == "" {
			t.why = replaced(t, tokens[i+1:], s)
		}
		if t.why == "" {
			kept = append(kept, t.text)
			continue
		}
		p.report(source.Finding{
			Pos: p.src.Pos(t.at), Severity: source.Note, Rule: "read/bad-setting", Source: webvttSource,
			Message: fmt.Sprintf("setting left out: %s %s", quoted([]byte(t.text)), t.why),
		})
	}
	return strings.Join(kept, " ")
}

type settingToken struct {
	at      int
	text    string
	name    string
	aligned bool
	why     string // why it does not count, or ""
}

// replaced says why t does not count any more after the tokens later, which led
// to the settings s; "" when it does.
func replaced(t settingToken, later []settingToken, s CueSettings) string {
	if t.name == "region" && s.Region == "" {
		return "does not hold beside a line, a size or vertical text"
	}
	for _, l := range later {
		// A later token without an alignment leaves the earlier alignment as it is.
		if l.name == t.name && l.why == "" && (l.aligned || !t.aligned) {
			return fmt.Sprintf("is replaced by %s", quoted([]byte(l.text)))
		}
	}
	return ""
}

// defineRegion notes the identifier of a REGION block. The rest of the block
// says how a region is drawn and is not kept.
func (p *webvttParser) defineRegion(text string) {
	id := ""
	for _, token := range strings.FieldsFunc(text, isASCIISpace) {
		if value, ok := strings.CutPrefix(token, "id:"); ok && value != "" {
			id = value
		}
	}
	if id != "" {
		p.regions[id] = true
	}
}
