package rules_test

import (
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"sideport/annotate"
	"sideport/annotate/ranges"
	"sideport/annotate/rules"
	"sideport/timeline/source"
	"sideport/timeline/timelinetest"

	"github.com/google/go-cmp/cmp"
)

const withheld = "; every output of the case is withheld [privacy/"

func TestPrivacyOfFileNames(t *testing.T) {
	const date = " reads like a date" + withheld + "file-name]"
	expect(t, "privacy/file-name", []sample{
		{"default names", map[string]string{"case.yaml": head, "recording.txt": "1:00 rhexis\n", "notes.md": "# A\n"}, nil},
		{"a date", map[string]string{"case.yaml": head + "files: {notes: notes-2026-03-01.md}\n", "notes-2026-03-01.md": "# A\n"}, []string{
			"case/notes-2026-03-01.md: stop: the name of a file" + date}},
		{"a year alone", map[string]string{"case.yaml": head + "files: {notes: notes-2026.md}\n", "notes-2026.md": "# A\n"}, nil},
		{"a folder inside the case's", map[string]string{"case.yaml": head + "files: {notes: patient Verdane/notes.md}\n", "patient Verdane/notes.md": "# A\n"}, []string{
			"case/patient Verdane/notes.md: stop: the name of a file reads like a name" + withheld + "file-name]"}},
		{"a file that is not there", map[string]string{"case.yaml": head + "files: {notes: MRN_00731.md}\n"}, []string{
			"case/case.yaml:4:16: stop: the name of a file reads like a medical record number" + withheld + "file-name]"}},
		{"an edit list", map[string]string{"case.yaml": head + "files: {cuts: 2026-03-01.edl}\n", "2026-03-01.edl": ""}, []string{
			"case/2026-03-01.edl: stop: the name of a file" + date}},
		{"the video", map[string]string{"case.yaml": head + "video: {file: 20260301_204518.mp4}\n", "20260301_204518.mp4": ""}, []string{
			"case/case.yaml: stop: the name of the video" + date}},
		{"a private word in an escape, which the text of case.yaml does not show", map[string]string{"case.yaml": head + "private-words: [Zubrik]\nfiles: {notes: \"by_zu\\x62rik.md\"}\n", "by_zubrik.md": "# A\n"}, []string{
			"case/by_zubrik.md: stop: the name of a file holds one of the case's private words" + withheld + "file-name]"}},
	})
}

// A name is said once: where case.yaml writes it, it has a line.
func TestPrivateWordsOfFileNamesAreSaidOnce(t *testing.T) {
	const words = "private-words: [Zubrik]\n"
	for _, tt := range []struct {
		name, lines string
		files       []string
	}{
		{"the video", "video: {file: MARK.webm}\n", []string{"MARK.webm"}},
		{"a video that is not there", "video: {file: MARK.webm}\n", nil},
		{"the notes", "files: {notes: by_MARK.md}\n", []string{"by_MARK.md"}},
		{"one list of several", "files: {recording: [a.txt, 'of MARK.txt']}\n", []string{"a.txt", "of MARK.txt"}},
		{"a folder inside the case's", "files: {notes: MARK/notes.md}\n", []string{"MARK/notes.md"}},
	} {
		text := head + words + tt.lines
		files := map[string]string{"case.yaml": strings.ReplaceAll(text, mark, "zubrik")}
		for _, name := range tt.files {
			files[strings.ReplaceAll(name, mark, "zubrik")] = "1:00 rhexis\n"
		}
		var got []string
		for _, f := range found(t, files) {
			if strings.Contains(f.Message, "private words") {
				got = append(got, f.Pos.String()+" "+f.Rule)
			}
		}
		want := []string{places("case.yaml", text, "zubrik")[0] + " privacy/text"}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%s (-want +got):\n%s", tt.name, diff)
		}
	}
}

