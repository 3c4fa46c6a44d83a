package export

import (
	"io"

	"sideport/annotate"
	"sideport/annotate/placing"
	"sideport/annotate/taxonomy"
	"sideport/export/report"
	"sideport/export/words"
	"sideport/timeline"
	"sideport/timeline/source"
)

type caseJSON struct {
	Sideport  int            `json:"sideport"`
	Caution   string         `json:"caution"`
	Title     string         `json:"title"`
	Procedure string         `json:"procedure"`
	Languages []string       `json:"languages"`
	Consent   string         `json:"consent_scope"`
	Patient   patientJSON    `json:"patient"`
	Lens      []valueJSON    `json:"lens"`
	Header    []valueJSON    `json:"header"`
	Clock     clockJSON      `json:"clock"`
	Steps     []stepJSON     `json:"steps"`
	Proposals []proposalJSON `json:"proposals"`
	Events    []eventJSON    `json:"events"`
	Cuts      []cutJSON      `json:"cuts"`
	Inserts   []insertJSON   `json:"inserts"`
}

type patientJSON struct {
	AgeBand  string      `json:"age_band,omitempty"`
	Sex      string      `json:"sex,omitempty"`
	Eye      string      `json:"eye,omitempty"`
	WhichEye string      `json:"which_eye,omitempty"`
	Systemic []string    `json:"systemic,omitempty"`
	Ocular   []string    `json:"ocular,omitempty"`
	Cataract []string    `json:"cataract,omitempty"`
	Grades   []gradeJSON `json:"grades,omitempty"`
}

type gradeJSON struct {
	Scheme string `json:"scheme"`
	Value  string `json:"value"`
}

// clockJSON holds no clock reading: what the wall clock said never leaves the
// case folder.
type clockJSON struct {
	Kind           string  `json:"kind"`
	Zero           string  `json:"zero"`
	Rate           float64 `json:"rate"`
	MedianResidual float64 `json:"median_residual_s"`
}

type spanJSON struct {
	From float64 `json:"from_s"`
	To   float64 `json:"to_s"`
	End  string  `json:"end,omitempty"`
}

type stepJSON struct {
	Step       string      `json:"step"`
	Nth        int         `json:"nth"`
	Label      string      `json:"label"`
	Procedure  string      `json:"procedure"`
	Variant    *string     `json:"variant"`
	Recording  *spanJSON   `json:"recording"`
	Video      []spanJSON  `json:"video"`
	Placed     *string     `json:"placed"`
	Confidence float64     `json:"confidence"`
	Values     []valueJSON `json:"values"`
	Reason     *string     `json:"reason"`
	Tips       []string    `json:"tips"`
	Note       *string     `json:"note"`
}

type valueJSON struct {
	Group       string         `json:"group,omitempty"`
	Parameter   string         `json:"parameter"`
	Low         *float64       `json:"low"`
	High        *float64       `json:"high"`
	Unit        string         `json:"unit"`
	Text        string         `json:"text"`
	How         *string        `json:"how"`
	Approximate bool           `json:"approximate"`
	At          *float64       `json:"recording_s"`
	AtVideo     *float64       `json:"video_s"`
	Result      string         `json:"result"`
	Accepted    *source.Bounds `json:"accepted"`
	Evidence    *string        `json:"evidence"`
	Source      *string        `json:"source"`
	SourceID    *string        `json:"source_id"`
}

type proposalJSON struct {
	Kind      string   `json:"kind"`
	Heard     string   `json:"heard"`
	Parameter *string  `json:"parameter"`
	Event     *string  `json:"event"`
	Step      *string  `json:"step"`
	Nth       *int     `json:"nth"`
	Low       *float64 `json:"low"`
	High      *float64 `json:"high"`
	Unit      *string  `json:"unit"`
	Quote     string   `json:"quote"`
	Recording *float64 `json:"recording_s"`
	Video     *float64 `json:"video_s"`
}

type eventJSON struct {
	Event     string   `json:"event"`
	Label     string   `json:"label"`
	Kind      string   `json:"kind"`
	Recording *float64 `json:"recording_s"`
	Video     *float64 `json:"video_s"`
	Note      *string  `json:"note"`
}

type cutJSON struct {
	Removed float64 `json:"removed_s"`
	From    float64 `json:"recording_from_s"`
	To      float64 `json:"recording_to_s"`
	Video   float64 `json:"video_s"`
	Source  string  `json:"source"`
}

type insertJSON struct {
	From float64 `json:"video_from_s"`
	To   float64 `json:"video_to_s"`
	Kind string  `json:"kind"`
}

func caseFile(b *Bundle) ([]File, error) {
	f, err := file("case.json", func(w io.Writer) error { return WriteCase(w, b.Case) })
	return []File{f}, err
}

