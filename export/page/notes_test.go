package page_test

import (
	"strings"
	"testing"
	"unicode/utf8"

	"sideport/timeline/source"
)

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

// Whatever the notes hold, nothing in them runs, styles or fetches.
func FuzzNotesAreInert(f *testing.F) {
	for _, seed := range []string{
		"", "# a\n## capsulotomy\ntext[^1]\n\n[^1]: foot", "<script>alert(1)</script>", "[x](javascript:alert(1))", "![x](data:text/html,x)",
		"| a |\n|--:|\n| <img src=x onerror=y> |", "<a href=\"//x\" onclick=y>", "[x]: javascript:y\n[x]", "<javascript:alert(1)>", "a\n: b\n", "> # h\n> - x",
		"[^1]\n\n[^1]: <b style=color:red>", "[a](http://x \"t\\\"onclick=1\")", "https://example.org/\"onmouseover=1", "[x](#)", "&#106;avascript:",
	} {
		f.Add(seed)
	}
	c := exampleCase(f)
	f.Fuzz(func(t *testing.T, markdown string) {
		if !utf8.ValidString(markdown) {
			t.Skip("notes are UTF-8 when they arrive here")
		}
		c.Notes = source.New("notes.md", []byte(markdown))
		inert(t, parse(t, write(t, c, exampleOptions())))
	})
}
