package annotate_test

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"sideport/annotate"

	"github.com/google/go-cmp/cmp"
)

func TestLoadNeedsACaseFile(t *testing.T) {
	if _, err := annotate.Load(t.TempDir(), "case"); !errors.Is(err, annotate.ErrNoCase) {
		t.Errorf("Load of an empty folder: %v, want %v", err, annotate.ErrNoCase)
	}
	if _, err := annotate.Load(filepath.Join(t.TempDir(), "nowhere"), "case"); err == nil || errors.Is(err, annotate.ErrNoCase) {
		t.Errorf("Load of no folder: %v, want an error of its own", err)
	}
}

const (
	vtt  = "WEBVTT\n\n00:01.000 --> 00:09.000\nRhexis\n"
	srt  = "1\n00:00:01,000 --> 00:00:02,000\nNow the rhexis.\n"
	list = "0:10 rhexis\n"
)

// The files of design section 4, under their default names and under others.
func TestFiles(t *testing.T) {
	tests := []struct {
		name  string
		keys  string
		files map[string]string
		want  string // stamps, chapters, cues, notes, video
		found []string
	}{
		{"none", "", nil, "0 0 0 - -", nil},
		{"default names", "", map[string]string{"recording.txt": list, "chapters.vtt": vtt, "narration.srt": srt, "notes.md": "# A\n"}, "1 1 1 notes -", nil},
		{"other default names", "", map[string]string{"recording.csv": "time,step\n0:10,rhexis\n", "chapters.txt": "0:00 Rhexis\n0:20 Hydro\n1:00 Wash\n", "narration.vtt": vtt}, "1 3 1 - -", nil},
		{"default names in any case", "", map[string]string{"Recording.TXT": list, "Chapters.VTT": vtt}, "1 1 0 - -", nil},
		{"named", "files: {recording: [times.txt], chapters: marks/c.vtt, notes: talk.md}\nnarration: {file: words.srt}\n",
			map[string]string{"times.txt": list, "marks/c.vtt": vtt, "talk.md": "# A\n", "words.srt": srt, "recording.txt": "0:20 hydro\n0:30 wash\n"}, "1 1 1 notes -", nil},
		{"two lists of times", "files: {recording: [a.txt, b.txt]}\n", map[string]string{"a.txt": list, "b.txt": "0:20 wash\n"}, "2 0 0 - -", nil},
		{"one list without brackets", "files: {recording: a.txt}\n", map[string]string{"a.txt": list}, "1 0 0 - -", nil},
		{"two files for each role", "", map[string]string{
			"recording.txt": list, "recording.csv": "time,step\n0:10,rhexis\n", "chapters.vtt": vtt, "chapters.txt": "0:00 Rhexis\n",
			"narration.srt": srt, "narration.vtt": vtt, "video.mp4": "", "video.webm": "",
		}, "0 0 0 - -", []string{
			"case/case.yaml: error: several files could be the chapter file: chapters.txt, chapters.vtt; none is read [read/several-files]",
			"case/case.yaml: error: several files could be the list of times: recording.csv, recording.txt; none is read [read/several-files]",
			"case/case.yaml: error: several files could be the narration: narration.srt, narration.vtt; none is read [read/several-files]",
			"case/case.yaml: error: several files could be the video: video.mp4, video.webm; none is read [read/several-files]",
		}},
		{"a key settles it", "files: {chapters: chapters.vtt}\n", map[string]string{"chapters.vtt": vtt, "chapters.txt": "0:00 Rhexis\n"}, "0 1 0 - -", nil},
		{"what lies beside a video is none", "", map[string]string{"video.srt": srt, "video.jpg": "", "narration.wav": "", "narration.srt": srt}, "0 0 1 - -", nil},
		{"outside", "files: {chapters: ../case/chapters.vtt, notes: /etc/notes.md, recording: ['..\\list.txt']}\n", map[string]string{"chapters.vtt": vtt}, "0 0 0 - -", []string{
			`case/case.yaml:4:19: error: "../case/chapters.vtt" is not a file inside the case folder; it is not read [read/outside-folder]`,
			`case/case.yaml:4:48: error: "/etc/notes.md" is not a file inside the case folder; it is not read [read/outside-folder]`,
			`case/case.yaml:4:75: error: "..\\list.txt" is not a file inside the case folder; it is not read [read/outside-folder]`,
		}},
		{"not there", "files: {chapters: c.vtt}\nvideo: {file: v.mp4}\n", nil, "0 0 0 - -", []string{
			`case/case.yaml:4:19: error: there is no file "c.vtt" in the case folder [read/no-file]`,
			`case/case.yaml:5:15: error: there is no file "v.mp4" in the case folder [read/no-file]`,
		}},
		{"an edit list", "", map[string]string{"cuts.edl": "TITLE: A\n"}, "0 0 0 - -",
			[]string{"case/cuts.edl:1:1: error: the edit list counts frames and does not say how many make a second; it is not read [time/no-rate]"}},
		{"an edit list in no format", "files: {cuts: cuts.aaf}\n", map[string]string{"cuts.aaf": "AAF\n"}, "0 0 0 - -",
			[]string{"case/cuts.aaf: error: the edit list is in no format that is read here [read/unknown-format]"}},
		{"two edit lists", "", map[string]string{"cuts.edl": "TITLE: A\n", "cuts.otio": "{}\n"}, "0 0 0 - -",
			[]string{"case/case.yaml: error: several files could be the edit list: cuts.edl, cuts.otio; none is read [read/several-files]"}},
		{"no format", "files: {chapters: picture.png}\n", map[string]string{"picture.png": "PNG\n"}, "0 0 0 - -",
			[]string{"case/picture.png: error: the chapter file is in no format that is read here [read/unknown-format]"}},
		{"an empty file holds nothing to lose", "", map[string]string{"chapters.txt": "", "recording.txt": ""}, "0 0 0 - -", nil},
		{"no text", "", map[string]string{"notes.md": "a\xff\n"}, "0 0 0 notes -",
			[]string{"case/notes.md:1:2: error: the text is neither UTF-8 nor UTF-16 with a byte order mark (byte 0xFF); nothing of the file is read [read/encoding]"}},
		{"a container that is none", "", map[string]string{"video.mp4": "no boxes here"}, "0 0 0 - video.mp4",
			[]string{"case/video.mp4: caution: neither length nor tags can be read from this video: not an MP4, MOV, Matroska or WebM file [media/unknown-container]"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			files := map[string]string{"case.yaml": head + tt.keys}
			for name, text := range tt.files {
				files[name] = text
			}
			m := load(t, files)
			notes, video := "-", "-"
			if m.Notes != nil {
				notes = "notes"
			}
			if m.VideoFile != "" {
				video = m.VideoFile
			}
			got := strings.Join([]string{itoa(len(m.Stamps)), itoa(len(m.Chapters)), itoa(len(m.Cues)), notes, video}, " ")
			if got != tt.want {
				t.Errorf("stamps, chapters, cues, notes, video = %s, want %s", got, tt.want)
			}
			if diff := cmp.Diff(tt.found, faults(m.Findings)); diff != "" {
				t.Errorf("findings (-want +got):\n%s", diff)
			}
		})
	}
}

