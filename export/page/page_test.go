package page_test

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"golang.org/x/net/html"

	"sideport/annotate"
	"sideport/annotate/ranges"
	"sideport/export/caption"
	"sideport/export/page"
	"sideport/export/words"
	"sideport/timeline/source"
)

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

func TestValuesReadAsInPrint(t *testing.T) {
	c := exampleCase(t)
	leak := value(t, "leak", "no", "", "within", 0, 0, "", "", "", "")
	leak.Judgement.Row = &ranges.Row{Words: []string{"no"}}
	leak.Judgement.Evidence, leak.Judgement.Source = "common-practice", "common practice, no source"
	c.Steps[0].Values = []annotate.Value{
		leak,
		value(t, "ovd-type", "hpmc", "", "not-judged", 0, 0, "", "", "", ""),
		value(t, "side-port-offset", "75 deg", "", "within", 60, 120, "°", "from-memory", "from memory, unconfirmed", ""),
	}
	got := content(byID(parse(t, write(t, c, exampleOptions())), "step-scleral-groove-1").Parent)
	for _, want := range []string{"leak no no no source common practice, no source within", "OVD type HPMC – – – not judged", "75° 60–120° no source"} {
		if !strings.Contains(got, want) {
			t.Errorf("scleral groove = %q, want %q in it", got, want)
		}
	}
}

// An end taken from the next step is assumed and is not printed as if recorded.
func TestAnAssumedEndIsNotPrinted(t *testing.T) {
	c := exampleCase(t)
	c.Steps[6].EndAssumed = true
	doc := parse(t, write(t, c, exampleOptions()))
	if got := content(byClass(byID(doc, "step-cortex-aspiration-1").Parent, "when")[0]); got != "in the video 0:48 on the recording 1:26" {
		t.Errorf("times of the cortical wash = %q", got)
	}
	if got := content(byClass(byID(doc, "step-side-port-1").Parent, "when")[0]); got != "not shown in the video on the recording 0:30" {
		t.Errorf("times of the side port = %q", got)
	}
	if got := content(byClass(byID(doc, "step-scleral-groove-1").Parent, "when")[0]); got != "in the video 0:02–0:14 on the recording 0:02–0:14" {
		t.Errorf("times of the groove = %q", got)
	}
	if got := content(byID(doc, "steps")); !strings.Contains(got, "only its beginning is given") {
		t.Error("the page does not say that ends are missing")
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
	c.File.Questions[0].At = text("09:14:50")
	c.Shown, c.VideoFile = "/srv/material/case-77", "/srv/material/case-77/video.webm"
	opt := exampleOptions()
	opt.VideoFile = "/srv/material/case-77/video.webm"
	for _, scope := range []string{"none", "local", "course"} {
		c.Consent.Scope = scope
		got := string(write(t, c, opt))
		for _, secret := range []string{"2031", "9:12", "9:14", "Kolkata", "Quicksilver", "/srv", "case-77", "A. Writer"} {
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
		opt.Findings = append(opt.Findings, source.Finding{Severity: source.Note, Rule: "step/remark", Message: "a remark"}, source.Finding{Severity: source.Note, Rule: "cross/sutures", Message: "two sutures", Step: "wound-suture", Nth: 1})
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
