package rules_test

import (
	"fmt"
	"strings"
	"testing"

	"sideport/annotate/rules"
	"sideport/timeline/source"

	"github.com/google/go-cmp/cmp"
)

// mark stands in a sample where text that identifies is to be found: MARK is
// replaced by the words, and their place is the one wanted.
const mark = "MARK"

// places are the positions of mark in a text, as findings print them, were each
// mark replaced by words.
func places(file, text, words string) []string {
	var out []string
	for {
		before, after, found := strings.Cut(text, mark)
		if !found {
			return out
		}
		src := source.New("case/"+file, []byte(before+words+after))
		out = append(out, src.Pos(len(before)).String())
		text = before + words + after
	}
}

// stops are the places of the privacy stops of a case.
func stops(t testing.TB, files map[string]string) []string {
	t.Helper()
	var out []string
	for _, f := range found(t, files) {
		if f.Group() == "privacy" && f.Severity == source.Stop {
			out = append(out, f.Pos.String())
		}
	}
	return out
}

// number is a record number, invented; 00 is part of no real scheme known to us.
const number = "MRN 00731"

// digits is the part of number that is the hit.
const digits = "00731"

// Every text that an export could carry is looked through, and the stop stands at
// the words themselves.
func TestPrivacyOfEveryText(t *testing.T) {
	for _, line := range []string{
		"summary: seen as MRN MARK", "outcome: seen as MRN MARK", "disclosure: seen as MRN MARK", "objectives: [read MRN MARK]",
		"references: ['letter, patient MRN MARK']",
		"questions: [{ask: 'what is MRN MARK?', answers: [a, b], right: 1}]",
		"questions: [{ask: what, answers: [a, MRN MARK], right: 1, because: so}]",
		"questions: [{ask: what, answers: [a, b], right: 1, because: see MRN MARK}]",
		"steps: [{step: capsulotomy, reason: see MRN MARK}]", "steps: [{step: capsulotomy, note: see MRN MARK}]",
		"steps: [{step: capsulotomy, tips: [a, see MRN MARK]}]", "steps: [{step: capsulotomy, variant: MRN MARK}]",
		"steps: [{step: capsulotomy, values: {rhexis-diameter: MRN MARK}}]",
		"steps: [{step: cortex-aspiration, readings: [{at: \"1:00\", vacuum: MRN MARK}]}]",
		"events: [{event: pc-rupture, note: see MRN MARK}]",
		"waivers: [{rule: order/repeat, reason: see MRN MARK, by: T3}]", "waivers: [{rule: order/repeat, reason: so, by: MRN MARK}]",
		"before: {acuity: {corrected: MRN MARK}}", "day-1: {pressure: MRN MARK}", "week-6: {pressure: MRN MARK}", "lens: {material: MRN MARK}",
		"values: {irrigant: MRN MARK}", "patient: {sex: MRN MARK}", "patient: {systemic: [MRN MARK]}",
		"patient: {cataract: {grade: [{scheme: locs3-no, value: MRN MARK}]}}", "machine: {pump: MRN MARK}", "team: {code: MRN MARK}",
	} {
		text := head + line + "\n"
		want := places("case.yaml", text, digits)
		if got := stops(t, map[string]string{"case.yaml": strings.ReplaceAll(text, mark, digits)}); cmp.Diff(want, got) != "" {
			t.Errorf("%s: stops at %v, want %v", line, got, want)
		}
	}
	title := "sideport: 1\ntitle: MRN MARK\nprocedure: msics\n"
	if got, want := stops(t, map[string]string{"case.yaml": strings.ReplaceAll(title, mark, digits)}), places("case.yaml", title, digits); cmp.Diff(want, got) != "" {
		t.Errorf("title: stops at %v, want %v", got, want)
	}
}

