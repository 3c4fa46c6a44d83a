package page_test

import (
	"testing"
	"time"

	"sideport/annotate"
	"sideport/annotate/placing"
	"sideport/annotate/quantity"
	"sideport/annotate/ranges"
	"sideport/annotate/taxonomy"
	"sideport/export/caption"
	"sideport/export/page"
	"sideport/timeline"
	"sideport/timeline/source"
	"sideport/timeline/source/yamldoc"
)

func text(s string) annotate.Text { return yamldoc.Text{Value: s, Set: s != ""} }

func texts(list ...string) (out []annotate.Text) {
	for _, s := range list {
		out = append(out, text(s))
	}
	return out
}

func sec(s float64) time.Duration { return time.Duration(s * float64(time.Second)) }

func span(from, to float64) timeline.Span { return timeline.Span{From: sec(from), To: sec(to)} }

func at(s float64) *time.Duration { d := sec(s); return &d }

func number(f float64) *float64 { return &f }

const (
	review  = "Singh K, Misbah A, Saluja P, Singh AK. Review of manual small-incision cataract surgery. Indian J Ophthalmol 2017;65:1281-8"
	pearls  = "Singh K, Saluja P. Ten pearls for mastering small incision cataract surgery. eOphtha 2021, tips 2-3"
	nagamot = "Nagamoto T, Eguchi G. IOL haptics and lens capsule. J Cataract Refract Surg 1997;23:1254-9"
)

// value is a recorded value with a judgement made up for the page: what ranges
// says of real values is that package's matter.
func value(t testing.TB, parameter, written, how string, result ranges.Result, low, high float64, unit, evidence, src, id string) annotate.Value {
	t.Helper()
	q, err := quantity.Parse(written)
	if err != nil {
		t.Fatalf("quantity.Parse(%q): %v", written, err)
	}
	v := annotate.Value{Parameter: parameter, Text: written, Quantity: q, How: how}
	v.Judgement = ranges.Judgement{Result: result, Evidence: evidence, Source: src, SourceID: id}
	if high > low {
		v.Judgement.Accepted = source.Bounds{Low: number(low), High: number(high), Unit: unit}
	}
	return v
}

