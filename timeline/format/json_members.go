package format

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"

	"sideport/timeline/source"
)

const jsonStandard = "RFC 8259"

// jsonMember is a member of an object with its value as written and the byte it
// begins at.
type jsonMember struct {
	name    string
	raw     []byte
	valueAt int
}

// jsonScanner reads one object or array of a text entry by entry with their places.
// What is inside a value is looked at only by whoever asks. Its fault is the first
// thing that is not JSON; nothing comes behind it.
type jsonScanner struct {
	d     *json.Decoder
	base  int // of the scanned part in the text
	fault error
}

// newJSONScanner scans raw, which begins at base, as an object or array. It is
// false when raw begins with neither or is no JSON from the start.
func newJSONScanner(raw []byte, base int, open json.Delim) (*jsonScanner, bool) {
	s := &jsonScanner{d: json.NewDecoder(bytes.NewReader(raw)), base: base}
	token, err := s.d.Token()
	if err != nil {
		s.fault = err
	}
	return s, err == nil && token == open
}

// member returns the next member of an object.
func (s *jsonScanner) member() (jsonMember, bool) {
	m, ok := s.name()
	if !ok {
		return m, false
	}
	m.raw, m.valueAt, ok = s.value()
	return m, ok
}

// name returns the next member of an object without its value, which is to be read
// next.
func (s *jsonScanner) name() (jsonMember, bool) {
	if s.fault != nil || !s.d.More() {
		return jsonMember{}, false
	}
	token, err := s.d.Token()
	name, ok := token.(string)
	if err != nil || !ok {
		s.fault = err
		return jsonMember{}, false
	}
	return jsonMember{name: name}, true
}

// value returns the next value and its place.
func (s *jsonScanner) value() (raw []byte, at int, ok bool) {
	var v json.RawMessage
	if s.fault != nil || !s.d.More() {
		return nil, 0, false
	}
	if err := s.d.Decode(&v); err != nil {
		s.fault = err
		return nil, 0, false
	}
	return v, s.at() - len(v), true
}

// at is the byte behind what was read last.
func (s *jsonScanner) at() int { return s.base + int(s.d.InputOffset()) }

// close reads the closing bracket and, at the end of a text, that nothing follows.
func (s *jsonScanner) close(last bool) {
	if s.fault != nil {
		return
	}
	if _, err := s.d.Token(); err != nil {
		s.fault = err
		return
	}
	if last {
		if _, err := s.d.Token(); err == nil {
			s.fault = errors.New("more stands behind the end of the object")
		} else if !errors.Is(err, io.EOF) {
			s.fault = err
		}
	}
}

// reportFault reports what is not JSON at its place. A decoder that goes token by
// token does not know that, so the text is gone through once more up to there.
func (s *jsonScanner) reportFault(src *source.Source, report source.Report) {
	if s.fault == nil {
		return
	}
	at, what := s.at(), s.fault.Error()
	var syntax *json.SyntaxError
	if errors.As(json.Unmarshal(src.Text(), new(json.RawMessage)), &syntax) {
		at, what = int(syntax.Offset)-1, syntax.Error()
		if syntax.Offset == int64(len(src.Text())) {
			at++ // it ends early
		}
	}
	report(source.Finding{
		Pos: src.Pos(at), Severity: source.Error, Rule: "read/syntax", Source: jsonStandard,
		Message: "the text is not JSON; it is read up to here: " + what,
	})
}

// reportTwice reports the value of a member that the object has already. The standard
// leaves open which one counts; here the first does, in every format.
func reportTwice(pos source.Pos, report source.Report) {
	report(source.Finding{
		Pos: pos, Severity: source.Caution, Rule: "read/duplicate-key", Source: jsonStandard,
		Message: "the member is there twice; the first is read",
	})
}

// nextJSON is where the value behind an offset begins, past the marks that part values.
func nextJSON(text []byte, at int) int {
	for at < len(text) && strings.IndexByte(" \t\r\n,:", text[at]) >= 0 {
		at++
	}
	return at
}

// jsonKind is what a value is, in a word.
func jsonKind(raw []byte) string {
	switch raw[0] {
	case '{':
		return "an object"
	case '[':
		return "a list"
	case '"':
		return "a text"
	case 't', 'f':
		return "true or false"
	case 'n':
		return "null"
	}
	return "a number"
}

// jsonText is the text of a value, or false when it is none.
func jsonText(raw []byte) (string, bool) {
	var text string
	if raw[0] != '"' || json.Unmarshal(raw, &text) != nil {
		return "", false
	}
	return text, true
}

// jsonString is text as a JSON value.
func jsonString(text string) string {
	raw, err := json.Marshal(text)
	if err != nil {
		panic(fmt.Sprintf("a text is no JSON value: %v", err)) // no text is
	}
	return string(raw)
}

const jsonList = json.Delim('[')

// skip passes over the rest of a value whose first token was read.
func (s *jsonScanner) skip(first json.Token) {
	depth := 0
	for token := first; ; {
		switch token {
		case json.Delim('['), json.Delim('{'):
			depth++
		case json.Delim(']'), json.Delim('}'):
			depth--
		}
		if depth == 0 {
			return
		}
		var err error
		if token, err = s.d.Token(); err != nil {
			s.fault = err
			return
		}
	}
}