func TestPrivacyOfEveryFile(t *testing.T) {
	for _, tt := range []struct{ name, file, text string }{
		{"stamps", "recording.txt", "1:00 rhexis, MRN MARK\n2:00 iol\n"},
		{"stamps of a table", "recording.csv", "time,step\n1:00,\"rhexis, MRN MARK\"\n"},
		{"chapter titles", "chapters.vtt", "WEBVTT\n\n00:00.000 --> 00:30.000\n<i>Rhexis</i> &amp; MRN MARK\n"},
		{"chapter titles of a list", "chapters.txt", "0:00 Rhexis\n0:30 Hydro, MRN MARK\n1:00 IOL\n"},
		{"cues", "narration.srt", "1\n00:00:01,000 --> 00:00:02,000\nthe <i>file</i> says MRN MARK\n"},
		{"cue identifiers, which captions keep", "narration.vtt", "WEBVTT\n\nMRN MARK\n00:01.000 --> 00:02.000\nthe file\n"},
		{"a line end inside a cue", "narration.vtt", "WEBVTT\r\n\r\n00:01.000 --> 00:02.000\r\nthe file says\r\nMRN MARK\r\n"},
		{"notes", "notes.md", "# Notes\n\n## Rhexis\n\nÉté. See MRN MARK and MRN MARK.\n"},
	} {
		text := strings.ReplaceAll(tt.text, mark, digits)
		want := places(tt.file, tt.text, digits)
		if got := stops(t, map[string]string{"case.yaml": head, tt.file: text}); cmp.Diff(want, got) != "" {
			t.Errorf("%s: stops at %v, want %v", tt.name, got, want)
		}
	}
}

// The place is exact where the text does not stand in the file letter by letter.
func TestPrivacyPlacesAreExact(t *testing.T) {
	const words = "Zubrik"
	for _, tt := range []struct{ name, file, text string }{
		{"plain", "case.yaml", "summary: of MARK and MARK\n"},
		{"single quotes", "case.yaml", "summary: 'it''s MARK, and ''MARK'' again'\n"},
		{"double quotes", "case.yaml", `summary: "a \"MARK\" and a \\MARK\tMARK"` + "\n"},
		{"escaped letters before it", "case.yaml", `summary: "\x41\u00e9 MARK"` + "\n"},
		{"quoted over lines", "case.yaml", "summary: \"one MARK\n  two\n\n  three MARK\"\n"},
		{"a line end taken away", "case.yaml", "summary: \"one \\\n   two MARK\"\n"},
		{"plain over lines", "case.yaml", "summary: one MARK\n  two\n  MARK\n"},
		{"folded", "case.yaml", "summary: >-\n  one MARK\n  two\n\n  MARK\n"},
		{"literal", "case.yaml", "summary: |2 # why\n    one MARK\n  two MARK\n"},
		{"markup of cues", "narration.vtt", "WEBVTT\n\n00:01.000 --> 00:02.000\n<v Someone><i>Zub</i>, AT&amp;T <b>MARK</b> <00:01.500>MARK\n"},
		{"markup of SubRip", "narration.srt", "1\n00:00:01,000 --> 00:00:02,000\n{\\an8}<font color=\"red\">1 < 2 &amp; MARK</font>\n- MARK\n"},
		{"a table's quotes", "recording.csv", "time,step\n1:00,\"the \"\"MARK\"\" MARK\"\n"},
	} {
		files := map[string]string{"case.yaml": head + "private-words: [" + words + "]\n"}
		text := tt.text
		if tt.file == "case.yaml" {
			text = files["case.yaml"] + text
		}
		files[tt.file] = strings.ReplaceAll(text, mark, words)
		want := places(tt.file, text, words)
		if got := stops(t, files); cmp.Diff(want, got) != "" {
			t.Errorf("%s: stops at %v, want %v", tt.name, got, want)
		}
	}
	// Letters of one word may have markup between them.
	split := map[string]string{"case.yaml": head + "private-words: [Zubrik]\n", "narration.vtt": "WEBVTT\n\n00:01.000 --> 00:02.000\nby <b>Z</b>ubrik\n"}
	if got, want := stops(t, split), []string{"case/narration.vtt:4:7"}; cmp.Diff(want, got) != "" {
		t.Errorf("a word with markup inside: stops at %v, want %v", got, want)
	}
}