// exampleCase is a small operation as a resolved Case, eight steps on a recording
// of 100 s cut to a video of 62 s.
func exampleCase(t testing.TB) *annotate.Case {
	t.Helper()
	proc, ok := taxonomy.ByID("msics")
	if !ok {
		t.Fatal("no procedure msics")
	}
	m := timeline.Map{Pieces: []timeline.Piece{
		{Recording: span(2, 30), Video: span(2, 30)},
		{Recording: span(52, 70), Video: span(30, 48)},
		{Recording: span(86, 100), Video: span(48, 62)},
	}}
	step := func(id, variant string, from, to float64) annotate.Step {
		info, _ := proc.Step(id)
		r := span(from, to)
		return annotate.Step{
			ID: id, Nth: 1, Procedure: proc, Info: info, Variant: variant, Recording: &r, Video: m.SpanToVideo(r),
			From: "stamp", Placed: placing.Matched, Confidence: 0.95, Shown: true, HasEntry: true,
		}
	}
	c := &annotate.Case{
		Material: &annotate.Material{
			Name: "example",
			File: &annotate.File{
				Title:      text("A white cataract in a small pupil, manual small-incision surgery through a superior frown"),
				Summary:    text("A mature white lens, stained and opened with a can-opener, delivered whole through a tunnel of 6.5 mm."),
				Objectives: texts("How the opening of the capsule was made large enough for the nucleus", "Where the tunnel was widened before delivery"),
				Patient: annotate.Patient{
					AgeBand: text("60-69"), Sex: text("female"), Eye: text("left"), WhichEye: text("first"), Systemic: texts("hypertension", "diabetes"),
					Cataract: annotate.CataractKeys{Type: texts("mature-white"), Grade: []annotate.Grade{{Scheme: text("clinical-1-4"), Value: text("3")}}},
				},
				Machine: annotate.Machine{Infusion: text("gravity"), Pump: text("none"), HeightFrom: text("eye")},
				Team:    annotate.Team{SurgeonRole: text("consultant"), CasesBefore: text("500+")},
				Outcome: text("Clear cornea on the first day; corrected vision 6/9 at six weeks."),
				Questions: []annotate.Question{{
					Ask: text("What bounds the size of the opening here?"), Answers: texts("The pupil", "The zonules", "The optic"),
					Right: text("1"), Because: text("the iris hid the equator of the lens throughout."), At: text("0:31"),
				}},
				Authors:    texts("A. Writer"),
				Disclosure: text("No interest to declare."),
				References: texts("Own series, unpublished."),
			},
		},
		Procedure: proc, Languages: []string{"en"}, Purpose: "curriculum", ShowOnPage: "explained",
		Consent: annotate.ConsentScope{Scope: "none"}, Table: ranges.Builtin(),
		Map: m, Rate: 1, VideoLength: sec(62), HasVideoClock: true,
		Cuts: []placing.Cut{{Removed: sec(22), RecordingFrom: sec(30), RecordingTo: sec(52), Video: sec(30), Source: "inferred"}},
	}
	c.Notes = source.New("notes.md", []byte("General remark with a [link](https://example.org/) and a footnote[^a].\n\n"+
		"## Anterior capsulotomy\n\nThe dye was washed out **before** the first nick.\n\n| nick | clock hour |\n|---|---:|\n| first | 6 |\n| last | 5 |\n\n"+
		"## On drapes\n\nTerm\n: what it means\n\n[^a]: A note at the foot.\n"))
	groove := step("scleral-groove", "frown", 2, 14)
	groove.Reason = "A frown keeps its middle close to the limbus and its ends away from it."
	groove.Values = []annotate.Value{
		value(t, "external-incision-length", "6.5 mm", "measured", ranges.Within, 5.5, 7, "mm", "confirmed", review, "S1"),
		value(t, "distance-from-limbus", "2.0 mm", "measured", ranges.Within, 1.5, 2.5, "mm", "confirmed", pearls, "S3"),
		value(t, "groove-depth", "0.5 mm", "estimated", ranges.Outside, 0.25, 0.4, "mm", "confirmed", pearls, "S3"),
		value(t, "incision-site", "12 o'clock", "", ranges.NotJudged, 0, 0, "", "", "", ""),
	}
	groove.Values[2].Judgement.Row = &ranges.Row{Why: "deep: the uvea shows and the entry comes too early; shallow: the roof tears", For: "scleral tunnel"}
	groove.Tips = []string{"Mark the chord with a caliper before the first cut.", "Stop where the blade shows through the sclera as a grey shadow."}
	tunnel := step("tunnel-dissection", "with-side-pockets", 14, 30)
	tunnel.Values = []annotate.Value{value(t, "corneal-advance", "about 1.5 mm", "estimated", ranges.Within, 1, 2, "mm", "confirmed", pearls, "S3")}
	port := step("side-port", "", 30, 40)
	port.EndAssumed = true
	stain := step("capsule-stain", "under-air", 40, 52)
	rhexis := step("capsulotomy", "can-opener", 52, 64)
	rhexis.Values = []annotate.Value{
		value(t, "rhexis-diameter", "6.2-6.8 mm", "estimated", ranges.Within, 5.5, 7, "mm", "common-practice", "common practice, no source", ""),
		value(t, "capsulotomy-nicks", "14", "", ranges.FarOutside, 40, 100, "", "assumption", "our sanity limit (assumption)", ""),
	}
	rhexis.Note = "The nicks were counted on the picture; some are hidden by the iris."
	delivery := step("nucleus-delivery", "irrigating-vectis", 64, 86)
	delivery.Values = []annotate.Value{value(t, "nucleus-diameter", "about 7.5 mm", "estimated", ranges.Within, 5.6, 8.7, "mm", "derived", "Colour of the nucleus as a marker of nuclear hardness, diameter and central thickness. Indian J Ophthalmol Jan 1995", "S21")}
	delivery.Placed = placing.Interpolated
	wash := step("cortex-aspiration", "simcoe", 86, 94)
	vacuum := value(t, "vacuum", "280 mmHg", "set", ranges.NoRange, 0, 0, "", "", "", "")
	vacuum.Reading, vacuum.At = true, at(90)
	wash.Values = []annotate.Value{vacuum}
	lens := step("iol-insertion", "in-bag", 94, 100)
	c.Steps = []annotate.Step{groove, tunnel, port, stain, rhexis, delivery, wash, lens}
	optic := value(t, "optic-diameter", "6.0 mm", "", ranges.Within, 5.5, 6.5, "mm", "confirmed", "Hollick EJ, Spalton DJ, Meacock WR. Capsulorhexis size and PCO. Am J Ophthalmol 1999;128:271-9", "S22")
	overall := value(t, "overall-diameter", "13.5 mm", "", ranges.Outside, 12, 12.5, "mm", "confirmed", nagamot, "S23")
	pupil := value(t, "pupil", "7 mm", "", ranges.Within, 6, 9, "mm", "assumption", "our sanity limit (assumption)", "")
	pressure := value(t, "pressure", "14 mmHg", "", ranges.Within, 8, 21, "mmHg", "from-memory", "from memory, unconfirmed", "")
	pupil.Group, pressure.Group = annotate.GroupBefore, annotate.GroupBefore
	optic.Group, overall.Group = annotate.GroupLens, annotate.GroupLens
	c.Header = []annotate.Value{pupil, pressure, optic, overall}
	rupture, _ := proc.Event("pc-rupture")
	c.Events = []annotate.Event{{ID: "pc-rupture", Info: rupture, Recording: at(88), Video: at(50), Note: "Small, central, no vitreous."}}
	spoken, err := quantity.Parse("80 cm")
	if err != nil {
		t.Fatal(err)
	}
	c.Proposals = []annotate.Proposal{{
		Kind: "value", Heard: "as spoken", Parameter: "bottle-height", Step: "cortex-aspiration", Nth: 1,
		Quote: "the bottle stands at eighty centimetres", Quantity: spoken, Video: at(49),
	}}
	return c
}