// What a hint offers is there: a position only where there is one, acceptance only
// of what a waiver accepts, and a waiver as the hint describes it does accept.
func TestHintsOfFileNames(t *testing.T) {
	const accept = "waivers: [{rule: privacy/file-name, value: \"PLACE\", reason: invented, by: T3}]\n"
	for _, tt := range []struct {
		name, folder, lines, file string
		place, hint               string
	}{
		{"a file", "case", "files: {notes: a-2026-03-01.md}\n", "a-2026-03-01.md", "a-2026-03-01.md", "the file this finding stands at"},
		{"the video", "case", "video: {file: 20260301_204518.mp4}\n", "20260301_204518.mp4", "case.yaml", "the file this finding stands at"},
		{"the folder", "2026-03-01", "", "", "case.yaml", "the file this finding stands at"},
		{"a file that is not there", "case", "files: {notes: MRN_00731.md}\n", "", "case.yaml:4:16", "its position"},
	} {
		files := map[string]string{"case.yaml": head + tt.lines + strings.Replace(accept, "PLACE", tt.place, 1)}
		if tt.file != "" {
			files[tt.file] = "# A\n"
		}
		c := resolve(t, folder(t, tt.folder, files))
		n := 0
		for _, f := range rules.Waive(rules.Check(c), c) {
			if f.Rule != "privacy/file-name" {
				continue
			}
			n++
			if !f.Waived || !strings.Contains(f.Hint, tt.hint) || f.Pos.IsValid() != strings.Contains(f.Hint, "position") {
				t.Errorf("%s: waived = %t by a waiver for %s, hint %q", tt.name, f.Waived, tt.place, f.Hint)
			}
		}
		if n != 1 {
			t.Errorf("%s: %d findings, want 1", tt.name, n)
		}
	}
	c := resolve(t, folder(t, "of Zubrik", map[string]string{"case.yaml": head + "private-words: [Zubrik]\n"}))
	for _, f := range rules.Check(c) {
		if f.Rule == "privacy/file-name" && f.Hint != "change the name; no waiver accepts a private word" {
			t.Errorf("a private word: hint %q", f.Hint)
		}
	}
}

func TestPrivacyOfTheFoldersName(t *testing.T) {
	for _, tt := range []struct {
		name string
		want []string
	}{
		{"msics-chevron", nil},
		{"case 12", nil},
		{"MRN 00731", []string{"case/case.yaml: stop: the name of the case folder reads like a medical record number" + withheld + "file-name]"}},
		{"2026-03-01", []string{"case/case.yaml: stop: the name of the case folder reads like a date" + withheld + "file-name]"}},
	} {
		c := resolve(t, folder(t, tt.name, map[string]string{"case.yaml": head}))
		if diff := cmp.Diff(tt.want, only(source.Sort(rules.Check(c)), "privacy/file-name")); diff != "" {
			t.Errorf("folder %q (-want +got):\n%s", tt.name, diff)
		}
	}
}

// video makes a video of a tenth of a second with the given tags, by a writer that
// is not ours.
func video(t *testing.T, file string, args ...string) {
	t.Helper()
	ffmpeg := timelinetest.NeedTool(t, "ffmpeg", "ffmpeg")
	codec := "mpeg4"
	if strings.HasSuffix(file, ".webm") {
		codec = "libvpx"
	}
	all := append([]string{"-v", "error", "-y", "-f", "lavfi", "-i", "color=gray:s=64x48:d=0.1:r=10"}, args...)
	if out, err := exec.Command(ffmpeg, append(all, "-c:v", codec, file)...).CombinedOutput(); err != nil {
		t.Fatalf("ffmpeg: %v: %s", err, out)
	}
}

