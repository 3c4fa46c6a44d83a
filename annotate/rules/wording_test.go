package rules_test

import (
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"sideport/annotate/rule"
	"sideport/annotate/rules"
	"sideport/timeline/source"
	"sideport/timeline/timelinetest"
)

// corpus are the cases of testdata, as files and texts. The video is left out: a
// fuzzed or copied one says nothing more.
func corpus(t testing.TB) map[string]map[string]string {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(timelinetest.Root(t), "testdata", "cases", "*", "*"))
	if err != nil || len(files) == 0 {
		t.Fatalf("there are no cases: %v", err)
	}
	out := map[string]map[string]string{}
	for _, file := range files {
		dir, name := filepath.Split(file)
		slug := filepath.Base(dir)
		if strings.HasPrefix(name, "video.") {
			continue
		}
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if out[slug] == nil {
			out[slug] = map[string]string{}
		}
		out[slug][name] = string(text)
	}
	return out
}

// faulty are cases in which everything is wrong that a rule looks at.
func faulty() map[string]map[string]string {
	return map[string]map[string]string{
		"orders": {
			"case.yaml":     head + "authors: [A]\nsteps: [{step: capsulotomy, variant: magic, at: \"1:00\", until: \"1:01\"}, {step: side-port, nth: 2}]\n",
			"recording.txt": ticks("leak test", "visco wash", "dialling", "iol", "cortical wash", "nucleus delivery", "rhexis", "trypan", "hydro", "side port", "draping", "rhexis", "I/A cannula", "mystery", "iol"),
			"chapters.vtt":  titles("Leak test", "IOL", "Rhexis"),
		},
		"values": {"case.yaml": head + "before: {axial-length: 2.34 mm, pressure: 140 mmHg, k-flat: 4.4 D @ 180}\nlens: {optic-diameter: 60 mm, lens-power: 210 D}\n" +
			"patient: {cataract: {type: [brown], grade: [{scheme: clinical-1-5, value: 5}]}}\n" +
			"steps:\n  - {step: scleral-groove, variant: frown, values: {external-incision-length: 12 mm, distance-from-limbus: 0.2 mL, groove-depth: 3 mm}}\n" +
			"  - {step: capsulotomy, variant: ccc, values: {rhexis-diameter: 4.2-6 mm}}\n  - {step: capsulotomy, nth: 2, values: {rhexis-diameter: 5.2 mm}}\n" +
			"  - {step: capsule-stain, values: {stain-concentration: 0.6 %, stain-volume: 4 mm, stain-dwell: about 900 s}}\n" +
			"  - {step: nucleus-delivery, values: {bottle-height: 20 cm, vacuum: 900 mmHg}}\n  - {step: cortex-aspiration, variant: simcoe, values: {bottle-height: 45}}\n" +
			"  - {step: intracameral-antibiotic, variant: moxifloxacin, values: {drug: moxifloxacin, dose: 0.25 mg, volume: 0.1 mL, drug-concentration: 0.5 %}}\n" +
			"waivers: [{rule: range/rhexis-diameter, step: capsulotomy, value: 1 mm, reason: so, by: T3}, {rule: range/nothing, reason: so, by: T3}]\n"},
		"privacy 2026-03-01": {
			"case.yaml":     head + "private-words: [Zubrik]\nconsent: {scope: public, sound: theatre}\nvideo: {file: 20260301.mp4}\nsummary: by Zubrik\nfiles: {notes: MRN 00731.md}\n",
			"MRN 00731.md":  "MRN 00731, tel. +91 98765 43210, 12 March 2026, a@example.org, 192.0.2.7, www.example.org, a 93-year-old, serial no. A12345, Mrs Verdane, PIN 560001\n",
			"20260301.mp4":  "no container",
			"recording.txt": "1:00 rhexis of Zubrik\n",
		},
		"reading": {
			"case.yaml": "sideport: 2\ntitle: [A, B]\nprocedure: phaco\nlanguage: en\nlanguages: [xx-yy-zz-1]\nconsent: {scope: all}\nsteps: [{step: lunch, at: later}, {step: capsulotomy, until: \"0:10\", at: \"0:30\"}]\n" +
				"events: [{event: convarsion}]\nwaivers: [{rule: order/repeat, reason: '', by: T3}]\n",
			"recording.txt": "0:10 rhexis\n09:12:44 hydro\nno time\n0:99 iol\n0:05 chop\n",
			"chapters.vtt":  "WEBVTT\n\n00:30.000 --> 00:10.000\nRhexis\n\nbad --> 00:20.000\nHydro\n",
			"narration.srt": "1\n00:00:05,000 --> 00:00:01,000\nNow.\n\nx\n",
		},
	}
}

// A message is what is recorded plus what the source says: design section 9. It is
// held to by every rule over every case there is, and by what the cases are read
// with.
func TestMessagesAreWorded(t *testing.T) {
	said := map[string]int{}
	for _, cases := range []map[string]map[string]string{corpus(t), faulty()} {
		for _, name := range slices.Sorted(maps.Keys(cases)) {
			c := resolve(t, folder(t, name, cases[name]))
			own := rules.Check(c)
			for _, f := range rules.Waive(slices.Concat(c.Findings, own), c) {
				said[f.Rule]++
				for _, fault := range rule.Wording(f.Message) {
					t.Errorf("%s: %q: %s", f.Rule, f.Message, fault)
				}
				if !slices.Contains(rule.Groups(), f.Group()) {
					t.Errorf("%s is of no group", f.Rule)
				}
			}
			for _, f := range own {
				held(t, f)
			}
		}
	}
	for _, r := range rules.All() {
		if r.Name == "range/<parameter>" {
			continue
		}
		if said[r.Name] == 0 {
			t.Errorf("no case makes %s speak", r.Name)
		}
	}
	for _, name := range []string{"range/rhexis-diameter", "range/slip", "range/unit-missing", "range/unit-unlikely", "range/dose", "read/unknown-step", "read/waiver-lapsed", "read/waiver-unused"} {
		if said[name] == 0 {
			t.Errorf("no case makes %s speak", name)
		}
	}
}

// held checks what holds for every finding of a rule: that it weighs no more than
// its rule says, has a place, and that what goes by a source or custom names it.
func held(t *testing.T, f source.Finding) {
	t.Helper()
	name := f.Rule
	if f.Group() == "range" {
		name = "range/<parameter>"
	}
	i := slices.IndexFunc(rules.All(), func(r rule.Rule) bool { return r.Name == name })
	if i < 0 {
		t.Errorf("%s is no rule", f.Rule)
		return
	}
	if limit := rules.All()[i].Severity; f.Severity > limit {
		t.Errorf("%s weighs %v, above %v", f.Rule, f.Severity, limit)
	}
	if f.Pos.Source == nil {
		t.Errorf("%s %q has no place", f.Rule, f.Message)
	}
	if g := f.Group(); (g == "order" || f.Rule == "time/window") && (f.Evidence == "" || f.Source == "") {
		t.Errorf("%s %q names no evidence or no source", f.Rule, f.Message)
	}
}
