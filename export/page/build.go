package page

import (
	"fmt"
	"html/template"
	"net/url"
	"path"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"sideport/annotate"
	"sideport/annotate/taxonomy"
	"sideport/export/caption"
	"sideport/export/report"
	"sideport/export/words"
	"sideport/timeline"
	"sideport/timeline/source"
	"sideport/timeline/timecode"
)

// builder turns a Case into a view.
type builder struct {
	c       *annotate.Case
	opt     Options
	v       *view
	lang    string            // the page's language as the case states it
	labels  map[string]string // of parameters
	refs    []string
	ids     map[string]bool
	noteFor []int // section of the notes by step, -1 for none
}

func buildView(c *annotate.Case, opt Options) *view {
	b := &builder{c: c, opt: opt, lang: "en", labels: map[string]string{}, ids: map[string]bool{}}
	if len(c.Languages) > 0 && isTag(c.Languages[0]) {
		b.lang = c.Languages[0]
	}
	w := words.Get(b.lang)
	b.v = &view{words: w, Lang: w.Language(), Title: source.Printable(c.File.Title.Value)}
	if !sameLanguage(b.lang, b.v.Lang) {
		b.v.UserLang = b.lang
	}
	if c.Table != nil {
		for _, p := range c.Table.Parameters() {
			b.labels[p.ID] = p.Label
		}
	}
	b.head()
	b.video()
	found := b.readNotes()
	for i := range c.Steps {
		b.v.Steps = append(b.v.Steps, b.step(i, found))
	}
	b.v.Notes = found.general
	b.times()
	b.figures()
	b.groups()
	b.loose()
	b.back()
	b.v.Linked = b.linked()
	return b.v
}

// head is what stands above the two columns, and the opening text.
func (b *builder) head() {
	v, f := b.v, b.c.File
	v.Procedure = named{Text: b.c.Procedure.Label, Lang: b.otherThanPage("en")}
	if label, ok := taxonomy.Label(b.c.Procedure, b.c.Procedure.ID, b.lang); ok {
		v.Procedure = named{Text: label, Lang: b.otherThanPage(b.lang)}
	}
	v.ShortTitle = shortTitle(v.Title, v.Procedure.Text)
	v.Facts = b.headFacts()
	v.Summary, v.Outcome = source.Printable(f.Summary.Value), f.Outcome.Value
	for _, o := range f.Objectives {
		v.Objectives = append(v.Objectives, source.Printable(o.Value))
	}
	switch b.c.Consent.Scope {
	case "public":
	case "course":
		v.Release = v.say("page.scope-course")
	case "local":
		v.Release = v.say("page.scope-local")
	default:
		v.Release = capital(v.say("page.not-for-release"))
	}
	v.NotForRelease = b.c.Consent.Scope != "public"
	v.NotReviewed = !taxonomy.Reviewed(b.lang)
}

// shortTitle keeps to the 70 letters that windows and result lists show, cut at a
// word. A letter that is written as a character reference counts as long as that.
func shortTitle(title, procedure string) string {
	fits := func(s string) bool { return utf8.RuneCountInString(template.HTMLEscapeString(s)) <= 70 }
	switch {
	case title == "":
		return procedure
	case fits(title + " – " + procedure):
		return title + " – " + procedure
	case fits(title):
		return title
	}
	short := []rune(title)
	short = short[:min(len(short), 71)] // more never fit, and each letter taken off costs another look
	for len(short) > 0 && !fits(string(short)+"…") {
		short = short[:len(short)-1]
	}
	if space := strings.LastIndexByte(string(short), ' '); space > len(string(short))/2 {
		short = []rune(string(short)[:space])
	}
	return strings.TrimRight(string(short), " ,;:–-") + "…"
}

func (b *builder) headFacts() []string {
	v, p := b.v, b.c.File.Patient
	var facts []string
	eye := ""
	switch p.Eye.Value {
	case "left", "right":
		eye = v.say("figure." + p.Eye.Value + "-eye")
	}
	switch p.WhichEye.Value {
	case "first", "second":
		eye = strings.TrimPrefix(eye+", "+v.say("page."+p.WhichEye.Value+"-eye"), ", ")
	}
	facts = add(facts, eye)
	if p.AgeBand.Value != "" {
		facts = append(facts, v.say("page.age")+" "+strings.ReplaceAll(p.AgeBand.Value, "-", "–"))
	}
	var kinds []string
	for _, k := range p.Cataract.Type {
		kinds = append(kinds, b.spaced(k.Value))
	}
	if len(kinds) > 0 {
		facts = append(facts, strings.Join(kinds, ", ")+" "+v.say("page.cataract"))
	}
	for _, g := range p.Cataract.Grade {
		facts = append(facts, b.grade(g.Scheme.Value, g.Value.Value))
	}
	return facts
}