// WriteCase writes case.json. It holds no wall clock, date, private word or path.
// Keys are never renamed or removed between versions.
func WriteCase(w io.Writer, c *annotate.Case) error {
	out := caseJSON{
		Sideport: 1, Caution: words.Caution, Title: c.File.Title.Value, Procedure: c.Procedure.ID,
		Languages: c.Languages, Consent: c.Consent.Scope, Patient: patient(c.File.Patient),
		Clock: clockJSON{c.Clock.Kind.String(), c.Clock.Zero, c.Rate, report.Seconds(c.MedianResidual)},
		Lens:  []valueJSON{}, Header: []valueJSON{}, Steps: []stepJSON{}, Proposals: []proposalJSON{}, Events: []eventJSON{},
		Cuts: cuts(c.Cuts), Inserts: inserts(c.Inserts),
	}
	for _, v := range c.Header {
		if v.Group == "lens" {
			out.Lens = append(out.Lens, value(v))
		} else {
			out.Header = append(out.Header, value(v))
		}
	}
	for _, s := range c.Steps {
		out.Steps = append(out.Steps, step(s))
	}
	for _, p := range c.Proposals {
		out.Proposals = append(out.Proposals, proposalJSON{
			Kind: p.Kind, Heard: p.Heard, Parameter: report.Known(p.Parameter), Event: report.Known(p.Event),
			Step: report.Known(p.Step), Nth: report.Known(p.Nth),
			Low: p.Quantity.Low, High: p.Quantity.High, Unit: report.Known(p.Quantity.Unit), Quote: p.Quote,
			Recording: seconds(p.Recording), Video: seconds(p.Video),
		})
	}
	for _, e := range c.Events {
		out.Events = append(out.Events, eventJSON{e.ID, e.Info.Label, string(e.Info.Kind()), seconds(e.Recording), seconds(e.Video), report.Known(e.Note)})
	}
	return report.Encode(w, out)
}

func patient(p annotate.Patient) patientJSON {
	out := patientJSON{
		AgeBand: p.AgeBand.Value, Sex: p.Sex.Value, Eye: p.Eye.Value, WhichEye: p.WhichEye.Value,
		Systemic: texts(p.Systemic), Ocular: texts(p.Ocular), Cataract: texts(p.Cataract.Type),
	}
	for _, g := range p.Cataract.Grade {
		out.Grades = append(out.Grades, gradeJSON{g.Scheme.Value, g.Value.Value})
	}
	return out
}

func texts(list []annotate.Text) []string {
	var out []string
	for _, t := range list {
		out = append(out, t.Value)
	}
	return out
}

func step(s annotate.Step) stepJSON {
	label, _ := taxonomy.Label(s.Procedure, s.ID, words.English)
	out := stepJSON{
		Step: s.ID, Nth: s.Nth, Label: label, Procedure: s.Procedure.ID, Variant: report.Known(s.Variant),
		Video: []spanJSON{}, Placed: report.Known(s.Placed), Confidence: report.Share(s.Confidence), Values: []valueJSON{},
		Reason: report.Known(s.Reason), Tips: append([]string{}, s.Tips...), Note: report.Known(s.Note),
	}
	if s.Recording != nil {
		span := spans([]timeline.Span{*s.Recording})[0]
		span.End = "stated"
		if s.EndAssumed {
			span.End = "assumed"
		}
		out.Recording = &span
	}
	out.Video = append(out.Video, spans(s.Video)...)
	for _, v := range s.Values {
		out.Values = append(out.Values, value(v))
	}
	return out
}

func spans(list []timeline.Span) []spanJSON {
	var out []spanJSON
	for _, s := range list {
		out = append(out, spanJSON{From: report.Seconds(s.From), To: report.Seconds(s.To)})
	}
	return out
}

func value(v annotate.Value) valueJSON {
	j := v.Judgement
	return valueJSON{
		Group: v.Group, Parameter: v.Parameter, Low: v.Quantity.Low, High: v.Quantity.High, Unit: v.Quantity.Unit,
		Text: v.Text, How: report.Known(v.How), Approximate: v.Quantity.Approximate,
		At: seconds(v.At), AtVideo: seconds(v.AtVideo),
		Result: string(j.Result), Accepted: accepted(j.Accepted), Evidence: report.Known(j.Evidence), Source: report.Known(j.Source), SourceID: report.Known(j.SourceID),
	}
}

func accepted(b source.Bounds) *source.Bounds {
	if b.Low == nil && b.High == nil {
		return nil
	}
	return &b
}

func cuts(list []placing.Cut) []cutJSON {
	out := []cutJSON{}
	for _, c := range list {
		out = append(out, cutJSON{report.Seconds(c.Removed), report.Seconds(c.RecordingFrom), report.Seconds(c.RecordingTo), report.Seconds(c.Video), c.Source})
	}
	return out
}

func inserts(list []placing.Insert) []insertJSON {
	out := []insertJSON{}
	for _, i := range list {
		out = append(out, insertJSON{report.Seconds(i.From), report.Seconds(i.To), i.Kind})
	}
	return out
}
