package placing_test

import (
	"fmt"
	"time"

	"sideport/annotate/placing"
)

func ExamplePlace() {
	// Five stamps of a recording; the video opens with a five-second title and leaves
	// out half a minute between the third and the fourth.
	stamps := []placing.Stamp{
		{At: 20 * time.Second, Step: "side-port"}, {At: 77 * time.Second, Step: "capsulotomy"},
		{At: 110 * time.Second, Step: "hydroprocedure"}, {At: 190 * time.Second, Step: "nucleus-delivery"},
		{At: 240 * time.Second, Step: "iol-insertion"},
	}
	chapters := []placing.Chapter{
		{From: 25 * time.Second, Step: "side-port"}, {From: 82 * time.Second, Step: "capsulotomy"},
		{From: 165 * time.Second, Step: "nucleus-delivery"}, {From: 215 * time.Second, Step: "iol-insertion"},
	}
	res := placing.Place(stamps, chapters, nil, placing.Options{VideoLength: 300 * time.Second})
	for _, p := range res.Pairs {
		fmt.Printf("%s: recording %v, video %v, confidence %.2f\n", p.Step, stamps[p.Stamp].At, chapters[p.Chapter].From, p.Confidence)
	}
	c := res.Cuts[0]
	fmt.Printf("%v removed between %v and %v\n", c.Removed, c.RecordingFrom, c.RecordingTo)
	fmt.Printf("in front: a card of %v\n", res.Inserts[0].To)
	// Output:
	// side-port: recording 20s, video 25s, confidence 0.99
	// capsulotomy: recording 1m17s, video 1m22s, confidence 0.99
	// nucleus-delivery: recording 3m10s, video 2m45s, confidence 0.99
	// iol-insertion: recording 4m0s, video 3m35s, confidence 0.99
	// 30s removed between 1m17s and 3m10s
	// in front: a card of 5s
}