// grade names the scheme with the number, as the two mean nothing apart.
func (b *builder) grade(scheme, value string) string {
	switch {
	case strings.HasPrefix(scheme, "locs3-"):
		return "LOCS III " + strings.ToUpper(strings.TrimPrefix(scheme, "locs3-")) + " " + value
	case strings.HasPrefix(scheme, "clinical-"):
		return b.v.say("page.grade") + " " + value + " " + b.v.say("page.clinical-scale") + " " + strings.ReplaceAll(strings.TrimPrefix(scheme, "clinical-"), "-", "–")
	}
	return strings.TrimSpace(b.spaced(scheme) + " " + value)
}

func (b *builder) video() {
	name := path.Base(strings.ReplaceAll(b.opt.VideoFile, `\`, "/"))
	if b.opt.VideoFile == "" || name == "." || name == "/" {
		return
	}
	b.v.Video = &videoView{Src: "./" + url.PathEscape(name)}
	b.v.Tracks = []trackData{}
	for _, t := range b.opt.Steps {
		b.v.Tracks = append(b.v.Tracks, b.track(t, "top"))
	}
	for _, t := range b.opt.Speech {
		b.v.Tracks = append(b.v.Tracks, b.track(t, "bottom"))
	}
}

// track is a Track for the script. The first of its sort in the page's
// language is shown, the rest wait.
func (b *builder) track(t Track, edge string) trackData {
	d := trackData{Kind: t.Kind, Label: source.Printable(t.Label), Edge: edge, Shown: !t.Hidden, Cues: []any{}}
	if isTag(t.Language) {
		d.Language = t.Language
	}
	for _, other := range b.v.Tracks {
		if other.Edge == edge && other.Shown {
			d.Shown = false
		}
	}
	if d.Kind != "captions" && d.Kind != "subtitles" {
		d.Kind = "subtitles"
	}
	for _, c := range t.Cues {
		if text := cueText(c); text != "" && c.To > c.From && c.From >= 0 {
			d.Cues = append(d.Cues, []any{report.Seconds(c.From), report.Seconds(c.To), text})
		}
	}
	return d
}

func cueText(c caption.Cue) string {
	text := caption.Clean(c.Text)
	if text != "" && c.Speaker != "" {
		text = caption.CleanLine(c.Speaker) + ": " + text
	}
	return source.Printable(text)
}

// secondsText is d to the millisecond, for links.
func secondsText(d time.Duration) string { return strconv.FormatFloat(report.Seconds(d), 'f', -1, 64) }

// moment links to a place in the video; without a video it is the time alone. An
// empty stretch prints its beginning only.
func (b *builder) moment(s timeline.Span) moment {
	m := moment{Text: timecode.FormatShort(s.From)}
	if s.To > s.From {
		m.Text += "–" + timecode.FormatShort(s.To)
	}
	if b.v.Video != nil {
		m.Href = b.v.Video.Src + "#t=" + secondsText(s.From)
	}
	return m
}

func (b *builder) momentAt(t *time.Duration) *moment {
	if t == nil {
		return nil
	}
	m := b.moment(timeline.Span{From: *t, To: *t})
	return &m
}

// times says which columns of time the list of steps has.
func (b *builder) times() {
	for _, s := range b.v.Steps {
		b.v.HasVideoTimes = b.v.HasVideoTimes || s.First != nil
		b.v.HasRecordingTimes = b.v.HasRecordingTimes || s.RecordingFrom != ""
	}
	b.v.HasTimes = b.v.HasVideoTimes || b.v.HasRecordingTimes
}

// back is what stands after the case itself.
func (b *builder) back() {
	v, f := b.v, b.c.File
	for _, q := range f.Questions {
		b.question(q)
	}
	if len(b.opt.Speech) > 0 {
		b.transcript(b.opt.Speech[0])
	}
	for _, r := range f.References {
		if r.Value != "" {
			b.ref(r.Value)
		}
	}
	for i, text := range b.refs {
		v.References = append(v.References, reference{Number: i + 1, Text: text})
	}
	if b.c.Consent.Scope == "public" {
		for _, a := range f.Authors {
			v.Authors = append(v.Authors, source.Printable(a.Value))
		}
	}
	v.Disclosure = f.Disclosure.Value
}

func (b *builder) question(q annotate.Question) {
	out := questionView{Ask: q.Ask.Value, Because: q.Because.Value}
	for _, a := range q.Answers {
		out.Answers = append(out.Answers, a.Value)
	}
	if n, err := strconv.Atoi(q.Right.Value); err == nil && n >= 1 && n <= len(out.Answers) {
		out.Right = out.Answers[n-1]
	} else if q.Right.Set && len(out.Answers) == 0 && err != nil {
		out.Right = q.Right.Value
	}
	// A moment that the video does not have may be a clock time of the day, which
	// is never printed.
	if t, err := timecode.ParseClockDuration(q.At.Value); err == nil && b.v.Video != nil && t <= b.c.VideoLength {
		out.At = b.momentAt(&t)
	}
	b.v.Questions = append(b.v.Questions, out)
}

// transcript prints the spoken words, so that they can be read and searched: as
// paragraphs, a new one after a pause, after half a minute and for another speaker.
func (b *builder) transcript(t Track) {
	const pause, longest = 4 * time.Second, 30 * time.Second
	out := &transcriptView{}
	if isTag(t.Language) {
		out.Lang = b.otherThanPage(t.Language)
	}
	var began, ended time.Duration
	speaker := ""
	for _, c := range t.Cues {
		words := strings.ReplaceAll(caption.Clean(c.Text), "\n", " ")
		if words == "" {
			continue
		}
		last := len(out.Lines) - 1
		if last >= 0 && c.Speaker == speaker && c.From < ended+pause && c.From < began+longest {
			out.Lines[last].Text += " " + words
		} else {
			if c.Speaker != "" && c.Speaker != speaker {
				words = caption.CleanLine(c.Speaker) + ": " + words
			}
			out.Lines = append(out.Lines, spokenLine{Moment: b.moment(timeline.Span{From: c.From, To: c.From}), Text: words})
			began, speaker = c.From, c.Speaker
		}
		ended = c.To
	}
	if len(out.Lines) > 0 {
		b.v.Transcript = out
	}
}

// ref numbers a source by its text, in the order of first use.
func (b *builder) ref(text string) int {
	text = source.Printable(text)
	if i := slices.Index(b.refs, text); i >= 0 {
		return i + 1
	}
	b.refs = append(b.refs, text)
	return len(b.refs)
}

// label names a step, event or complication in the page's language.
func (b *builder) label(p *taxonomy.Procedure, id string) named {
	if p == nil {
		p = b.c.Procedure
	}
	text, ok := taxonomy.Label(p, id, b.lang)
	switch {
	case ok:
		return named{Text: text, Lang: b.otherThanPage(b.lang)}
	case text == id: // an id the vocabulary does not hold
		return named{Text: capital(b.spaced(id))}
	}
	return named{Text: text, Lang: b.otherThanPage("en")}
}

// otherThanPage is lang when the interface is in another language, else empty.
func (b *builder) otherThanPage(lang string) string {
	if sameLanguage(lang, b.v.Lang) {
		return ""
	}
	return lang
}

func sameLanguage(a, b string) bool {
	return strings.EqualFold(strings.SplitN(a, "-", 2)[0], strings.SplitN(b, "-", 2)[0])
}

// isTag reports whether a language tag has the form of one.
func isTag(tag string) bool {
	return len(tag) >= 2 && len(tag) <= 35 &&
		strings.Trim(tag, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-") == "" && tag[0] != '-' && tag[len(tag)-1] != '-'
}

func capital(s string) string {
	for i, r := range s {
		if i == 0 {
			return strings.ToUpper(string(r)) + s[len(string(r)):]
		}
	}
	return s
}

func add(list []string, text string) []string {
	if text == "" {
		return list
	}
	return append(list, text)
}

// anchor makes an id of its own for a step.
func (b *builder) anchor(id string, nth int) string {
	name := strings.Trim(strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			return r
		case r >= 'A' && r <= 'Z':
			return r + 'a' - 'A'
		}
		return '-'
	}, id), "-")
	name = fmt.Sprintf("step-%s-%d", name, nth)
	for b.ids[name] {
		name += "-again"
	}
	b.ids[name] = true
	return name
}
