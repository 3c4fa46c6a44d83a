package page_test

import (
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"sideport/annotate"
	"sideport/annotate/ranges"
	"sideport/annotate/taxonomy"
	"sideport/export/page"
	"sideport/timeline/source"
	"sideport/timeline/timelinetest"
)

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

// hiddenCase has control characters and signs that turn the writing round in every
// text of a case, put there past the readers that leave them out.
func hiddenCase(t testing.TB) (*annotate.Case, page.Options) {
	c, opt := hostileCase(t)
	const hidden = "\u202e\u2066\x00\x01\x1b[2J\x7f\u0085\u202a"
	seen := 0
	soil := func(v reflect.Value) {
		if v.Kind() == reflect.String && v.CanSet() && v.String() != "" {
			v.SetString(v.String() + hidden + "z")
			seen++
		}
	}
	for _, v := range []any{c.File, c.Steps, c.Header, c.Events, c.Proposals, &opt} {
		each(reflect.ValueOf(v), soil)
	}
	if seen < 100 {
		t.Fatalf("only %d texts were reached", seen)
	}
	c.Notes = source.New("notes.md", []byte("a"+hidden+"b &#x202e;&#x2066;&#27; ["+hidden+"](https://example.org/"+hidden+" \"t&#x202e;\")\n\n## Anterior capsulotomy"+hidden+
		"\n\nc`"+hidden+"`[^1]\n\n```x"+hidden+"\n"+hidden+"\n```\n\n[^1]: "+hidden+"foot\n"))
	return c, opt
}

// each visits every exported value under v. Vocabulary and table are the program's
// own and are not entered.
func each(v reflect.Value, visit func(reflect.Value)) {
	switch v.Interface().(type) {
	case *taxonomy.Procedure, *taxonomy.Step, *taxonomy.Event, source.Pos, ranges.Result:
		return
	}
	visit(v)
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			each(v.Elem(), visit)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				each(v.Field(i), visit)
			}
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			each(v.Index(i), visit)
		}
	}
}

func TestNoHiddenCharacterReachesThePage(t *testing.T) {
	c, opt := hiddenCase(t)
	raw := string(write(t, c, opt))
	if i := source.Hidden(raw); i >= 0 {
		t.Errorf("the page holds %q", raw[max(i-80, 0):min(i+20, len(raw))])
	}
	doc := parse(t, []byte(raw))
	inert(t, doc)
	for _, n := range all(doc, func(*html.Node) bool { return true }) {
		for _, a := range n.Attr { // where a reference would be a character again
			if source.Hidden(a.Val) >= 0 {
				t.Errorf("<%s %s=%q>", n.Data, a.Key, a.Val)
			}
		}
	}
	if text := content(doc); source.Hidden(text) >= 0 || !strings.Contains(text, "a[2Jb") {
		t.Errorf("the page's text hides something or lacks the notes")
	}
	// What a script reads is JSON, where a control character is an escape.
	for _, s := range byName(doc, "script") {
		if kind := attr(s, "type"); strings.Contains(kind, "json") {
			var v any
			if err := json.Unmarshal([]byte(s.FirstChild.Data), &v); err != nil {
				t.Fatalf("%s: %v", kind, err)
			}
			if plain := fmt.Sprint(v); source.Hidden(plain) >= 0 {
				t.Errorf("%s holds %q", kind, plain[max(source.Hidden(plain)-80, 0):])
			}
		}
	}
}

// A title of any length costs no more than reading it.
func TestLongTitleIsCutAtOnce(t *testing.T) {
	c := exampleCase(t)
	c.File.Title = text(strings.Repeat("capsule & ", 200_000))
	began := time.Now()
	doc := parse(t, write(t, c, page.Options{}))
	if got, want := content(byName(doc, "title")[0]), "capsule & capsule & capsule & capsule & capsule…"; got != want {
		t.Errorf("title of the window = %q, want %q", got, want)
	}
	if took := time.Since(began); took > 20*time.Second {
		t.Errorf("writing took %v", took)
	}
}

func TestHostileTextStaysText(t *testing.T) {
	c, opt := hostileCase(t)
	doc := parse(t, write(t, c, opt))
	inert(t, doc)
}

// inert fails the test when a page holds more than its own scripts, or anything
// that runs, styles or fetches by itself.
func inert(t testing.TB, doc *html.Node) {
	t.Helper()
	if n := len(byName(doc, "script")); n != 3 {
		t.Errorf("%d scripts, want the page's own, its data and its description", n)
	}
	for _, n := range all(doc, func(*html.Node) bool { return true }) {
		switch n.Data {
		case "img", "iframe", "object", "embed", "link", "base", "form", "audio":
			t.Errorf("<%s> came through", n.Data)
		}
		for _, a := range n.Attr {
			switch target := strings.ToLower(strings.TrimSpace(a.Val)); {
			case strings.HasPrefix(a.Key, "on"), a.Key == "style", a.Key == "srcset":
				t.Errorf("<%s> has the attribute %s", n.Data, a.Key)
			case a.Key == "href" && (strings.HasPrefix(target, "javascript:") || strings.HasPrefix(target, "data:") || strings.HasPrefix(target, "vbscript:")):
				t.Errorf("<%s href=%q>", n.Data, a.Val)
			}
		}
	}
}
