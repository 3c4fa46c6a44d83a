package rule_test

import (
	"fmt"

	"sideport/annotate"
	"sideport/annotate/rule"
	"sideport/timeline/source"
	"sideport/timeline/source/yamldoc"
)

func ExampleWaive() {
	height := 45.0
	found := []source.Finding{{
		Rule: "range/bottle-height", Step: "cortex-aspiration", Nth: 1, Severity: source.Caution,
		Message: "bottle height 45 cm is below 50–80 cm",
		Value:   &source.Bounds{Low: &height, High: &height, Unit: "cm"},
	}}
	var file annotate.File
	yamldoc.Decode(source.New("case.yaml", []byte(`waivers:
  - {rule: range/bottle-height, step: cortex-aspiration, nth: 1, value: 45 cm, reason: small pupil, by: T3}
  - {rule: range/bottle-height, step: cortex-aspiration, nth: 1, value: 60 cm, reason: small pupil, by: T3}
`)), &file, func(f source.Finding) { fmt.Println(f) })
	for _, f := range rule.Waive(found, file.Waivers) {
		fmt.Println(f)
	}
	// Output:
	// -: caution: bottle height 45 cm is below 50–80 cm [range/bottle-height] (listed exception)
	// case.yaml:3:12: note: the waiver for range/bottle-height at cortex-aspiration 1 was given for 60 cm; recorded is 45 cm [read/waiver-lapsed]
}
