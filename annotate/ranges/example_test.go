package ranges_test

import (
	"fmt"

	"sideport/annotate/ranges"
)

func Example() {
	table := ranges.Builtin()
	p, _ := table.Parameter("capsule-stain", "stain-concentration")
	for _, text := range []string{"0.06 %", "0.12 %", "0.6 mg/mL", "0.6 %"} {
		q, err := p.Parse(text)
		if err != nil {
			fmt.Println(err)
			continue
		}
		j := table.Judge(p.ID, "capsule-stain", q, ranges.Facts{"procedure": {"msics"}})
		fmt.Println(text, j.Result)
		for _, f := range j.Findings {
			fmt.Println("  ", f.Severity, f.Message, "["+f.Rule+"]", f.Evidence)
		}
	}
	// Output:
	// 0.06 % within
	// 0.12 % outside
	//    caution stain concentration 0.12 % is above 0.0125–0.10 % [range/stain-concentration] confirmed
	// 0.6 mg/mL within
	// 0.6 % far-outside
	//    stop stain concentration 0.6 % is 10 times a value inside 0.0125–0.10 % [range/slip] confirmed
}
