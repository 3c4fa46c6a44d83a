package placing_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"sideport/annotate/placing"
)

// at rate: seven marks over half an hour of one kept stretch, and one cut.
func clocked(rate float64) placing.Result {
	times := []float64{12, 95.5, 181.2, 402.2, 655.7, 911.3, 1305.4, 1702.9}
	var stamps []placing.Stamp
	var chapters []placing.Chapter
	for k, t := range times {
		id := manual().order[2*k]
		v := 3.25 + rate*t
		if k >= 4 {
			v -= 60
		}
		stamps, chapters = append(stamps, stamp(t, id)), append(chapters, chapter(v, id))
	}
	return placing.Place(stamps, chapters, manual(), placing.Options{})
}

func TestRate(t *testing.T) {
	for _, tt := range []struct {
		given, want float64
		note        string
	}{
		{1, 1, ""},
		{1001. / 1000, 1001. / 1000, "1001/1000"},
		{1000. / 1001, 1000. / 1001, "1000/1001"},
		{25. / 24, 25. / 24, "25/24"},
		{960. / 1001, 960. / 1001, "960/1001"},
		{1.0017, 1.0017, "clocks that drift"},
		{1.0045, 1, "taken as 1"}, // above 0.2 %, no frame-rate ratio
	} {
		res := clocked(tt.given)
		if math.Abs(res.Rate-tt.want) > 1e-6 {
			t.Errorf("rate of %.5f = %.6f, want %.6f; %v", tt.given, res.Rate, tt.want, res.Findings)
		}
		if len(res.Pairs) != 8 || len(res.Cuts) != 1 {
			t.Errorf("rate %.5f: %d pairs and %d cuts, want 8 and 1", tt.given, len(res.Pairs), len(res.Cuts))
		}
		said := fmt.Sprint(res.Findings)
		if (tt.note == "") != (len(res.Findings) == 0) || !strings.Contains(said, tt.note) {
			t.Errorf("rate %.5f: findings %s, want %q", tt.given, said, tt.note)
		}
	}
}

// One mark 30 s late does not move the rate (the clock example of the robust line,
// by construction).
func TestRateIsRobust(t *testing.T) {
	times := []float64{12, 95.5, 181, 402.2, 655, 911.3, 1400}
	var stamps []placing.Stamp
	var chapters []placing.Chapter
	for k, at := range times {
		v := 3.25 + 1.001*at
		if k == 3 {
			v += 30
		}
		stamps, chapters = append(stamps, stamp(at, manual().order[2*k])), append(chapters, chapter(v, manual().order[2*k]))
	}
	res := placing.Place(stamps, chapters, manual(), placing.Options{})
	if res.Rate != 1001./1000 || len(res.Pairs) != 6 {
		t.Errorf("rate = %.6f of %d pairs, want 1.001 of the 6 that are right", res.Rate, len(res.Pairs))
	}
}
