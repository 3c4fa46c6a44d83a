package report

import (
	"math"
	"path"
	"strings"
	"time"

	"sideport/timeline/source"
)

// Case is the findings of one case, in file order.
type Case struct {
	Path      string // the case folder as it is to be shown
	Shown     string // the folder that the findings' file names begin with
	Procedure string
	Findings  []source.Finding
}

// Totals counts findings by severity; a waived one counts only as waived.
type Totals struct {
	Error   int `json:"error"`
	Stop    int `json:"stop"`
	Caution int `json:"caution"`
	Note    int `json:"note"`
	Waived  int `json:"waived"`
}

// Count adds up the findings of all cases.
func Count(cases []Case) Totals {
	var t Totals
	for _, c := range cases {
		for _, f := range c.Findings {
			switch {
			case f.Waived:
				t.Waived++
			case f.Severity == source.Error:
				t.Error++
			case f.Severity == source.Stop:
				t.Stop++
			case f.Severity == source.Caution:
				t.Caution++
			default:
				t.Note++
			}
		}
	}
	return t
}

// file is the file of a place, counted from the case folder; empty when the place
// belongs to none.
func (c Case) file(at source.Pos) string {
	name := at.Position().File
	if rest, ok := strings.CutPrefix(name, strings.TrimSuffix(c.Shown, "/")+"/"); ok && c.Shown != "" {
		return rest
	}
	if name == "" {
		return ""
	}
	return path.Base(name)
}

// Seconds is d in seconds, rounded half up to the millisecond.
func Seconds(d time.Duration) float64 {
	return math.Floor(float64(d)/float64(time.Millisecond)+0.5) / 1000
}

// Share rounds a confidence to three decimals.
func Share(x float64) float64 { return math.Round(x*1000) / 1000 }
