package format_test

import (
	"fmt"

	"sideport/timeline/format"
	"sideport/timeline/source"
)

// A narration track with one cue that cannot be read: the others are, and the
// finding says where and why.
func Example() {
	raw := []byte(`WEBVTT

00:01:17.000 --> 00:01:20.500 align:start
<v Surgeon>Rhexis of 5.5&nbsp;mm.</v>

00:01:75.000 --> 00:01:80.000
Pressure 14 mmHg.

00:01:24.000 --> 00:01:26.000
Bottle at 65 cm.
`)
	report := func(f source.Finding) { fmt.Println(f) }
	src := source.Decode("narration.vtt", raw, report)
	reader, ok := format.For(format.Narration, src)
	if !ok {
		return
	}
	for _, c := range reader.Cues(src, report) {
		fmt.Printf("%v to %v %q %v\n", c.From, c.To, format.PlainText(c.Text), format.Voices(c.Text))
	}
	// Output:
	// narration.vtt:6:7: error: cue left out: the start time has seconds 75, above 59 [read/bad-time]
	// 1m17s to 1m20.5s "Rhexis of 5.5\u00a0mm." [Surgeon]
	// 1m24s to 1m26s "Bottle at 65 cm." []
}
