package chapter

import (
	"io"
	"strings"
	"time"

	"sideport/timeline"
)

// Chapter is one entry, on the clock of the video. To is exclusive; one that is
// not after From means the chapter lasts until the next of its level or a higher
// one. Level is 0 for a top chapter, 1 for its children and so on.
type Chapter struct {
	ID       string // a step id, or empty
	From, To time.Duration
	Title    string
	Level    int
	Members  []timeline.Member // of a JSON file that was read, for WriteJSON to keep
}

// List is what goes into one file.
type List struct {
	Language string        // BCP 47 of the titles; empty when unknown
	Title    string        // of the video
	Summary  string        // plain text, paragraphs apart by a blank line; for the text to paste
	Total    time.Duration // length of the video
	Chapters []Chapter
	// GivenIDs says that ids are those of a file that was read and are written as they
	// are, one used before with a number behind it. Otherwise an id is a step's and
	// every one gets the number of its occurrence.
	GivenIDs bool
	Members  []timeline.Member // of a JSON file that was read, for WriteJSON to keep
}

// Writer is one form.
type Writer struct {
	Name string
	File string // the file's name in a case's folder
	Doc  string // one line
	// Suffix is how a file's name ends that is to be of this form; empty for what
	// chapters alone do not make.
	Suffix string
	// InCase says that a case's folder gets the form; the others are made on request.
	InCase bool
	Keeps  Keeps
	// Write writes l. Its error is of w, or of a list that cannot be arranged or
	// written.
	Write func(w io.Writer, l List) error
}

// Keeps says what a form holds beside starts and titles.
type Keeps struct{ Ends, Levels, IDs, Members bool }

// All lists the forms.
func All() []Writer {
	all := Keeps{Ends: true, Levels: true, IDs: true}
	return []Writer{
		{"WebVTT chapters", "chapters.vtt", "for the track element of a web page", ".vtt", true, all, WriteWebVTT},
		{"chapter lines", "chapters.txt", "a time and a title on each line, as video sites read them", ".txt", true, Keeps{}, WriteLines},
		{"Matroska chapters", "chapters.xml", "for mkvmerge", ".xml", true, Keeps{Ends: true, Levels: true}, WriteMatroska},
		{"JSON chapters", "chapters.json", "podcast-namespace 1.2.0", ".json", true, Keeps{Ends: true, Members: true}, WriteJSON},
		{"ffmetadata", "chapters.ffmeta", "for ffmpeg, which puts them into MP4 and other containers", ".ffmeta", true, Keeps{Ends: true}, WriteFFMetadata},
		{"simple chapters", "chapters.ogm.txt", "two lines a chapter, for programs that make Matroska or Ogg", ".ogm.txt", false, Keeps{}, WriteSimple},
		{"chapter table", "chapters.csv", "for a spreadsheet", ".csv", false, all, WriteCSV},
		{"description", "description.txt", "title, summary, chapters and caution, to paste under a video", "", true, Keeps{}, WriteDescription},
	}
}

// For returns the form that the name of a file ends as, in any case; of two the
// longer ending counts. It is false when none does.
func For(name string) (w Writer, ok bool) {
	name = strings.ToLower(name)
	for _, f := range All() {
		if f.Suffix != "" && strings.HasSuffix(name, f.Suffix) && len(f.Suffix) > len(w.Suffix) {
			w, ok = f, true
		}
	}
	return w, ok
}
