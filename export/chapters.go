package export

import (
	"cmp"
	"io"
	"slices"

	"sideport/annotate"
	"sideport/annotate/taxonomy"
	"sideport/export/chapter"
	"sideport/export/page"
	"sideport/export/words"
)

func chapterFiles(b *Bundle) ([]File, error) {
	list := Chapters(b.Case)
	var out []File
	if len(list.Chapters) > 0 {
		for _, w := range chapter.All() {
			if !w.InCase {
				continue
			}
			f, err := file(w.File, func(out io.Writer) error { return w.Write(out, list) })
			if err != nil {
				return nil, err
			}
			out = append(out, f)
		}
	}
	if slices.ContainsFunc(out, func(f File) bool { return f.Name == "description.txt" }) {
		return out, nil
	}
	f, err := file("description.txt", func(w io.Writer) error { return chapter.WriteDescription(w, list) })
	return append(out, f), err
}

// Chapters is the chapter list of a case: every step where the video first shows
// it, named in the vocabulary, and the chapters of the user's own that name no
// step, such as a title card. Without a video clock the list is empty: the narration
// says when a step is spoken of, not where it begins.
func Chapters(c *annotate.Case) chapter.List {
	lang := c.Languages[0]
	list := chapter.List{Language: lang, Title: c.File.Title.Value, Summary: c.File.Summary.Value, Total: c.VideoLength}
	if !c.HasVideoClock {
		return list
	}
	for _, s := range c.Steps {
		if !s.Shown || len(s.Video) == 0 || s.Video[0].From >= c.VideoLength {
			continue
		}
		label, _ := taxonomy.Label(s.Procedure, s.ID, lang)
		c := chapter.Chapter{ID: s.ID, From: s.Video[0].From, Title: label}
		if !s.EndAssumed {
			c.To = s.Video[len(s.Video)-1].To
		}
		list.Chapters = append(list.Chapters, c)
	}
	for _, t := range c.Titles {
		if t.Match.Kind == taxonomy.KindRemark && t.From < c.VideoLength {
			list.Chapters = append(list.Chapters, chapter.Chapter{From: t.From, Title: cmp.Or(t.Title, words.Get(lang).T("chapter.untitled"))})
		}
	}
	slices.SortStableFunc(list.Chapters, func(a, b chapter.Chapter) int { return cmp.Compare(a.From, b.From) })
	return list
}

func pageFile(b *Bundle) ([]File, error) {
	opt := page.Options{VideoFile: b.Video, Findings: FindingsOf(b).Findings}
	for _, t := range b.Steps {
		opt.Steps = append(opt.Steps, page.Track{Language: t.Language, Label: t.Title, Kind: "subtitles", Hidden: len(opt.Steps) > 0, Cues: t.Cues})
	}
	if b.Speech != nil {
		opt.Speech = append(opt.Speech, page.Track{Language: b.Speech.Language, Label: b.Speech.Title, Kind: "captions", Cues: b.Speech.Cues})
	}
	f, err := file("index.html", func(w io.Writer) error { return page.Write(w, b.Case, opt) })
	return []File{f}, err
}