func exampleOptions() page.Options {
	return page.Options{
		VideoFile: "video.webm",
		Steps: []page.Track{{Language: "en", Label: "Steps and values", Kind: "subtitles", Cues: []caption.Cue{
			{From: sec(2), To: sec(10), Text: "Scleral groove, frown\n6.5 mm"},
			{From: sec(30), To: sec(38), Text: "Capsulotomy, can-opener"},
		}}},
		Speech: []page.Track{{Language: "en", Label: "Captions", Kind: "captions", Cues: []caption.Cue{
			{From: sec(3), To: sec(6), Text: "We begin with the groove,\nsix and a half millimetres wide."},
			{From: sec(31), To: sec(34.5), Text: "Small bites & short ones: < 1 mm each."},
		}}},
		Findings: []source.Finding{
			{Severity: source.Caution, Rule: "range/groove-depth", Step: "scleral-groove", Nth: 1,
				Message: "groove depth 0.5 mm is above the 0.25–0.4 mm quoted for a scleral tunnel", Source: pearls},
			{Severity: source.Stop, Rule: "range/capsulotomy-nicks", Step: "capsulotomy", Nth: 1, Message: "14 nicks are far below the 40–100 of our sanity limit"},
			{Severity: source.Caution, Rule: "cross/lens-diameter", Step: "iol-insertion", Nth: 1, Waived: true, WaivedBy: "consultant T3: the only lens in stock",
				Message: "overall diameter 13.5 mm is above 12–12.5 mm for the bag", Source: nagamot},
			{Severity: source.Note, Rule: "time/disagree", Message: "the stamp says 09:14:32 and the chapter 09:14:40"},
		},
	}
}
