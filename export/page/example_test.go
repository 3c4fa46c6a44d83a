package page_test

import (
	"bytes"
	"fmt"
	"time"

	"sideport/annotate"
	"sideport/annotate/taxonomy"
	"sideport/export/page"
	"sideport/export/words"
	"sideport/timeline"
	"sideport/timeline/source/yamldoc"
)

// A case of one step: the page holds a link to the step's moment, and the caution.
func Example() {
	msics, _ := taxonomy.ByID("msics")
	recorded := timeline.Span{From: 77 * time.Second, To: 95 * time.Second}
	c := &annotate.Case{
		Material:  &annotate.Material{File: &annotate.File{Title: yamldoc.Text{Value: "A can-opener in a small pupil", Set: true}}},
		Procedure: msics, Languages: []string{"en"}, HasVideoClock: true, VideoLength: 245 * time.Second,
		Steps: []annotate.Step{{
			ID: "capsulotomy", Nth: 1, Procedure: msics, Variant: "can-opener", Recording: &recorded,
			Video: []timeline.Span{{From: 61200 * time.Millisecond, To: 79200 * time.Millisecond}},
		}},
	}
	var b bytes.Buffer
	err := page.Write(&b, c, page.Options{VideoFile: "video.webm"})
	fmt.Println(err)
	fmt.Println(bytes.Contains(b.Bytes(), []byte(`href="./video.webm#t=61.2"`)))
	fmt.Println(bytes.Contains(b.Bytes(), []byte(words.Caution)))
	// Output:
	// <nil>
	// true
	// true
}
