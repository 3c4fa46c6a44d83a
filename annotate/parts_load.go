package annotate

import (
	"errors"
	"fmt"
	"path/filepath"

	"sideport/timeline"
	"sideport/timeline/format"
	"sideport/timeline/media"
	"sideport/timeline/source"
)

// RecordingPart is one file of a recording that was kept in several.
type RecordingPart struct {
	Name string // the file's name inside the folder; empty when it is not there
	// Facts are the length, the start and the frame rate of the file, and nothing
	// else of what it says; empty when they cannot be read.
	Facts media.Facts
}

// stampList is a list of times: the stamps [from, to) and the part of the recording
// it was jotted in, an index into Parts.
type stampList struct{ from, to, part int }

// noPart marks a list that belongs to the recording as a whole.
const noPart = -1

// parts reads the files of recording.files and their lists of times. ownTimes says
// that at least one has a list of its own.
func (l *loader) parts() (ownTimes bool, err error) {
	for i, keys := range l.m.File.Recording.Files {
		var p RecordingPart
		if keys.Video.Set {
			if p.Name = l.find(keys.Video, "what this names", "of this name"); p.Name != "" {
				if p.Facts, err = l.partFacts(p.Name, keys.Video, i); err != nil {
					return false, err
				}
			}
		}
		l.m.Parts = append(l.m.Parts, p)
		if !keys.Times.Set {
			continue
		}
		ownTimes = true
		if name := l.named(keys.Times); name != "" {
			if err := l.stamps(name, i); err != nil {
				return false, err
			}
		}
	}
	return ownTimes, nil
}

// partFacts reads the i-th file. Its tags and titles are dropped at once: the file
// is never copied, so that what it says of a patient stays where it is.
func (l *loader) partFacts(name string, key Text, i int) (media.Facts, error) {
	facts, err := l.facts(name)
	if errors.Is(err, media.ErrUnknown) || errors.Is(err, media.ErrDamaged) {
		f := source.Finding{
			Pos: key.Pos, Path: key.Path, Severity: source.Caution, Rule: "media/damaged",
			Message: fmt.Sprintf("the container of part %d of the recording is damaged; what could be read of it counts", i+1),
		}
		if errors.Is(err, media.ErrUnknown) {
			f.Rule = "media/unknown-container"
			f.Message = fmt.Sprintf("neither length nor start can be read from part %d of the recording, which is no MP4, MOV, Matroska or WebM file", i+1)
			f.Hint = "starts beside the next file states where that one begins"
		}
		l.report(f)
		err = nil
	}
	if err != nil {
		return media.Facts{}, fmt.Errorf("reading %s: %w", name, err)
	}
	kept := media.Facts{
		Container: facts.Container, Duration: facts.Duration, Exact: facts.Exact,
		Created: facts.Created, CreatedIn: facts.CreatedIn, Start: facts.Start,
	}
	for _, t := range facts.Tracks {
		kept.Tracks = append(kept.Tracks, media.Track{Kind: t.Kind, Rate: t.Rate, Exact: t.Exact, Starts: t.Starts})
	}
	return kept, nil
}

// stamps reads a list of times.
func (l *loader) stamps(name string, part int) error {
	src, err := l.text(name)
	if err != nil {
		return err
	}
	if r, ok := format.Find(format.Recording, src, "list of times", l.report); ok {
		from := len(l.m.Stamps)
		l.m.Stamps = append(l.m.Stamps, readList(r, src, l.m.File.Recording.Rate, l.report)...)
		l.m.lists = append(l.m.lists, stampList{from: from, to: len(l.m.Stamps), part: part})
	}
	return nil
}

// readList reads a list of times. A reader turns a column of frame numbers into times
// by what its file says, so a rate stated elsewhere, which timecode is counted at, does
// not reach such a column: that is said where the file states none.
func readList(r format.Reader, src *source.Source, rate Text, report source.Report) []timeline.Stamp {
	return r.Stamps(src, func(f source.Finding) {
		if f.Rule == "time/no-rate" && rate.Set {
			f.Hint += "; the rate stated outside the file is that of timecode"
		}
		report(f)
	})
}

// facts reads what a container says of itself.
func (l *loader) facts(name string) (media.Facts, error) {
	f, err := l.root.Open(filepath.FromSlash(name))
	if err != nil {
		return media.Facts{}, fmt.Errorf("opening %s: %w", name, err)
	}
	defer func() { _ = f.Close() }()
	info, err := f.Stat()
	if err != nil {
		return media.Facts{}, fmt.Errorf("opening %s: %w", name, err)
	}
	return media.Read(f, info.Size())
}