func itoa(n int) string { return string(rune('0' + n)) }

// A link that leads out of the folder is not followed.
func TestLinkOutOfTheFolder(t *testing.T) {
	dir, other := t.TempDir(), filepath.Join(t.TempDir(), "c.vtt")
	for path, text := range map[string]string{filepath.Join(dir, "case.yaml"): head + "files: {chapters: c.vtt}\n", other: vtt} {
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Symlink(other, filepath.Join(dir, "c.vtt")); err != nil {
		t.Skip("no links here: ", err)
	}
	m, err := annotate.Load(dir, "case")
	if err == nil && len(m.Chapters) > 0 {
		t.Error("a file outside the folder was read")
	}
}

func TestKeys(t *testing.T) {
	const need = "sideport: 1\ntitle: A case\n"
	tests := []struct {
		name, text string
		want       []string
	}{
		{"nothing", "", []string{
			`case/case.yaml: error: the key "procedure" is missing [read/missing-key]`,
			`case/case.yaml: error: the key "sideport" is missing [read/missing-key]`,
			`case/case.yaml: error: the key "title" is missing [read/missing-key]`,
		}},
		{"enough", head, nil},
		{"the procedure in any case", need + "procedure: MSICS\n", nil},
		{"another version", "sideport: 2\ntitle: A case\nprocedure: msics\n", []string{`case/case.yaml:1:11: error: the file says version "2"; this program reads version 1 [read/version]`}},
		{"no procedure of ours", need + "procedure: lasik\n", []string{`case/case.yaml:3:12: error: unknown procedure "lasik"; known are msics, phaco [read/unknown-procedure]`}},
		{"unknown key", head + "titel: B\n", []string{`case/case.yaml:4:1: error: unknown key "titel"; the nearest known key is "title" [read/unknown-key]`}},
		{"unknown key inside", head + "patient: {name: B}\n", []string{`case/case.yaml:4:11: error: unknown key "name" [read/unknown-key]`}},
		{"unknown key of a step", head + "steps:\n  - step: capsulotomy\n    vales: {}\n", []string{`case/case.yaml:6:5: error: unknown key "vales"; the nearest known key is "values" [read/unknown-key]`}},
		{"a key twice", head + "summary: a\nsummary: b\n", []string{`case/case.yaml:5:1: error: the key "summary" stands twice; the first one is read [read/duplicate-key]`}},
		{"a list where one value stands", head + "summary: [a]\n", []string{`case/case.yaml:4:10: error: expected a single value, found a list [read/wrong-type]`}},
		{"yes and no", head + "consent: {recorded: yes}\nteam: {supervised: No}\nsteps: [{step: capsulotomy, shown: FALSE}]\n", nil},
		{"neither yes nor no", head + "consent: {recorded: perhaps}\n", []string{`case/case.yaml:4:21: error: "perhaps" is none of the words known here; known are true, false [read/unknown-word]`}},
		{"words in any case", head + "purpose: Review\nconsent: {scope: PUBLIC}\npatient: {sex: F, eye: OD, cataract: {type: [Nuclear, White]}}\n", nil},
		{"a word of another list", head + "purpose: public\n", []string{`case/case.yaml:4:10: error: "public" is none of the words known here; known are channel, conference, curriculum, review [read/unknown-word]`}},
		{"a language", head + "languages: [en, hi-Deva, zz--]\n", []string{`case/case.yaml:4:26: error: "zz--" is no BCP 47 language tag [read/language]`}},
		{"the steps track", head + "steps-track: first 0s\n", []string{`case/case.yaml:4:14: error: steps-track is "first 0s"; known are whole and a stretch such as first 8s [read/unknown-word]`}},
		{"a narration's language", head + "narration: {language: ../../away}\n", []string{`case/case.yaml:4:23: error: "../../away" is no BCP 47 language tag [read/language]`}},
		{"a time zone", head + "recording: {zone: Moon/Base}\n", []string{`case/case.yaml:4:19: error: recording.zone is "Moon/Base", which is no time zone of the IANA database such as Asia/Kolkata [read/unknown-word]`}},
		{"an open question", head + "questions: [{ask: a, answers: [], right: 1}, {ask: b}]\n", nil},
		{"a question", head + "questions: [{ask: a, answers: [b, c], right: 3}]\n", []string{`case/case.yaml:4:46: error: right is "3"; it is the number of the right answer, from 1 to 2 [read/question]`}},
		{"nth", head + "steps: [{step: capsulotomy, nth: 0}]\n", []string{`case/case.yaml:4:34: error: nth is "0"; a whole number from 1 is read here [read/wrong-type]`}},
		{"a waiver", head + "waivers: [{rule: range/vacuum, by: T3}]\n", []string{`case/case.yaml:4:11: error: the key "reason" is missing in this entry [read/missing-key]`}},
		{"a step without a name", head + "steps: [{variant: ccc}]\n", []string{`case/case.yaml:4:9: error: the key "step" is missing in this entry [read/missing-key]`}},
		{"an entry with nothing in it", head + "events:\n  -\n", []string{`case/case.yaml:5:4: error: the key "event" is missing in this entry [read/missing-key]`}},
		{"an entry that is a word", head + "steps: [capsulotomy]\n", []string{"case/case.yaml:4:9: error: expected keys with values, found a single value [read/wrong-type]"}},
		{"no YAML", "sideport: [\n", []string{
			`case/case.yaml:2:1: error: the YAML cannot be read here: did not find expected node content [read/syntax]`,
		}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			m := load(t, map[string]string{"case.yaml": tt.text})
			if diff := cmp.Diff(tt.want, printed(m.Findings, "")); diff != "" {
				t.Errorf("(-want +got):\n%s", diff)
			}
		})
	}
}

