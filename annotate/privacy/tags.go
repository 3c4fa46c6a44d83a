package privacy

import (
	"regexp"
	"strings"

	"sideport/timeline/media"
)

// TagHit is a Hit in the value of a container tag.
type TagHit struct {
	Tag  int    // index into the tags given
	Name string // the tag's name, which says nothing of anybody
	Hit
}

// ScanFileName scans the last element of a file name. An underscore parts words
// as a space does. Offsets are into name.
func ScanFileName(name string, opt Options) []Hit {
	from := strings.LastIndexAny(name, `/\`) + 1
	// Underscores become spaces, so that offsets stay.
	text := strings.ReplaceAll(name[from:], "_", " ")
	hits := Scan(text, opt)
	for _, p := range fileNamePatterns {
		p.scan(text, opt, nil, func(class string, start, end int) { hits = append(hits, Hit{class, start, end}) })
	}
	hits = join(hits)
	for i := range hits {
		hits[i].Start += from
		hits[i].End += from
	}
	return hits
}

// fileNamePatterns are forms that mean something in a file name only.
var fileNamePatterns = []pattern{
	{Date, regexp.MustCompile(`(?:19|20)\d\d[-. ](?:0[1-9]|1[0-2])`), 0, apart},
	{Date, regexp.MustCompile(`(?:19|20)\d\d (\d{1,2}) (\d{1,2})`), 0, func(m match) bool { return apart(m) && isMonth(m.group(1)) && isDay(m.group(2)) }},
	{Date, regexp.MustCompile(`(\d{1,2}) (\d{1,2}) (?:19|20)\d\d`), 0, func(m match) bool {
		return apart(m) && (isDay(m.group(1)) && isMonth(m.group(2)) || isMonth(m.group(1)) && isDay(m.group(2)))
	}},
	{Name, regexp.MustCompile(`(?i)\b(?:patient|pt|mr|mrs|ms|smt|shri)[ .-]+(\p{L}{3,}(?:[ -]\p{L}{3,})?)`), 1, keepName},
}

// ScanTags scans the tags of a container. Beside the patterns of Scan the name
// of a tag tells what its value is: a location is a place, a moment of creation a
// date unless it is a bare year, an artist a name. What writing programs put
// there by themselves is clean.
func ScanTags(tags []media.Tag, opt Options) []TagHit {
	var out []TagHit
	opt = opt.Ready()
	for i, tag := range tags {
		for _, h := range scanTag(tag.Name, tag.Value, opt) {
			out = append(out, TagHit{Tag: i, Name: tag.Name, Hit: h})
		}
	}
	return out
}

// emptyDate is what a writer leaves when it knows no moment: nothing, zeros, or
// the zero of the container's clock.
var emptyDate = regexp.MustCompile(`^(?:0{4}[-:]?0{2}.*|(?:1904|1970)-01-01T00:00:00.*|2001-01-01T00:00:00.*)?$`)

var bareYear = regexp.MustCompile(`^(?:19|20)\d\d$`)

func scanTag(name, value string, opt Options) []Hit {
	value = strings.TrimRight(value, "\x00 ")
	if strings.TrimSpace(value) == "" {
		return nil
	}
	whole := func(class string) []Hit { return []Hit{{class, 0, len(value)}} }
	switch kind := tagKind(name); kind {
	case Place:
		return whole(Place)
	case Date:
		if emptyDate.MatchString(value) || bareYear.MatchString(value) {
			return nil
		}
		return whole(Date)
	case Name:
		if hits := Scan(value, opt); len(hits) > 0 {
			return hits
		}
		if program.MatchString(value) || allTrade(value) {
			return nil
		}
		return whole(Name)
	case DeviceSerial:
		return whole(DeviceSerial)
	case programTag:
		if program.MatchString(value) {
			return nil
		}
	case countTag:
		if count.MatchString(value) {
			return nil
		}
	}
	hits := Scan(value, opt)
	if tagKind(name) == titleTag && len(hits) == 0 && looksLikeName(value) {
		return whole(Name)
	}
	return hits
}

const (
	programTag = "program"
	titleTag   = "title"
	countTag   = "count"
)

// count is what a muxer counts of a track by itself: a number or a length.
var count = regexp.MustCompile(`^(?:\d+|\d{2,}:\d{2}:\d{2}(?:\.\d+)?)$`)

// counts are the tags it counts in, with or without the language behind them. Source:
// the statistics tags of mkvmerge's manual; BPS and the like are Matroska's official names.
var counts = regexp.MustCompile(`^(?:bps|duration|number_of_frames|number_of_bytes)(?:-[a-z]{3})?$`)

// tagKind tells what the value of a tag is by the tag's name, or is empty. Names
// vary by container: ©nam, com.apple.quicktime.location.ISO6709, DATE_RECORDED,
// location-eng.
func tagKind(name string) string {
	n := strings.ToLower(name)
	n = strings.TrimPrefix(n, "©")
	if i := strings.LastIndex(n, "quicktime."); i >= 0 {
		n = n[i+len("quicktime."):]
	}
	has := func(parts ...string) bool {
		for _, p := range parts {
			if strings.Contains(n, p) {
				return true
			}
		}
		return false
	}
	switch {
	case counts.MatchString(n):
		return countTag
	case has("encoder", "encoding_tool", "encoded_with", "handler", "brand", "muxing", "writing", "muxer", "vendor_id", "compatible") || n == "too" || n == "swr":
		return programTag
	case has("location", "gps", "latitude", "longitude", "xyz", "loci", "place", "city", "country", "geo"):
		return Place
	case has("creation", "date", "created", "modif", "recorded", "tagged") || n == "day" || n == "year" || n == "time":
		return Date
	case has("artist", "author", "performer", "composer", "director", "producer", "lead", "actor", "copyright", "owner", "publisher", "patient", "subject_name", "encoded_by", "encodedby") || n == "art" || n == "aut" || n == "wrt":
		return Name
	case has("serial", "imei", "device_id", "unique_id", "uid"):
		return DeviceSerial
	case has("title", "album", "show", "nam", "grouping") || n == "alb":
		return titleTag
	}
	return ""
}

// program are the values writing programs put in by themselves: names of open
// source muxers and encoders, default handler names, ISO 14496-12 brands.
var program = regexp.MustCompile(`^(?i:(?:lavf|lavc|libx26[45]|x26[45]|libvpx|libopus|libaom|libsvtav1|libebml|libmatroska|mkvmerge|mkvtoolnix|gpac|handbrake)[\w .()/:,'"+-]*|(?:video|sound|audio|subtitle|text|time ?code|data|metadata|alias|core media|mainconcept video media|iso media file produced by [\w .]+|gpac iso (?:video|audio)) ?(?:media )?handler[\w .]*|(?:isom|iso[2-9]|mp4[12]|avc1|av01|hvc1|dash|m4v|m4a|qt|mmp4|3gp\d|msdh|msix|cmfc)[\w ,/]*)$`)

// looksLikeName reports whether a title is two or three words with capitals and
// nothing else, none of them of the trade.
func looksLikeName(value string) bool {
	words := wordsIn(value)
	if len(words) < 2 || len(words) > 3 || strings.ContainsAny(value, "0123456789:()[]/|") {
		return false
	}
	for _, w := range words {
		word := value[w[0]:w[1]]
		if !capital(word) || isTrade(word) {
			return false
		}
	}
	return true
}
