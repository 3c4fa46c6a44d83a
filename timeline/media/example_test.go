package media_test

import (
	"bytes"
	"fmt"

	"sideport/timeline/media"
)

// The facts of a small MOV file: its header counts 147 120 units of 1/600 s.
func Example() {
	raw := bytes.Join([][]byte{
		box("ftyp", []byte("qt  \x00\x00\x00\x00")),
		box("mdat", make([]byte, 1000)),
		box("moov",
			box("mvhd", head0(created, 600, 147120)),
			track("vide", 0, 30000, "", stsd("avc1"), stts(7349, 1001)),
			box("udta", box("\xa9nam", []byte{0, 7, 0, 0}, []byte("Case 12")))),
	}, nil)
	facts, err := media.Read(bytes.NewReader(raw), int64(len(raw)))
	if err != nil {
		fmt.Println(err)
	}
	fmt.Println(facts.Duration, facts.Created)
	fmt.Println(facts.Tracks[0].Kind, facts.Tracks[0].Rate)
	fmt.Println(facts.Tags[0].Name, "=", facts.Tags[0].Value)
	// Output:
	// 4m5.2s 2026-03-01T09:14:32Z
	// video 29.97
	// title = Case 12
}