// What case.yaml does not say has the defaults of design section 4, and a word that
// is none of a list never widens what is shown to whom.
func TestDefaults(t *testing.T) {
	type said struct {
		Languages                   []string
		Purpose, Page, Scope, Sound string
		Recorded                    bool
		StepsCue                    time.Duration
	}
	tests := []struct {
		name, keys string
		want       said
	}{
		{"nothing said", "", said{[]string{"en"}, "curriculum", "explained", "none", "", false, 8 * time.Second}},
		{"review shows all", "purpose: review\n", said{[]string{"en"}, "review", "all", "none", "", false, 8 * time.Second}},
		{"review that does not", "purpose: review\npage: {findings: none}\n", said{[]string{"en"}, "review", "none", "none", "", false, 8 * time.Second}},
		{"all said", "languages: [hi, en]\npurpose: Channel\npage: {findings: ALL}\nconsent: {scope: course, recorded: yes, sound: commentary}\nsteps-track: first 12s\n",
			said{[]string{"hi", "en"}, "channel", "all", "course", "commentary", true, 12 * time.Second}},
		{"the whole step", "steps-track: whole\n", said{[]string{"en"}, "curriculum", "explained", "none", "", false, 0}},
		{"words that are none", "purpose: fun\npage: {findings: some}\nconsent: {scope: everyone, recorded: perhaps, sound: music}\nsteps-track: long\n",
			said{[]string{"en"}, "curriculum", "explained", "none", "", false, 8 * time.Second}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			c := resolve(t, map[string]string{"case.yaml": head + tt.keys})
			got := said{c.Languages, c.Purpose, c.ShowOnPage, c.Consent.Scope, c.Consent.Sound, c.Consent.Recorded, c.StepsCueLength()}
			if diff := cmp.Diff(tt.want, got); diff != "" {
				t.Errorf("(-want +got):\n%s", diff)
			}
		})
	}
}

