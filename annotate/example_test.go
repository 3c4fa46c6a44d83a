package annotate_test

import (
	"fmt"

	"sideport/annotate"
	"sideport/annotate/ranges"
)

// A case folder is read, its steps are placed on both clocks and its values are
// judged. The recording's clock showed 14:06:40 at its beginning and 14:11:52 at the
// rhexis, which is 5 min 12 s into the recording and, by its chapter, 96 s into the
// video. A value that lies outside names the sources of the range.
func Example() {
	m, err := annotate.Load("../testdata/cases/msics-chevron", "msics-chevron")
	if err != nil {
		fmt.Println(err)
		return
	}
	c, ok := annotate.Resolve(m, ranges.Builtin())
	if !ok {
		fmt.Println(c.Findings)
		return
	}
	fmt.Printf("%d stamps, %d chapters, %d pairs; the clock is %s\n", len(c.Marks), len(c.Titles), len(c.Pairs), c.Clock.Kind)
	for _, s := range c.Steps {
		if s.ID == "capsulotomy" {
			fmt.Printf("%s (%s): recording %v-%v, video %v-%v\n", s.ID, s.Variant, s.Recording.From, s.Recording.To, s.Video[0].From, s.Video[0].To)
		}
		for _, v := range s.Values {
			if v.Judgement.Result == ranges.Outside {
				j := v.Judgement
				fmt.Printf("%s: %s %s is %s %g-%g %s [%s]\n", s.ID, c.ParameterLabel(v), v.Shown(), j.Result, *j.Accepted.Low, *j.Accepted.High, j.Accepted.Unit, j.SourceID)
			}
		}
	}
	// Output:
	// 27 stamps, 19 chapters, 18 pairs; the clock is wall
	// tunnel-dissection: corneal advance 0.9 mm (estimated) is outside 1-2 mm [S3, S8, S10, N17, N26, N27]
	// capsulotomy (ccc): recording 5m12s-6m1s, video 1m36s-2m4.2s
}
