package placing_test

import (
	"testing"

	"sideport/annotate/placing"
)

// Stamps known to the minute are matched by their names and order, and the rounding is
// taken neither for cuts nor for a drift; by hand.
func TestStampsToTheMinuteMakeNoCuts(t *testing.T) {
	names := []string{"side-port", "ovd-fill", "capsulotomy", "hydroprocedure", "nucleus-delivery", "cortex-aspiration", "iol-insertion", "ovd-removal"}
	begins := []int{10, 75, 130, 245, 310, 470, 655, 700} // seconds on both clocks
	var stamps []placing.Stamp
	var chapters []placing.Chapter
	for k, name := range names {
		minute := stamp(float64(begins[k]/60*60), name)
		minute.Half = 30 * s
		stamps, chapters = append(stamps, minute), append(chapters, chapter(float64(begins[k]), name))
	}
	res := placing.Place(stamps, chapters, manual(), placing.Options{VideoLength: 800 * s})
	if len(res.Pairs) != len(names) || len(res.Cuts)+len(res.Inserts) > 0 || res.Rate != 1 {
		t.Errorf("%d pairs, cuts %v, inserts %v, rate %v; want %d, none, none and 1", len(res.Pairs), res.Cuts, res.Inserts, res.Rate, len(names))
	}
	for k, at := range res.Stamps {
		if at.Within < 30*s {
			t.Errorf("stamp %d is known within %v, want half a minute at the least", k, at.Within)
		}
	}
}