// A case's own ranges take the place of built-in rows, and a finding says whose
// range spoke: design section 6, point 7.
func TestOwnRanges(t *testing.T) {
	files := map[string]string{
		"case.yaml": head + "files: {ranges: ours.yaml}\nsteps: [{step: cortex-aspiration, variant: simcoe, values: {bottle-height: 62 cm}}]\n",
		"ours.yaml": "whose: our unit\nrows:\n  - {parameter: bottle-height, steps: [cortex-aspiration], procedure: msics, when: [variant = simcoe, step.acm-insertion = no], accept: 40..55}\n  - {parameter: bottle, accept: 1..2}\n",
	}
	c := resolve(t, files)
	v := value(t, c, "bottle-height")
	if len(v.Judgement.Findings) != 1 || !strings.Contains(v.Judgement.Findings[0].Message, "our unit") {
		t.Errorf("findings = %v, want one that says whose range it is", printed(v.Judgement.Findings, ""))
	}
	want := []string{`case/ours.yaml:4:17: error: unknown parameter "bottle" [read/ranges]`}
	if diff := cmp.Diff(want, printed(c.Findings, "read/")); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	delete(files, "ours.yaml")
	files["case.yaml"] = strings.Replace(files["case.yaml"], "files: {ranges: ours.yaml}\n", "", 1)
	if got := value(t, resolve(t, files), "bottle-height").Judgement.Findings; len(got) != 0 {
		t.Errorf("by the built-in range: %v, want nothing", printed(got, ""))
	}
}
