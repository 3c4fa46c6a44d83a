package annotate

import (
	"fmt"
	"strings"
	"time"

	"sideport/timeline/media"
	"sideport/timeline/source"
	"sideport/timeline/timecode"
)

// What a part is called is never quoted: recorders and theatre systems put names and
// dates into file names, and findings are exported.

// basisWords say what the places of the files rest on.
var basisWords = [...]string{
	media.NoBasis: "nothing", media.ByStatement: "the starts that case.yaml gives", media.ByCode: "the timecode they carry",
	media.ByCreation: "the moments they were made", media.ByName: "the numbers in their names and their lengths", media.ByList: "the order listed and their lengths",
}

// fileAt is the place of a part in case.yaml.
func fileAt(m *Material, part int) source.Pos {
	keys := m.File.Recording.Files[part]
	if keys.Video.Set {
		return keys.Video.Pos
	}
	return keys.pos
}

// tell reports where the files lie and why, and what is odd about it.
func (f *recordingFiles) tell(m *Material, report source.Report) {
	say := func(part int, severity source.Severity, rule, hint, format string, args ...any) {
		report(source.Finding{Pos: fileAt(m, part), Severity: severity, Rule: rule, Message: fmt.Sprintf(format, args...), Hint: hint})
	}
	first := f.Parts[0].Part
	if len(f.Parts) > 1 {
		say(first, source.Note, "time/part-offset", "", "the files of the recording are placed by %s%s: %s", basisWords[f.Basis], f.manner(), f.list())
	}
	for _, j := range f.Joints {
		if !j.Odd {
			continue
		}
		ms := j.Gap.Abs().Round(time.Millisecond) / time.Millisecond
		size := fmt.Sprintf("%d.%03d s", ms/1000, ms%1000)
		if !j.Rate.IsZero() {
			size = fmt.Sprintf("%d frames (%s at %s a second)", max(j.Frames, -j.Frames), size, j.Rate)
		}
		if j.Gap > 0 {
			say(j.After, source.Caution, "time/part-gap", "", "%s of the recording are missing between part %d and part %d by %s", size, j.Before+1, j.After+1, basisWords[f.Basis])
		} else {
			say(j.After, source.Caution, "time/part-overlap", "", "%s of the recording lie in part %d and again in part %d by %s", size, j.Before+1, j.After+1, basisWords[f.Basis])
		}
	}
	for _, n := range f.Notes {
		f.remark(n, first, say)
	}
}

// manner says how sure a basis is.
func (f *recordingFiles) manner() string {
	var out []string
	for _, n := range f.Notes {
		switch n.Topic {
		case media.CreationSeconds:
			out = append(out, "known to the second")
		case media.CreationIsEnd:
			out = append(out, "which fit the ends of the files")
		case media.CreationUnclear:
			out = append(out, "which fit the lengths neither as starts nor as ends and are taken for starts")
		}
	}
	if len(out) == 0 {
		return ""
	}
	return " (" + strings.Join(out, ", ") + ")"
}

// list is the places in words.
func (f *recordingFiles) list() string {
	var out []string
	for _, p := range f.Parts {
		if p.Known {
			out = append(out, fmt.Sprintf("part %d from %s", p.Part+1, timecode.Format(p.Offset)))
		}
	}
	return strings.Join(out, ", ")
}

// remark reports one remark on the bases.
func (f *recordingFiles) remark(n media.Remark, first int, say func(part int, severity source.Severity, rule, hint, format string, args ...any)) {
	const rule = "time/part-offset"
	switch n.Topic {
	case media.CodeRestarts:
		say(first, source.Note, rule, "", "the timecodes of the files are no count that runs on from one to the next; they tell no order")
	case media.CreationMixed:
		say(first, source.Note, rule, "", "the files state the moments they were made in different ways, which are not compared")
	case media.CreationCrowded:
		say(first, source.Note, rule, "", "the files were made closer together than they are long, as copies are; these moments tell no order")
	case media.LengthUnknown:
		say(n.Part, source.Caution, rule, "starts beside a file states where it begins", "how long part %d of the recording lasts is not known, so the place of what follows is not known either", n.Part+1)
	case media.OrderDiffers:
		if n.Basis == media.ByList {
			say(first, source.Note, rule, "", "the files are listed in another order")
			return
		}
		say(first, source.Caution, rule, "starts beside each file settles it", "%s put the files in another order", basisWords[n.Basis])
	case media.PlaceDiffers:
		later := "later"
		if n.By < 0 {
			later = "earlier"
		}
		say(n.Part, source.Caution, rule, "starts beside each file settles it", "part %d of the recording begins %s %s by %s", n.Part+1, timecode.Format(n.By.Abs()), later, basisWords[n.Basis])
	}
}

// lost says that a list cannot be placed.
func (f *recordingFiles) lost(m *Material, list stampList, report source.Report) {
	n := list.to - list.from
	if n == 0 {
		return
	}
	left := fmt.Sprintf("the %d times of its list are", n)
	if n == 1 {
		left = "the one time of its list is"
	}
	report(source.Finding{
		Pos: m.File.Recording.Files[list.part].Times.Pos, Severity: source.Caution, Rule: "time/part-offset",
		Message: fmt.Sprintf("where part %d lies in the recording is not known; %s left out", list.part+1, left),
		Hint:    "starts beside the file states where it begins",
	})
}

// proposeStart says that a file states when it was made where nothing states the
// start of the recording. The moment itself is in no finding, and nothing takes it
// for the start without case.yaml.
func (f *recordingFiles) proposeStart(m *Material, report source.Report) {
	if len(f.Parts) == 0 {
		return
	}
	first := f.Parts[0].Part
	if m.Parts[first].Facts.Created == "" || m.File.Recording.Files[first].Starts.Set {
		return
	}
	report(source.Finding{
		Pos: fileAt(m, first), Severity: source.Note, Rule: "time/part-offset",
		Message: fmt.Sprintf("part %d of the recording states when it was made, which may be its start, its end or the moment of a copy; the first stamp counts as recording zero", first+1),
		Hint:    "starts beside the file accepts that moment, or corrects it",
	})
}

// rateHint tells how the missing rate is stated, with the one that the files of the
// recording count at where they agree.
func (m *Material) rateHint() string {
	if m.loose() {
		return "--rate 25, or \"29.97 drop\", says it"
	}
	label := ""
	for _, p := range m.Parts {
		rate := p.Facts.Start.Rate
		if rate.IsZero() || label != "" && label != rate.String() {
			label = ""
			break
		}
		label = rate.String()
	}
	if label == "" {
		return "recording: {clock: timecode, rate: 25} in case.yaml"
	}
	return "the timecode of the recording's files runs at " + label + "; recording: {clock: timecode, rate: " + label + "} in case.yaml says so of the list"
}
