package export

import (
	"io"
	"time"

	"sideport/annotate"
	"sideport/export/report"
)

type alignJSON struct {
	Procedure string             `json:"procedure"`
	Clock     alignClockJSON     `json:"clock"`
	Stamps    []alignStampJSON   `json:"stamps"`
	Chapters  []alignChapterJSON `json:"chapters"`
	Pairs     []alignPairJSON    `json:"pairs"`
	Cuts      []cutJSON          `json:"cuts"`
	Inserts   []insertJSON       `json:"inserts"`
	Against   *againstJSON       `json:"against,omitempty"` // only when a second list was given
	Findings  any                `json:"findings"`
}

type alignClockJSON struct {
	Kind           string  `json:"kind"`
	Zero           string  `json:"zero"`
	Offset         float64 `json:"offset_s"`
	Rate           float64 `json:"rate"`
	MedianResidual float64 `json:"median_residual_s"`
}

type alignStampJSON struct {
	Index      int      `json:"index"`
	Line       int      `json:"line"`
	Recording  float64  `json:"recording_s"`
	Text       string   `json:"text"`
	Kind       string   `json:"kind"`
	Step       *string  `json:"step"`
	Confidence float64  `json:"confidence"`
	Video      *float64 `json:"video_s"`
	Placed     *string  `json:"placed"`
	Within     *float64 `json:"within_s"`
}

type alignChapterJSON struct {
	Index      int      `json:"index"`
	Line       int      `json:"line"`
	Video      float64  `json:"video_s"`
	Title      string   `json:"title"`
	Step       *string  `json:"step"`
	Confidence float64  `json:"confidence"`
	Recording  *float64 `json:"recording_s"`
	Placed     *string  `json:"placed"`
}

type alignPairJSON struct {
	Stamp      int     `json:"stamp"`
	Chapter    int     `json:"chapter"`
	Step       *string `json:"step"`
	Residual   float64 `json:"residual_s"`
	Confidence float64 `json:"confidence"`
}

// WriteAlignment writes how stamps and chapters lie beside each other. Unlike
// every other output it says what the recording's clock showed at zero: it is for
// the person at this computer. second is the list held against the stamps, nil for
// none; findings are those to be listed.
func WriteAlignment(w io.Writer, c *annotate.Case, second *annotate.Against, findings report.Case) error {
	out := alignJSON{
		Procedure: c.Procedure.ID,
		Clock: alignClockJSON{
			c.Clock.Kind.String(), c.Clock.Zero, report.Seconds(c.Clock.Offset), c.Rate, report.Seconds(c.MedianResidual),
		},
		Stamps: []alignStampJSON{}, Chapters: []alignChapterJSON{}, Pairs: []alignPairJSON{},
		Cuts: cuts(c.Cuts), Inserts: inserts(c.Inserts), Against: against(c, second), Findings: report.Findings(findings),
	}
	for i, m := range c.Marks {
		s := alignStampJSON{
			Index: i, Line: m.Pos.Position().Line, Recording: report.Seconds(m.Recording), Text: MaskedText(c, m.Text, m.TextPos), Kind: string(m.Match.Kind),
			Step: report.Known(m.Match.ID), Confidence: report.Share(m.Match.Confidence), Video: seconds(m.Video), Placed: report.Known(m.Placed),
		}
		if m.Video != nil {
			s.Within = seconds(&m.Within)
		}
		out.Stamps = append(out.Stamps, s)
	}
	for i, t := range c.Titles {
		out.Chapters = append(out.Chapters, alignChapterJSON{
			Index: i, Line: t.Pos.Position().Line, Video: report.Seconds(t.From), Title: MaskedText(c, t.Title, t.TitleP),
			Step: report.Known(t.Match.ID), Confidence: report.Share(t.Match.Confidence), Recording: seconds(t.Recording), Placed: report.Known(t.Placed),
		})
	}
	for _, p := range c.Pairs {
		out.Pairs = append(out.Pairs, alignPairJSON{p.Stamp, p.Chapter, report.Known(p.Step), report.Seconds(p.Residual), report.Share(p.Confidence)})
	}
	return report.Encode(w, out)
}

func seconds(d *time.Duration) *float64 {
	if d == nil {
		return nil
	}
	s := report.Seconds(*d)
	return &s
}