// The tags are written by the muxers of FFmpeg: what an editor leaves in a file.
func TestPrivacyOfContainerTags(t *testing.T) {
	created := []string{"-metadata", "creation_time=2026-03-01T09:12:00Z"}
	place := []string{"-metadata", "location=+27.7172+085.3240/"}
	title := []string{"-metadata", "title=Patient name: Asha Verdane"}
	for _, tt := range []struct {
		name, file string
		args       []string
		want       []string // classes, in words
	}{
		{"mp4, no tags", "video.mp4", nil, nil},
		{"webm, no tags", "video.webm", nil, nil},
		{"mp4, the moment", "video.mp4", created, []string{"creation_time reads like a date"}},
		{"webm, the moment", "video.webm", created, []string{"creation_time reads like a date"}},
		{"mp4, the place", "video.mp4", place, []string{"reads like a place smaller than a state"}},
		{"webm, the place", "video.webm", place, []string{"reads like a place smaller than a state"}},
		{"mp4, a title", "video.mp4", title, []string{"title reads like a name"}},
		{"webm, a title", "video.webm", title, []string{"title reads like a name"}},
		{"mp4, all", "video.mp4", slices.Concat(created, place, title), []string{"creation_time reads like a date", "place smaller", "reads like a name"}},
		{"a title of the trade", "video.mp4", []string{"-metadata", "title=Chevron tunnel, case 12"}, nil},
		{"a private word", "video.webm", []string{"-metadata", "comment=cut by zubrik"}, []string{"holds one of the case's private words"}},
		{"a track's name", "video.webm", []string{"-metadata:s:v", "title=MRN 00731"}, []string{"reads like a medical record number"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			dir := folder(t, "case", map[string]string{"case.yaml": head + "private-words: [Zubrik]\n"})
			video(t, filepath.Join(dir, tt.file), tt.args...)
			got := only(source.Sort(rules.Check(resolve(t, dir))), "privacy/")
			for _, want := range tt.want {
				if !slices.ContainsFunc(got, func(f string) bool { return strings.Contains(f, want) }) {
					t.Errorf("nothing says %q: %v", want, got)
				}
			}
			if (len(tt.want) == 0) != (len(got) == 0) {
				t.Errorf("findings = %v, want %v", got, tt.want)
			}
			for _, f := range got {
				if !strings.HasPrefix(f, "case/"+tt.file+": stop: the container tag ") || !strings.HasSuffix(f, "[privacy/tags]") {
					t.Errorf("finding %q is no stop of the video's own", f)
				}
				for _, secret := range []string{"2026", "27.7", "Verdane", "zubrik", "00731"} {
					if strings.Contains(f, secret) {
						t.Errorf("finding %q repeats %q", f, secret)
					}
				}
			}
		})
	}
}

