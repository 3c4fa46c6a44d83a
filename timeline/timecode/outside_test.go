package timecode_test

import (
	"encoding/json"
	"strconv"
	"strings"
	"testing"

	"sideport/timeline/timecode"
	"sideport/timeline/timelinetest"
)

// The independent counter is npm smpte-timecode 1.3.6: the codes of a day of frames,
// every seventh.
const countScript = `
const Timecode = require(process.argv[1]);
const out = [];
for (const [rate, drop, day] of JSON.parse(process.argv[2])) {
  const codes = [];
  for (let n = 0; n < day; n += 7) codes.push(new Timecode(n, rate, drop).toString());
  out.push(codes.join(" "));
}
console.log(JSON.stringify(out));
`

func TestCodesAgreeWithSMPTETimecode(t *testing.T) {
	pkg := timelinetest.NeedNPM(t, "smpte-timecode")
	rates := []string{"29.97 drop", "59.94 drop", "23.976", "25", "29.97", "30", "50", "60"}
	var asked []string
	for _, label := range rates {
		rate, err := timecode.ParseRate(label)
		if err != nil {
			t.Fatal(err)
		}
		number, _, drop := strings.Cut(label, " ")
		asked = append(asked, "["+number+","+strconv.FormatBool(drop)+","+strconv.FormatInt(rate.FramesPerDay(), 10)+"]")
	}
	raw := timelinetest.Run(t, timelinetest.NeedTool(t, "node", "nodejs"), "-e", countScript, pkg, "["+strings.Join(asked, ",")+"]")
	var answers []string
	if err := json.Unmarshal(raw, &answers); err != nil || len(answers) != len(rates) {
		t.Fatalf("node prints %d answers: %v", len(answers), err)
	}
	for i, label := range rates {
		rate, err := timecode.ParseRate(label)
		if err != nil {
			t.Fatal(err)
		}
		codes := strings.Fields(answers[i])
		if want := int((rate.FramesPerDay() + 6) / 7); len(codes) != want {
			t.Fatalf("%s: %d codes, want %d", label, len(codes), want)
		}
		for k, code := range codes {
			n := int64(k) * 7
			if got := rate.CodeText(n); got != code {
				t.Fatalf("%s: frame %d has the code %s, smpte-timecode has %s", label, n, got, code)
			}
		}
	}
}
