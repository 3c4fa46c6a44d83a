package privacy

import (
	"cmp"
	"iter"
	"regexp"
	"slices"
	"sort"
	"strings"
	"unicode/utf8"
)

// Hit is one place that could identify somebody: the bytes [Start, End) of the
// text scanned. It carries no text, so that printing it gives nothing away.
type Hit struct {
	Class      string
	Start, End int
}

// Options says what is known of a text.
type Options struct {
	// PrivateWords are found wherever they stand as words, in any case and any
	// Unicode normalisation form, with any space, hyphen, dot or underscore
	// between their parts. In scripts that set no spaces between words they are
	// found inside running text.
	PrivateWords []string
	// AllowYear leaves a year that stands alone; the regulation leaves it too. A
	// year of birth counts all the same, since with any other year it tells an
	// age.
	AllowYear bool
	// Published is for lists of literature: dates, places, links and long numbers
	// there are those of the publication.
	Published bool
	// WallClock counts a time of day. It is for text about to leave: in a list of
	// stamps the clock is what the list is made of.
	WallClock bool

	private *matcher // of PrivateWords, when Ready has made it
}

// Ready returns o with its private words made ready for search, for a caller that
// scans many texts with it. Without it Scan makes them ready for each text. A
// change of PrivateWords after it has no effect.
func (o Options) Ready() Options {
	o.private = newMatcher(o.PrivateWords)
	return o
}

// pattern is one way of writing an identifier. The hit is the submatch group;
// keep, when there is one, decides on what an expression cannot say.
type pattern struct {
	class string
	re    *regexp.Regexp
	group int
	keep  func(match) bool
}

// match is one match of a pattern: loc are the offsets as the regexp package
// gives them, start and end those of the pattern's group.
type match struct {
	text       string
	loc        []int
	start, end int
	opt        Options
}

func (m match) group(n int) string {
	if m.loc[2*n] < 0 {
		return ""
	}
	return m.text[m.loc[2*n]:m.loc[2*n+1]]
}

// Scan returns what in text could identify somebody, sorted, without overlaps:
// hits that overlap are joined under the class that comes first in the order of
// scanners. Cost is linear in the text: a fixed number of passes, in which a
// place that is matched and refused is read again maxHidden times at most.
func Scan(text string, opt Options) []Hit {
	var hits []Hit
	base := 0
	add := func(class string, start, end int) {
		if start < end {
			hits = append(hits, Hit{class, base + start, base + end})
		}
	}
	if opt.private == nil {
		opt = opt.Ready()
	}
	opt.private.find(text, func(start, end int) bool {
		add(PrivateWord, start, end)
		return true
	})
	families := families(opt)
	for block := range blocks(text) {
		base = block[0]
		scanBlock(text[block[0]:block[1]], opt, families, add)
	}
	return join(hits)
}

// blocks yields the offsets of the stretches between blank lines. Nothing is
// looked for across one, and in a short stretch most families have no hint.
func blocks(text string) iter.Seq[[2]int] {
	return func(yield func([2]int) bool) {
		start := 0
		for _, gap := range blankLine.FindAllStringIndex(text, -1) {
			if !yield([2]int{start, gap[0]}) {
				return
			}
			start = gap[1]
		}
		yield([2]int{start, len(text)})
	}
}

var blankLine = regexp.MustCompile(`\r?\n[ \t]*\r?\n`)

func scanBlock(text string, opt Options, families []family, add func(string, int, int)) {
	literature := literatureSpans(text)
	folded, digits := strings.ToLower(text), countDigits(text)
	for _, f := range families {
		if digits < f.digits || len(f.hints) > 0 && !slices.ContainsFunc(f.hints, func(h string) bool { return strings.Contains(folded, h) }) {
			continue
		}
		for _, p := range f.patterns {
			p.scan(text, opt, literature, add)
		}
	}
	if !opt.Published {
		scanAddresses(text, add)
		scanFacilities(text, add)
	}
}

// family are patterns that share what a text holds at least when one of them
// matches: a number of digits, and one of some words in lower case. It saves
// running patterns that cannot match.
type family struct {
	digits   int
	hints    []string
	patterns []pattern
}

