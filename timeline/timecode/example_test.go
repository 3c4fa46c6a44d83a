package timecode_test

import (
	"fmt"
	"time"

	"sideport/timeline/timecode"
)

// A list jotted beside a recorder that shows the time of day, taken past
// midnight.
func Example() {
	var list []timecode.Reading
	for _, line := range []string{"23:58:10 - port", "23:59:40-00:00:15 rhexis", "0:03:05 nucleus out"} {
		at, _, text, _, err := timecode.Cut(line)
		if err != nil {
			fmt.Println(err)
			continue
		}
		fmt.Printf("%s is %q\n", at, text)
		list = append(list, at)
	}
	kind, why, _ := timecode.Classify(list, timecode.Unknown)
	fmt.Printf("%s: %s\n", kind, why)

	clock := timecode.Clock{Kind: kind}
	var times []time.Duration
	for _, r := range list {
		t, err := clock.Time(r)
		if err != nil {
			fmt.Println(err)
		}
		times = append(times, t)
	}
	rolled, _ := clock.Roll(times)
	for _, t := range rolled {
		fmt.Println(timecode.Format(t - rolled[0]))
	}
	// Output:
	// 23:58:10 is "port"
	// 23:59:40 is "rhexis"
	// 0:03:05 is "nucleus out"
	// wall: the first time is at or above 02:00:00
	// 0:00.0
	// 1:30.0
	// 4:55.0
}
