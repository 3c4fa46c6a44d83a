package format

import (
	"path"
	"slices"
	"strings"

	"sideport/timeline"
	"sideport/timeline/source"
	"sideport/timeline/timecode"
)

// Role is what a file is for in a case.
type Role int

// The roles. Recording is a list of times on the recording's own clock, Chapters
// the chapter file of the edited video, Narration the spoken words with times,
// Cuts the edit.
const (
	Recording Role = iota
	Chapters
	Narration
	Cuts
)

var roleNames = [...]string{"recording", "chapters", "narration", "cuts"}

// String is recording, chapters, narration or cuts.
func (r Role) String() string { return roleNames[r] }

// Reader reads one file format.
//
// Stamps, Chapters, Cues and Edit are nil where the format has no such material. They
// never fail: what cannot be read is reported at its place and reading goes on
// at the next line, row or block. They keep no state, so one Reader serves any
// number of goroutines. Input is a Source made by source.Decode; when Decode has
// reported an encoding error the Source is empty and there is nothing to read.
type Reader struct {
	Name       string   // lower case, unique: "webvtt"
	Doc        string   // one line for the list of formats
	Extensions []string // with the dot, lower case, the usual one first
	Roles      []Role   // what a file of this format can be for

	// Sniff reports whether the content looks like this format. Cost is a look
	// at the first lines.
	Sniff func(*source.Source) bool
	// Signed says that what Sniff looks for is a mark no other format here has;
	// only then does the content beat the file's extension.
	Signed bool

	Stamps   func(*source.Source, source.Report) []timeline.Stamp
	Chapters func(*source.Source, source.Report) []timeline.Chapter
	Cues     func(*source.Source, source.Report) []timeline.Cue
	// Members is what the file says of itself beside its chapters, its title under
	// the name title. It reports nothing; nil where the format says nothing.
	Members func(*source.Source) []timeline.Member
	// Edit reads an edit list. The rate counts the frames of a format that does not
	// hold its own; zero is unknown, which such a format reports once.
	Edit      func(*source.Source, timecode.Rate, source.Report) timeline.Edit
	NeedsRate bool // Edit cannot do without a rate
	// Plain is a cue's text without the format's markup; nil where there are no cues.
	Plain func(cueText string) string
}

// All returns the readers, those with the surer marks first. The list is new at
// each call.
func All() []Reader {
	return []Reader{
		webvttReader(),
		ffmetadataReader(),
		matroskaReader(),
		jsonReader(),
		otioReader(),
		subripReader(),
		csvStampsReader(),
		csvChaptersReader(),
		plainStampsReader(),
		descriptionReader(),
		simpleReader(), // its mark is sure, yet prose under .txt is a description's to speak of
		edlReader(),
	}
}

// For returns the reader for a file in a role, and false when none fits. In
// order of preference: the content carries a format's mark, whatever the
// extension says; extension and content agree; the extension fits, and the
// reader will say what is wrong; the content looks right. Ties go to the earlier
// reader of [All].
func For(role Role, src *source.Source) (Reader, bool) {
	extension := strings.ToLower(path.Ext(src.Name()))
	best, bestRank := Reader{}, 0
	for _, r := range All() {
		if !slices.Contains(r.Roles, role) {
			continue
		}
		if rank := r.rank(src, extension); rank > bestRank {
			best, bestRank = r, rank
		}
	}
	return best, bestRank > 0
}

// Find is For that reports a text in no format of the role; what is the role in
// words. A text that could not be decoded has been spoken of, and an empty one holds
// nothing to lose: neither is reported.
func Find(role Role, src *source.Source, what string, report source.Report) (Reader, bool) {
	if src.Unreadable() {
		return Reader{}, false
	}
	r, ok := For(role, src)
	if !ok && len(src.Text()) > 0 {
		report(source.Finding{
			Pos: src.Whole(), Severity: source.Error, Rule: "read/unknown-format",
			Message: "the " + what + " is in no format that is read here",
		})
	}
	return r, ok
}

// rank is how well a file fits r, from 0 for not at all to 4.
func (r Reader) rank(src *source.Source, extension string) int {
	named, sniffed := slices.Contains(r.Extensions, extension), r.Sniff(src)
	switch {
	case sniffed && r.Signed:
		return 4
	case named && sniffed:
		return 3
	case named:
		return 2
	case sniffed:
		return 1
	}
	return 0
}