func TestPrivacySaysNothingOf(t *testing.T) {
	for _, tt := range []struct {
		name  string
		files map[string]string
	}{
		{"a case without texts", map[string]string{"case.yaml": head}},
		{"the words of the trade", map[string]string{"case.yaml": head + "summary: A grade 3 nucleus left through a 6.5 mm chevron tunnel in 2024.\n"}},
		{"what is never exported", map[string]string{"case.yaml": head + "recording: {clock: wall, date: 2026-03-01, starts: \"09:12:00\", zone: Asia/Kolkata}\n", "recording.txt": "09:13:00 rhexis\n"}},
		{"what recording.part leaves out", map[string]string{"case.yaml": head + "recording: {clock: wall, part: {from: \"09:12:00\", to: \"09:40:00\"}}\n",
			"recording.txt": "09:02:00 " + number + " on the table\n09:13:00 rhexis\n"}},
		{"dates of publications", map[string]string{"case.yaml": head + "references: ['J Ophthal 12 March 2019;12:1-9, https://doi.org/10.1000/182']\n"}},
		{"dates of the literature in own ranges", map[string]string{"case.yaml": head + "files: {ranges: ours.yaml}\n", "ours.yaml": "# J Ophthal 12 March 2019, www.example.org\nwhose: our unit\nrows: []\n"}},
		{"the list of private words itself", map[string]string{"case.yaml": head + "private-words: [Zubrik]\n"}},
		{"a private word inside another", map[string]string{"case.yaml": head + "private-words: [rao]\nsummary: chaos and raoult\n"}},
		{"public names of authors", map[string]string{"case.yaml": head + "authors: [Dr Asha Verdane]\nconsent: {scope: public, recorded: true}\n"}},
	} {
		if got := only(found(t, tt.files), "privacy/"); len(got) != 0 {
			t.Errorf("%s: %v, want nothing", tt.name, got)
		}
	}
}

// A private word is a stop also where nothing else is looked for: among authors, in
// references and in the case's own ranges.
func TestPrivateWordsEverywhere(t *testing.T) {
	for _, line := range []string{"authors: [Dr MARK]", "references: [MARK 2019]", "title: MARK"} {
		text := strings.Replace(head, "title: A case\n", "", 1) + "private-words: [Zubrik Elm]\n"
		if !strings.HasPrefix(line, "title") {
			text = head + "private-words: [Zubrik Elm]\n"
		}
		text += line + "\n"
		want := places("case.yaml", text, "zubrik-elm")
		if got := stops(t, map[string]string{"case.yaml": strings.ReplaceAll(text, mark, "zubrik-elm")}); cmp.Diff(want, got) != "" {
			t.Errorf("%s: stops at %v, want %v", line, got, want)
		}
	}
	own := "whose: MARK\nrows: []\n"
	files := map[string]string{"case.yaml": head + "private-words: [Zubrik]\nfiles: {ranges: ours.yaml}\n", "ours.yaml": strings.ReplaceAll(own, mark, "Zubrik")}
	if got, want := stops(t, files), places("ours.yaml", own, "Zubrik"); cmp.Diff(want, got) != "" {
		t.Errorf("own ranges: stops at %v, want %v", got, want)
	}
}

// What identifies is never repeated: neither in message nor hint nor source nor
// path, whatever its class.
func TestPrivacyNeverRepeatsTheText(t *testing.T) {
	secrets := []string{"Verdane", "00731", "98765", "12 March 2026", "verdane@example.org", "192.0.2.7", "Zubrik", "93-year"}
	text := head + "private-words: [Zubrik]\nsummary: >-\n  Patient name: Asha Verdane, MRN 00731, tel. +91 98765 43210, on 12 March 2026,\n" +
		"  asha.verdane@example.org from 192.0.2.7, a 93-year-old, by Zubrik.\n"
	c := resolve(t, folder(t, "case", map[string]string{"case.yaml": text}))
	list := rules.Check(c)
	classes := map[string]bool{}
	for _, f := range list {
		if f.Rule != "privacy/text" {
			continue
		}
		classes[f.Message] = true
		for _, secret := range secrets {
			if printed := fmt.Sprint(f.Message, f.Hint, f.Source, f.Path, f.Related, f.WaivedBy); strings.Contains(strings.ToLower(printed), strings.ToLower(secret)) {
				t.Errorf("%q repeats %q", printed, secret)
			}
		}
	}
	if len(classes) < 7 {
		t.Errorf("%d kinds of stops, want 7: %v", len(classes), classes)
	}
}

// The classes of the regulation are cited, a private word is the case's own.
// Source: 45 CFR 164.514(b)(2)(i).
func TestPrivacyCitesTheRegulation(t *testing.T) {
	list := found(t, map[string]string{"case.yaml": head + "private-words: [Zubrik]\nsummary: MRN 00731 of Zubrik\n"})
	var got []string
	for _, f := range list {
		if f.Rule == "privacy/text" {
			got = append(got, fmt.Sprintf("%s | %s | %s | %s", f.Message, f.Evidence, f.SourceID, f.Path))
		}
	}
	want := []string{
		"the text reads like a medical record number; every output of the case is withheld | confirmed | 45CFR164.514 | summary",
		"the text holds one of the case's private words; every output of the case is withheld |  |  | summary",
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}