func TestPrivacyOfContainerChapters(t *testing.T) {
	for _, name := range []string{"video.mp4", "video.webm"} {
		dir := folder(t, "case", map[string]string{"case.yaml": head})
		list := filepath.Join(t.TempDir(), "chapters.txt")
		text := ";FFMETADATA1\n[CHAPTER]\nTIMEBASE=1/1000\nSTART=0\nEND=50\ntitle=Rhexis\n[CHAPTER]\nTIMEBASE=1/1000\nSTART=50\nEND=100\ntitle=MRN 00731\n"
		if err := os.WriteFile(list, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		video(t, filepath.Join(dir, name), "-i", list, "-map_metadata", "1", "-map_chapters", "1")
		got := only(rules.Check(resolve(t, dir)), "privacy/")
		want := []string{"case/" + name + ": stop: the container tag chapter reads like a medical record number" + withheld + "tags]"}
		if diff := cmp.Diff(want, slices.Compact(got)); diff != "" {
			t.Errorf("%s (-want +got):\n%s", name, diff)
		}
	}
}

func TestPrivacyOfContainersThatCannotBeRead(t *testing.T) {
	const said = ": stop: not all of the container's tags could be examined; every output of the case is withheld [privacy/tags]"
	expect(t, "privacy/tags", []sample{
		{"no video", with("", ""), nil},
		{"no container", map[string]string{"case.yaml": head, "video.mp4": "nothing of the kind"}, []string{"case/video.mp4" + said}},
		{"an empty file", map[string]string{"case.yaml": head, "video.webm": ""}, []string{"case/video.webm" + said}},
	})
	dir := folder(t, "case", map[string]string{"case.yaml": head})
	file := filepath.Join(dir, "video.mp4")
	video(t, file, "-movflags", "+faststart")
	raw, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	at := slices.Index(raw, 'm')
	for ; at >= 0 && string(raw[at:at+4]) != "mvhd"; at++ {
	}
	if err := os.WriteFile(file, raw[:at+60], 0o644); err != nil { // inside the header
		t.Fatal(err)
	}
	if diff := cmp.Diff([]string{"case/video.mp4" + said}, only(rules.Check(resolve(t, dir)), "privacy/tags")); diff != "" {
		t.Errorf("a file cut short (-want +got):\n%s", diff)
	}
}

func TestPrivacyOfSound(t *testing.T) {
	expect(t, "privacy/sound", []sample{
		{"theatre, public", with("consent: {scope: public, recorded: true, sound: theatre}\n", ""), []string{
			"case/case.yaml:4:49: stop: the sound of the theatre is in the video and the consent scope is public; voices are identifiers" + withheld + "sound]"}},
		{"theatre, in a course", with("consent: {scope: course, sound: theatre}\n", ""), nil},
		{"commentary, public", with("consent: {scope: public, sound: commentary}\n", ""), nil},
		{"nothing said", with("consent: {scope: public}\n", ""), nil},
		{"no consent block", with("", ""), nil},
	})
}

func TestPrivacyOfConsent(t *testing.T) {
	said := func(scope string) []string {
		return []string{"case/case.yaml:4:18: caution: the consent scope is " + scope + " and no recorded consent is stated [privacy/consent]"}
	}
	expect(t, "privacy/consent", []sample{
		{"public, recorded", with("consent: {scope: public, recorded: true}\n", ""), nil},
		{"public, not recorded", with("consent: {scope: public, recorded: false}\n", ""), said("public")},
		{"a course, nothing said", with("consent: {scope: course}\n", ""), said("course")},
		{"inside the unit", with("consent: {scope: local}\n", ""), nil},
		{"no consent block", with("", ""), nil},
	})
}

func TestPrivacyOfAuthors(t *testing.T) {
	note := func(place, scope string) []string {
		return []string{"case/case.yaml:" + place + ": note: authors are named and the consent scope is " + scope + "; the names are left out of every output [privacy/authors]"}
	}
	expect(t, "privacy/authors", []sample{
		{"none named", with("", ""), nil},
		{"no list", with("authors: []\n", ""), nil},
		{"public", with("consent: {scope: public}\nauthors: [Asha Verdane]\n", ""), nil},
		{"in a course", with("consent: {scope: course}\nauthors: [Asha Verdane, B]\n", ""), note("5:11", "course")},
		{"nothing said is none", with("authors: [Asha Verdane]\n", ""), note("4:11", "none")},
	})
}

// A case of an unknown procedure is not resolved, and still nothing of it may leave
// that identifies. Its consent counts: public authors are no finding.
func TestPrivacyOfACaseThatIsNotResolved(t *testing.T) {
	m, err := annotate.Load(folder(t, "case", map[string]string{
		"case.yaml": "sideport: 1\ntitle: MRN 00731\nprocedure: unheard\nauthors: [A]\nconsent: {scope: public, recorded: true}\n", "video.mp4": "", "notes.md": "MRN 00731\n",
	}), "case")
	if err != nil {
		t.Fatal(err)
	}
	c, ok := annotate.Resolve(m, ranges.Builtin())
	if ok {
		t.Fatal("the case is resolved")
	}
	var got []string
	for _, f := range source.Sort(rules.CheckPrivacy(c)) {
		got = append(got, f.Pos.String()+" "+f.Rule+" "+f.Severity.String())
	}
	want := []string{"case/case.yaml:2:12 privacy/text stop", "case/notes.md:1:5 privacy/text stop", "case/video.mp4 privacy/tags stop"}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}
