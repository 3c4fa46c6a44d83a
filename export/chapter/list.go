package chapter

import (
	"io"
	"time"
)

// Chapter is one entry, on the clock of the video. To is exclusive; one that is
// not after From means the chapter lasts until the next of its level or a higher
// one. Level is 0 for a top chapter, 1 for its children and so on.
type Chapter struct {
	ID       string // a step id, or empty
	From, To time.Duration
	Title    string
	Level    int
}

// List is what goes into one file.
type List struct {
	Language string        // BCP 47 of the titles; empty when unknown
	Title    string        // of the video
	Summary  string        // plain text, paragraphs apart by a blank line; for the text to paste
	Total    time.Duration // length of the video
	Chapters []Chapter
}

// Writer is one form.
type Writer struct {
	Name string
	File string // the file's name in a case's folder
	Doc  string // one line
	// Write writes l. Its error is of w, or of a list that cannot be arranged.
	Write func(w io.Writer, l List) error
}

// All lists the forms.
func All() []Writer {
	return []Writer{
		{"WebVTT chapters", "chapters.vtt", "for the track element of a web page", WriteWebVTT},
		{"chapter lines", "chapters.txt", "a time and a title on each line, as video sites read them", WriteLines},
		{"Matroska chapters", "chapters.xml", "for mkvmerge", WriteMatroska},
		{"JSON chapters", "chapters.json", "podcast-namespace 1.2.0", WriteJSON},
		{"ffmetadata", "chapters.ffmeta", "for ffmpeg, which puts them into MP4 and other containers", WriteFFMetadata},
		{"description", "description.txt", "title, summary, chapters and caution, to paste under a video", WriteDescription},
	}
}
