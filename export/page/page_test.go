package page_test

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"golang.org/x/net/html"

	"sideport/annotate"
	"sideport/export/caption"
	"sideport/export/page"
	"sideport/export/words"
	"sideport/timeline/source"
	"sideport/timeline/timelinetest"
)

// parse reads a page as a browser does.
func parse(t testing.TB, raw []byte) *html.Node {
	t.Helper()
	doc, err := html.Parse(bytes.NewReader(raw))
	if err != nil {
		t.Fatalf("parsing the page: %v", err)
	}
	return doc
}

func attr(n *html.Node, name string) string {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val
		}
	}
	return ""
}

// all lists the elements that pass a test, in document order.
func all(n *html.Node, ok func(*html.Node) bool) (out []*html.Node) {
	for d := range n.Descendants() {
		if d.Type == html.ElementNode && ok(d) {
			out = append(out, d)
		}
	}
	return out
}

func byName(n *html.Node, name string) []*html.Node {
	return all(n, func(n *html.Node) bool { return n.Data == name })
}

func byClass(n *html.Node, class string) []*html.Node {
	return all(n, func(n *html.Node) bool {
		return strings.Contains(" "+attr(n, "class")+" ", " "+class+" ")
	})
}

func byID(n *html.Node, id string) *html.Node {
	found := all(n, func(n *html.Node) bool { return attr(n, "id") == id })
	if len(found) == 0 {
		return nil
	}
	return found[0]
}

