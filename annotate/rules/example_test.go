package rules_test

import (
	"fmt"
	"os"
	"path/filepath"

	"sideport/annotate"
	"sideport/annotate/ranges"
	"sideport/annotate/rules"
)

// A case with a small rhexis, a capsule stained after it was opened, and a waiver
// for the rhexis.
func Example() {
	temp, err := os.MkdirTemp("", "example")
	if err != nil {
		fmt.Println(err)
		return
	}
	defer func() { _ = os.RemoveAll(temp) }()
	dir := filepath.Join(temp, "case")
	text := `sideport: 1
title: A small rhexis
procedure: msics
recording: {clock: elapsed}
steps:
  - {step: capsulotomy, variant: ccc, at: "2:10", values: {rhexis-diameter: 5.2 mm}}
  - {step: capsule-stain, at: "3:05"}
waivers:
  - {rule: range/rhexis-diameter, step: capsulotomy, value: 5.2 mm, reason: small pupil, by: T3}
`
	if err := os.Mkdir(dir, 0o755); err != nil {
		fmt.Println(err)
		return
	}
	if err := os.WriteFile(filepath.Join(dir, "case.yaml"), []byte(text), 0o644); err != nil {
		fmt.Println(err)
		return
	}
	m, err := annotate.Load(dir, "case")
	if err != nil {
		fmt.Println(err)
		return
	}
	c, ok := annotate.Resolve(m, ranges.Builtin())
	if !ok {
		return
	}
	for _, f := range rules.Waive(rules.Check(c), c) {
		fmt.Println(f)
		fmt.Println("  ", f.Evidence)
	}
	// Output:
	// case/case.yaml:6:5: stop: anterior capsulotomy at 2:10.0 comes before capsule staining at 3:05.0; the usual order is capsule staining first [order/sequence]
	//    common-practice
	// case/case.yaml:6:77: caution: rhexis diameter 5.2 mm is below 5.5–7.5 mm [range/rhexis-diameter] (listed exception)
	//    confirmed
}