// families is the order of precedence when hits overlap.
func families(opt Options) []family {
	numbered := []string{"no", "nr", "num", "id", "#", "-", "mr", "uhid", "record", "ssn", "social", "aadha"}
	owned := []string{"a/c", "acc", "bank", "bill", "invoice", "receipt", "payment", "iban", "licen", "passport", "certificate", "registration", "plate", "vehicle", "car", "bike", "bus", "ambulance"}
	called := []string{"tel", "phone", "ph", "mob", "contact", "whatsapp", "call", "helpline", "pager", "emergency", "cell", "fax"}
	always := []family{
		{0, []string{"@", "at)", "at]"}, mailPatterns},
		{3, numbered, recordPatterns},
		{4, append(numbered, owned...), ownerPatterns},
		{6, nil, platePatterns},
		{6, called, calledPatterns},
		{0, []string{"name", "initial", "kin", "attendant", "guardian"}, namePatterns},
		{0, []string{"mr", "ms", "smt", "sh", "sri", "kum", "miss", "mx", "/o", "mister"}, titlePatterns},
		{0, []string{" of ", "his ", "her ", "their ", "patient"}, relationPatterns},
		{0, []string{"patient", "pt", "px", "named", "called"}, patientPatterns},
		{2, nil, nameAgePatterns},
	}
	if opt.Published {
		return always
	}
	links := family{0, []string{"://", "www.", ".com", ".org", ".net", ".edu", ".gov", ".info", ".co.", ".ac.", ".nhs."}, linkPatterns}
	all := slices.Insert(always, 1, links)
	all = append(all,
		family{2, []string{"s/n", "sn", "serial", "udi", "imei", "asset", "lot", "batch", "(01)", ":", "-"}, devicePatterns},
		family{8, nil, phonePatterns},
		family{4, []string{"19", "20", "/", "-", "."}, datePatterns},
		family{0, []string{"jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"}, monthPatterns},
		family{2, []string{"da", "d.o", "do", "admitted", "discharged", "died", "born", "birth", "yob", "y.o"}, labelledDatePatterns},
		family{2, []string{"9", "10", "11"}, agePatterns},
		family{0, []string{"ninety", "hundred", "centenarian"}, ageWordPatterns},
		family{0, []string{"hospital", "clinic", "instit", "cent", "city", "town", "village", "district", "taluk", "tehsil", "county", "suburb", "address", "resid", "lives", "living", "native", "hails", "travelled"}, placePatterns},
		family{2, nil, coordinatePatterns},
		family{6, nil, numberPatterns},
	)
	if !opt.AllowYear {
		all = append(all, family{4, []string{"199", "20"}, yearPatterns})
	}
	if opt.WallClock {
		all = append(all, family{1, []string{"m", ":", "hrs", "ist", "utc", "gmt"}, clockPatterns})
	}
	return all
}

func (p pattern) scan(text string, opt Options, literature [][]int, add func(string, int, int)) {
	for from := 0; from < len(text); {
		loc := p.re.FindStringSubmatchIndex(text[from:])
		if loc == nil {
			return
		}
		for i := range loc {
			if loc[i] >= 0 {
				loc[i] += from
			}
		}
		m := match{text, loc, loc[2*p.group], loc[2*p.group+1], opt}
		ok := m.start >= 0 && (p.keep == nil || p.keep(m))
		if ok && !inside(literature, m.start, m.end) {
			add(p.class, m.start, m.end)
		}
		// What is refused may hide a match that begins inside it: a short step
		// forward then, a whole one else.
		if ok {
			from = max(loc[1], from+1)
		} else {
			from = afterRun(text, loc[0])
			if far := loc[1] - maxHidden; far > from {
				from = afterRun(text, far)
			}
		}
	}
}

// maxHidden is how many bytes at the end of a refused match are searched again.
// Without a bound a text that is one long refused match is read anew from each
// of its places. No identifier is longer; what stands further ahead in such a
// match is part of the same run of words or digits that was refused.
const maxHidden = 256

// afterRun is the end of the run of digits or of ASCII letters at a place, else
// of the rune there. Nothing is kept that begins inside such a run: each pattern
// asks for a word boundary or for no letter or digit before it.
func afterRun(text string, at int) int {
	kind := runKind(text[at])
	at++
	for at < len(text) && (kind != 0 && runKind(text[at]) == kind || !utf8.RuneStart(text[at])) {
		at++
	}
	return at
}

func runKind(c byte) byte {
	switch {
	case '0' <= c && c <= '9':
		return '0'
	case 'a' <= c && c <= 'z' || 'A' <= c && c <= 'Z':
		return 'a'
	}
	return 0
}

// join sorts hits and joins those that overlap; the one added first gives its
// class. Joining, not dropping, keeps the longer hit's text covered.
func join(hits []Hit) []Hit {
	type ranked struct {
		Hit
		rank int
	}
	all := make([]ranked, len(hits))
	for i, h := range hits {
		all[i] = ranked{h, i}
	}
	slices.SortFunc(all, func(a, b ranked) int {
		return cmp.Or(cmp.Compare(a.Start, b.Start), cmp.Compare(a.rank, b.rank))
	})
	var out []ranked
	for _, h := range all {
		n := len(out) - 1
		if n < 0 || h.Start >= out[n].End {
			out = append(out, h)
			continue
		}
		if h.rank < out[n].rank {
			out[n].Class, out[n].rank = h.Class, h.rank
		}
		out[n].End = max(out[n].End, h.End)
	}
	hits = hits[:0]
	for _, h := range out {
		hits = append(hits, h.Hit)
	}
	return hits
}

// literature are the numbers and links by which published work is found.
var literature = regexp.MustCompile(`(?i)(?:https?://(?:dx\.)?doi\.org/)?\b10\.\d{4,9}/[^\s"<>]*[\w/)]|\b(?:PMID|PMCID|ISBN|ISSN|arXiv|NCT|CTRI)[:\s]*(?:PMC)?[\dX./-]*\d[\dX]?|\bPMC\d+`)

func literatureSpans(text string) [][]int { return literature.FindAllStringIndex(text, -1) }

// inside reports whether [start, end) lies in one of spans, which are in order
// and do not overlap.
func inside(spans [][]int, start, end int) bool {
	i := sort.Search(len(spans), func(i int) bool { return spans[i][1] >= end })
	return i < len(spans) && spans[i][0] <= start
}