// content is the text inside a node, white space folded.
func content(n *html.Node) string {
	if n == nil {
		return ""
	}
	var b strings.Builder
	for d := range n.Descendants() {
		if d.Type == html.TextNode {
			b.WriteString(d.Data + " ")
		}
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

func TestCautionStandsAtTheTopAndAtTheFoot(t *testing.T) {
	doc := parse(t, write(t, exampleCase(t), exampleOptions()))
	for _, part := range []string{"header", "footer"} {
		if got := content(byName(doc, part)[0]); !strings.Contains(got, words.Caution) {
			t.Errorf("<%s> = %q, want the caution", part, got)
		}
	}
}

// Content Security Policy Level 3, section 3.3: a policy in a meta element binds
// only what follows it. The hashes are taken here from the page as parsed.
func TestPolicyComesFirstAndNamesStyleAndScript(t *testing.T) {
	raw := write(t, exampleCase(t), exampleOptions())
	doc := parse(t, raw)
	head := byName(doc, "head")[0]
	first := head.FirstChild
	for first.Type != html.ElementNode {
		first = first.NextSibling
	}
	if attr(first, "http-equiv") != "Content-Security-Policy" {
		t.Fatalf("first in head is <%s %v>, want the policy", first.Data, first.Attr)
	}
	policy := attr(first, "content")
	hash := func(n *html.Node) string {
		sum := sha256.Sum256([]byte(n.FirstChild.Data))
		return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
	}
	var script string
	for _, s := range byName(doc, "script") {
		switch attr(s, "type") {
		case "":
			script = hash(s)
		case "application/json", "application/ld+json":
		default:
			t.Errorf("script of type %q", attr(s, "type"))
		}
	}
	want := "default-src 'none'; script-src " + script + "; style-src " + hash(byName(doc, "style")[0]) +
		"; img-src data:; media-src 'self' data: blob:; base-uri 'none'; form-action 'none'"
	if policy != want {
		t.Errorf("policy = %s\nwant     %s", policy, want)
	}
	for _, n := range all(doc, func(*html.Node) bool { return true }) {
		for _, a := range n.Attr {
			if a.Key == "style" || strings.HasPrefix(a.Key, "on") {
				t.Errorf("<%s> has the attribute %s", n.Data, a.Key)
			}
		}
	}
	if len(byName(doc, "link"))+len(byName(doc, "img"))+len(byName(doc, "iframe")) > 0 {
		t.Errorf("the page fetches something besides its video")
	}
}

func TestLinksHaveTargetsAndIDsAreUnique(t *testing.T) {
	doc := parse(t, write(t, exampleCase(t), exampleOptions()))
	ids := map[string]bool{}
	for _, n := range all(doc, func(n *html.Node) bool { return attr(n, "id") != "" }) {
		if ids[attr(n, "id")] {
			t.Errorf("id %s stands twice", attr(n, "id"))
		}
		ids[attr(n, "id")] = true
	}
	for _, n := range all(doc, func(*html.Node) bool { return true }) {
		if target, ok := strings.CutPrefix(attr(n, "href"), "#"); ok && !ids[target] {
			t.Errorf("link to #%s leads nowhere", target)
		}
		for _, id := range strings.Fields(attr(n, "aria-labelledby")) {
			if !ids[id] {
				t.Errorf("aria-labelledby names %s, which is not there", id)
			}
		}
	}
}

// A table of values reads, cell by cell, as design and words fix it.
func TestValuesTableSaysRangeSourceAndCertainty(t *testing.T) {
	c := exampleCase(t)
	c.Table = nil // sources as the judgement gives them
	doc := parse(t, write(t, c, exampleOptions()))
	step := byID(doc, "step-scleral-groove-1").Parent
	var got [][]string
	for _, tr := range byName(step, "tr") {
		var row []string
		for cell := range tr.ChildNodes() {
			if cell.Type == html.ElementNode {
				row = append(row, content(cell))
			}
		}
		got = append(got, row)
	}
	want := [][]string{
		{"value", "recorded", "range quoted", "by whom", "how sure", "result"},
		{"external incision length", "6.5 mm measured", "5.5–7 mm", "[1]", "read in the source (abstract)", "within"},
		{"distance from limbus", "2.0 mm measured", "1.5–2.5 mm", "[2]", "read in the source (abstract)", "within"},
		{"groove depth", "0.5 mm estimated", "0.25–0.4 mm scleral tunnel", "[2]", "read in the source (abstract)", "outside the quoted range"},
		{"incision site", "12 o'clock", "–", "–", "–", "not judged"},
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("table of the scleral groove (-want +got):\n%s", diff)
	}
	if got := content(byClass(step, "sources")[0]); got != "[1] "+review+" [2] "+pearls {
		t.Errorf("sources of the step = %q", got)
	}
	rhexis := content(byID(doc, "step-capsulotomy-1").Parent)
	for _, want := range []string{
		"6.2–6.8 mm estimated 5.5–7 mm no source common practice, no source within",
		"14 40–100 no source our sanity limit far outside: check the entry first",
	} {
		if !strings.Contains(rhexis, want) {
			t.Errorf("capsulotomy lacks %q:\n%s", want, rhexis)
		}
	}
	if wash := content(byID(doc, "step-cortex-aspiration-1").Parent); !strings.Contains(wash, "280 mmHg set on the machine – – – range unknown for this technique") {
		t.Errorf("cortical wash: %s", wash)
	}
}

func TestAValueIsShownInTheUnitOfItsRange(t *testing.T) {
	c := exampleCase(t)
	c.Steps[0].Values = []annotate.Value{value(t, "groove-depth", "300 µm", "measured", "within", 0.25, 0.4, "mm", "confirmed", pearls, "S3")}
	got := content(byID(parse(t, write(t, c, exampleOptions())), "step-scleral-groove-1").Parent)
	if want := "0.3 mm measured; written 300 µm 0.25–0.4 mm"; !strings.Contains(got, want) {
		t.Errorf("scleral groove = %q, want %q in it", got, want)
	}
}

func TestStepsStandInOrderWithBothClocks(t *testing.T) {
	doc := parse(t, write(t, exampleCase(t), exampleOptions()))
	var got []string
	for _, li := range byName(byClass(doc, "steplist")[0], "li") {
		got = append(got, content(li))
	}
	want := []string{
		"1 External scleral incision in the video 0:02 on the recording 0:02",
		"2 Sclerocorneal tunnel in the video 0:14 on the recording 0:14",
		"3 Side port not shown on the recording 0:30",
		"4 Capsule staining not shown on the recording 0:40",
		"5 Anterior capsulotomy in the video 0:30 on the recording 0:52",
		"6 Nucleus delivery in the video 0:42 on the recording 1:04",
		"7 Cortical wash in the video 0:48 on the recording 1:26",
		"8 IOL implantation in the video 0:56 on the recording 1:34",
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("list of steps (-want +got):\n%s", diff)
	}
	link := byClass(byID(doc, "list-step-capsulotomy-1"), "moment")[0]
	if attr(link, "href") != "./video.webm#t=30" {
		t.Errorf("moment of the capsulotomy = %v", link.Attr)
	}
}

func TestWhatIsNotForReadersStaysOut(t *testing.T) {
	c := exampleCase(t)
	c.File.Recording = annotate.Recording{Date: text("2031-07-19"), Starts: text("09:12:44"), Zone: text("Asia/Kolkata")}
	c.File.PrivateWords = texts("Quicksilver")
	c.Shown, c.VideoFile = "/srv/material/case-77", "/srv/material/case-77/video.webm"
	opt := exampleOptions()
	opt.VideoFile = "/srv/material/case-77/video.webm"
	for _, scope := range []string{"none", "local", "course"} {
		c.Consent.Scope = scope
		got := string(write(t, c, opt))
		for _, secret := range []string{"2031", "09:12", "09:14", "Kolkata", "Quicksilver", "/srv", "case-77", "A. Writer"} {
			if strings.Contains(got, secret) {
				t.Errorf("scope %s: the page holds %q", scope, secret)
			}
		}
	}
	c.Consent.Scope = "public"
	if got := string(write(t, c, opt)); !strings.Contains(got, "A. Writer") || strings.Contains(got, "class=\"release\"") {
		t.Errorf("a public page lacks its authors or says it is not for release")
	}
}

func TestConsentStandsAboveTheTitle(t *testing.T) {
	for scope, want := range map[string]string{
		"": "Not for release", "none": "Not for release", "local": "For use inside the unit only",
		"course": "For the course only, not for the public",
	} {
		c := exampleCase(t)
		c.Consent.Scope = scope
		doc := parse(t, write(t, c, exampleOptions()))
		if got := byClass(doc, "release"); len(got) != 1 || content(got[0]) != want {
			t.Errorf("scope %q says %q, want %q", scope, content(got[0]), want)
		}
	}
}

func TestFindingsFollowPageFindings(t *testing.T) {
	for show, want := range map[string][]string{
		"none":      nil,
		"":          nil,
		"explained": {"Look again: groove depth", "Look again first: 14 nicks", "listed exception: overall diameter"},
		"all":       {"Look again: groove depth", "Look again first: 14 nicks", "For information: two sutures", "listed exception: overall diameter"},
	} {
		c := exampleCase(t)
		c.ShowOnPage = show
		opt := exampleOptions()
		opt.Findings = append(opt.Findings, source.Finding{Severity: source.Note, Rule: "cross/sutures", Message: "two sutures", Step: "wound-suture", Nth: 1})
		doc := parse(t, write(t, c, opt))
		var got []string
		for _, ul := range byClass(doc, "findings") {
			for _, li := range byName(ul, "li") {
				got = append(got, content(li))
			}
		}
		if len(got) != len(want) {
			t.Errorf("page.findings %q shows %d findings, want %d: %q", show, len(got), len(want), got)
			continue
		}
		for _, w := range want {
			if !strings.Contains(strings.Join(got, "\n"), w) {
				t.Errorf("page.findings %q lacks %q: %q", show, w, got)
			}
		}
	}
}

// The terms are those of schema.org 30.0: Clip with startOffset and endOffset in
// seconds, duration in ISO 8601.
func TestLinkedDataDescribesTheVideo(t *testing.T) {
	doc := parse(t, write(t, exampleCase(t), exampleOptions()))
	var data struct {
		Context  string   `json:"@context"`
		Type     []string `json:"@type"`
		Name     string
		Duration string
		URL      string `json:"contentUrl"`
		Clips    []struct {
			Type, Name string
			From       float64 `json:"startOffset"`
			To         float64 `json:"endOffset"`
			URL        string
		} `json:"hasPart"`
	}
	block := all(doc, func(n *html.Node) bool { return attr(n, "type") == "application/ld+json" })[0]
	if err := json.Unmarshal([]byte(block.FirstChild.Data), &data); err != nil {
		t.Fatalf("the block is not JSON: %v", err)
	}
	if data.Context != "https://schema.org" || strings.Join(data.Type, " ") != "VideoObject LearningResource" || data.Duration != "PT1M2S" || data.URL != "./video.webm" {
		t.Errorf("block = %+v", data)
	}
	if len(data.Clips) != 6 || data.Clips[2].From != 30 || data.Clips[2].To != 42 || data.Clips[2].URL != "index.html#step-capsulotomy-1" {
		t.Errorf("clips = %+v", data.Clips)
	}
	if regexp.MustCompile(`20\d\d-\d\d`).MatchString(block.FirstChild.Data) {
		t.Error("the block holds a date")
	}
}

func TestNotesGoToTheirSteps(t *testing.T) {
	c := exampleCase(t)
	c.Notes = source.New("notes.md", []byte(`# A title

opening

## Anterior capsulotomy

of the step

### Under it

more

## capsulotomy 2

no such run

## Anything else

![a photograph](patient.jpg) [bad](javascript:alert(1)) [good](https://example.org/x) <b onclick=x>raw</b>

- [ ] task

| a | b |
|--:|:-:|
| 1 | 2 |

Word[^1] and again[^1]

[^1]: foot
`))
	doc := parse(t, write(t, c, exampleOptions()))
	step := byClass(byID(doc, "step-capsulotomy-1").Parent, "prose")[0]
	if got := content(step); got != "of the step Under it more" {
		t.Errorf("notes of the capsulotomy = %q", got)
	}
	if h := byName(step, "h4"); len(h) != 1 {
		t.Errorf("the heading under the step's is not an h4")
	}
	notes := byClass(byClass(doc, "notes")[0], "prose")[0]
	if got := content(notes); !strings.HasPrefix(got, "A title opening capsulotomy 2 no such run Anything else [a photograph] bad good") || !strings.Contains(got, "raw") {
		t.Errorf("general notes = %q", got)
	}
	if len(byName(notes, "img"))+len(byName(notes, "b"))+len(byName(notes, "input"))+len(byName(doc, "h1")) != 1 {
		t.Error("notes brought a picture, raw HTML, an input or a second h1")
	}
	var links []string
	for _, a := range byName(notes, "a") {
		links = append(links, attr(a, "href"))
	}
	if want := "https://example.org/x #footnote-1 #footnote-1 #footnote-from-1 #footnote-from-1-1"; strings.Join(links, " ") != want {
		t.Errorf("links of the notes = %q, want %q", links, want)
	}
	cells := byName(byName(notes, "table")[0], "td")
	if attr(cells[0], "class") != "end" || attr(cells[1], "class") != "middle" {
		t.Errorf("alignment of the cells: %v %v", cells[0].Attr, cells[1].Attr)
	}
}

func TestSameCaseGivesSameBytes(t *testing.T) {
	first := write(t, exampleCase(t), exampleOptions())
	for range 20 {
		if again := write(t, exampleCase(t), exampleOptions()); !bytes.Equal(first, again) {
			t.Fatalf("two pages of one case differ:\n%s", cmp.Diff(string(first), string(again)))
		}
	}
}

// bigCase is a long operation: 50 steps with four values each and
// ten minutes of speech.
func bigCase(t testing.TB) (*annotate.Case, page.Options) {
	c, opt := exampleCase(t), exampleOptions()
	steps := c.Steps
	for i := range 42 {
		s := steps[i%len(steps)]
		s.Nth = i/len(steps) + 2
		s.Values = steps[0].Values
		c.Steps = append(c.Steps, s)
	}
	for i := range 300 {
		from := time.Duration(i) * 2 * time.Second
		opt.Speech[0].Cues = append(opt.Speech[0].Cues, caption.Cue{From: from, To: from + time.Second, Text: "Spoken words of an ordinary length,\nsome seventy letters in two lines."})
	}
	return c, opt
}

func TestALongCaseStaysSmall(t *testing.T) {
	c, opt := bigCase(t)
	if got := len(write(t, c, opt)); got > 300_000 {
		t.Errorf("a page of 50 steps has %d bytes, want at most 300 000", got)
	}
}

func TestAPageNeedsNeitherVideoNorTimes(t *testing.T) {
	c := exampleCase(t)
	c.HasVideoClock, c.VideoLength = false, 0
	c.Map.Pieces, c.Cuts = nil, nil
	for i := range c.Steps {
		c.Steps[i].Video, c.Steps[i].Recording = nil, nil
	}
	c.Events, c.Proposals = nil, nil
	doc := parse(t, write(t, c, page.Options{}))
	if n := len(byName(doc, "video")); n != 0 {
		t.Errorf("%d videos on a page without one", n)
	}
	if got := content(byID(doc, "step-scleral-groove-1").Parent); !strings.Contains(got, "without a time") || !strings.Contains(got, "6.5 mm") {
		t.Errorf("untimed step = %q", got)
	}
	for _, a := range byName(doc, "a") {
		if strings.Contains(attr(a, "href"), "#t=") {
			t.Errorf("link %s into a video that is not there", attr(a, "href"))
		}
	}
	empty := exampleCase(t)
	empty.File = &annotate.File{}
	empty.Steps, empty.Header, empty.Events, empty.Proposals, empty.Notes = nil, nil, nil, nil, nil
	if got := content(parse(t, write(t, empty, page.Options{}))); !strings.Contains(got, words.Caution) {
		t.Errorf("page of an empty case = %q", got)
	}
}

func TestALanguageIsNamedWhereItChanges(t *testing.T) {
	c := exampleCase(t)
	c.Languages = []string{"es"}
	doc := parse(t, write(t, c, exampleOptions()))
	if got := attr(byName(doc, "html")[0], "lang"); got != words.Get("es").Language() {
		t.Errorf("lang of the page = %q, want that of the interface text", got)
	}
	if words.Get("es").Language() == "es" {
		t.Skip("the interface text is in Spanish too")
	}
	if got := attr(byName(doc, "h1")[0], "lang"); got != "es" {
		t.Errorf("lang of the title = %q, want es", got)
	}
	if got := attr(byClass(byID(doc, "list-step-capsulotomy-1"), "name")[0], "lang"); got != "es" {
		t.Errorf("lang of a step's name = %q, want es", got)
	}
}

// html-validate 10 knows the HTML standard's content rules and ARIA's.
func TestPageIsValidHTML(t *testing.T) {
	checker := timelinetest.NeedNPM(t, "html-validate")
	big, bigOpt := bigCase(t)
	hostile, hostileOpt := hostileCase(t)
	pages := map[string][]byte{
		"example": write(t, exampleCase(t), exampleOptions()), "without-video": write(t, exampleCase(t), page.Options{}),
		"long": write(t, big, bigOpt), "hostile": write(t, hostile, hostileOpt),
	}
	dir := t.TempDir()
	args := []string{filepath.Join(checker, "bin", "html-validate.mjs"), "--formatter", "text"}
	for name, raw := range pages {
		file := filepath.Join(dir, name+".html")
		if err := os.WriteFile(file, raw, 0o600); err != nil {
			t.Fatal(err)
		}
		args = append(args, file)
	}
	cmd := exec.Command("node", args...)
	cmd.Dir = checker
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Errorf("html-validate: %v\n%s", err, out)
	}
}

// hostileCase has markup and script wherever a case has text.
func hostileCase(t testing.TB) (*annotate.Case, page.Options) {
	c, opt := exampleCase(t), exampleOptions()
	bad := func(where string) string {
		return fmt.Sprintf(`</script></style></title><script>window.hit=%q</script><img src=x onerror="window.hit='%s'">"' onmouseover=alert(1) {{.}} ${x} <!-- ]]>`, where, where)
	}
	f := c.File
	f.Title, f.Summary, f.Outcome, f.Disclosure = text(bad("title")), text(bad("summary")), text(bad("outcome")), text(bad("disclosure"))
	f.Objectives, f.Authors, f.References = texts(bad("objective")), texts(bad("author")), texts(bad("reference"))
	f.Patient.Systemic, f.Patient.AgeBand, f.Patient.Cataract.Type = texts(bad("systemic")), text(bad("age")), texts(bad("cataract"))
	f.Team.CasesBefore, f.Machine.Pump = text(bad("cases")), text(bad("pump"))
	f.Questions[0].Ask, f.Questions[0].Answers, f.Questions[0].Because = text(bad("ask")), texts(bad("answer")), text(bad("because"))
	s := &c.Steps[0]
	s.ID, s.Variant, s.Reason, s.Note, s.Tips = `x"><script>window.hit="id"</script>`, bad("variant"), bad("reason"), bad("note"), []string{bad("tip")}
	s.Values[0].Parameter, s.Values[0].Judgement.Source, s.Values[0].Judgement.SourceID = bad("parameter"), bad("source"), "none"
	c.Events[0].ID, c.Events[0].Info, c.Events[0].Note = bad("event"), nil, bad("event note")
	c.Proposals[0].Quote, c.Proposals[0].Heard = bad("quote"), bad("heard")
	c.Consent.Scope, c.ShowOnPage, c.Languages = "public", "all", []string{`en" onload="window.hit='lang'`}
	c.Notes = source.New("notes.md", []byte(bad("notes")+"\n\n## "+bad("heading")+"\n\n[x](javascript:window.hit=1) ![x](javascript:window.hit=1) <javascript:window.hit=1>\n\n```"+bad("fence")+"\n"+bad("code")+"\n```\n"))
	opt.VideoFile = `video.webm"><script>window.hit='file'</script>.webm`
	for i := range opt.Findings {
		opt.Findings[i].Message, opt.Findings[i].Hint, opt.Findings[i].WaivedBy = bad("finding"), bad("hint"), bad("waiver")
	}
	opt.Steps[0].Label, opt.Steps[0].Language, opt.Steps[0].Kind = bad("label"), bad("language"), bad("kind")
	opt.Steps[0].Cues[0].Text = bad("cue") + "\n\n00:00 --> 00:10\n<c.x>&lt;"
	opt.Speech[0].Cues[0].Text, opt.Speech[0].Cues[0].Speaker = bad("speech"), bad("speaker")
	return c, opt
}

func TestHostileTextStaysText(t *testing.T) {
	c, opt := hostileCase(t)
	doc := parse(t, write(t, c, opt))
	if n := len(byName(doc, "script")); n != 3 {
		t.Errorf("%d scripts, want the page's own, its data and its description", n)
	}
	if n := len(byName(doc, "img")); n != 0 {
		t.Errorf("%d pictures came through", n)
	}
	for _, n := range all(doc, func(*html.Node) bool { return true }) {
		for _, a := range n.Attr {
			if strings.HasPrefix(a.Key, "on") || (a.Key == "href" || a.Key == "src") && strings.Contains(strings.ToLower(a.Val), "javascript:") {
				t.Errorf("<%s %s=%q>", n.Data, a.Key, a.Val)
			}
		}
	}
}
