package placing_test

import (
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"sideport/annotate/placing"
)

// long strings several generated cases together, so that names repeat as they
// would in a list far longer than a real one.
func long(n int) ([]placing.Stamp, []placing.Chapter) {
	r := rand.New(rand.NewPCG(9, 0))
	var stamps []placing.Stamp
	var chapters []placing.Chapter
	var recording, video time.Duration
	for len(stamps) < n {
		m := generate(r, recipe{cuts: 3, jitter: time.Second})
		for _, s := range m.stamps {
			s.At += recording
			stamps = append(stamps, s)
		}
		for _, c := range m.chapters {
			c.From += video
			chapters = append(chapters, c)
		}
		recording, video = recording+m.recordings, video+m.length
	}
	return stamps[:n], chapters[:min(n, len(chapters))]
}

func BenchmarkPlace(b *testing.B) {
	for _, n := range []int{16, 64, 256, 1024, 2048} {
		b.Run(fmt.Sprintf("n=%d", n), func(b *testing.B) {
			stamps, chapters := long(n)
			b.ReportAllocs()
			for b.Loop() {
				res := placing.Place(stamps, chapters, manual(), placing.Options{})
				if len(res.Pairs) < len(chapters)/2 {
					b.Fatalf("%d pairs of %d chapters", len(res.Pairs), len(chapters))
				}
			}
		})
	}
}

// dense is the worst for what looks at marks close to each other: all name one step and
// stand 2 ms apart.
func BenchmarkPlaceDense(b *testing.B) {
	for _, n := range []int{16, 64, 256, 1024} {
		b.Run(fmt.Sprintf("n=%d", n), func(b *testing.B) {
			var stamps []placing.Stamp
			var chapters []placing.Chapter
			for k := range n {
				at := time.Duration(2*k) * time.Millisecond
				stamps = append(stamps, placing.Stamp{At: at, Step: "capsulotomy", Confidence: 1, Kind: "step"})
				chapters = append(chapters, placing.Chapter{From: at, Step: "capsulotomy", Confidence: 1, Kind: "step"})
			}
			b.ReportAllocs()
			for b.Loop() {
				if res := placing.Place(stamps, chapters, manual(), placing.Options{}); res.Rate != 1 {
					b.Fatalf("rate %v", res.Rate)
				}
			}
		})
	}
}
