package privacy

import (
	"net/netip"
	"regexp"
	"strings"
)

var mailPatterns = []pattern{
	{Email, regexp.MustCompile(`[\p{L}\d._%+-]+@(?:[\p{L}\d-]+\.)+\p{L}{2,}`), 0, nil},
	{Email, regexp.MustCompile(`(?i)[a-z\d._-]+ ?[\[(]at[\])] ?[a-z\d-]+(?: ?[\[(]dot[\])] ?|\.)[a-z\d-]+(?:\.[a-z]+)?`), 0, nil},
}

var linkPatterns = []pattern{
	{URL, regexp.MustCompile(`(?i)\b(?:https?|ftp|rtsp|rtmp|file)://[^\s<>"]*[^\s<>".,;:!?)\]\x60]`), 0, nil},
	{URL, regexp.MustCompile(`(?i)\bwww\.[\p{L}\d-]+\.[^\s<>"]*[^\s<>".,;:!?)\]\x60]`), 0, nil},
	{URL, regexp.MustCompile(`(?i)\b[a-z\d][a-z\d-]*(?:\.[a-z\d-]+)*\.(?:com|org|net|edu|gov|info|(?:co|ac|org|gov|nhs)\.[a-z]{2})\b(?:/[^\s<>"]*[^\s<>".,;:!?)\]\x60])?`), 0, nil},
}

var (
	v4 = regexp.MustCompile(`\d{1,3}(?:\.\d{1,3}){3}`)
	v6 = regexp.MustCompile(`[0-9A-Fa-f]{0,4}(?::[0-9A-Fa-f]{0,4}){2,7}`)
)

// scanAddresses finds internet addresses. The loopback and the unspecified
// address are everybody's; eight plain groups or a double colon tell an IPv6
// address from a time or a timecode.
func scanAddresses(text string, add func(string, int, int)) {
	for _, loc := range v4.FindAllStringIndex(text, -1) {
		if !standsAlone(text, loc[0], loc[1]) || afterVersion(text[:loc[0]]) {
			continue
		}
		if a, err := netip.ParseAddr(text[loc[0]:loc[1]]); err == nil && !a.IsLoopback() && !a.IsUnspecified() {
			add(IPAddress, loc[0], loc[1])
		}
	}
	for _, loc := range v6.FindAllStringIndex(text, -1) {
		s := strings.TrimRight(text[loc[0]:loc[1]], ":")
		if isWord(before(text, loc[0])) || isWord(after(text, loc[0]+len(s))) || strings.Count(s, ":") < 4 && !strings.ContainsAny(s, "abcdefABCDEF") {
			continue
		}
		if a, err := netip.ParseAddr(s); err == nil && a.Is6() && !a.IsLoopback() && !a.IsUnspecified() {
			add(IPAddress, loc[0], loc[0]+len(s))
		}
	}
}

// afterVersion reports whether text ends in the word version.
func afterVersion(text string) bool {
	const word = "version"
	text = strings.TrimRight(text, " ")
	return len(text) >= len(word) && strings.EqualFold(text[len(text)-len(word):], word)
}
