package taxonomy_test

import (
	"fmt"

	"sideport/annotate/taxonomy"
)

func ExampleProcedure_Match() {
	p, _ := taxonomy.ByID("msics")
	for _, note := range []string{"can opener, 60 nicks", "capsulorexis 6.2-6.8 mm", "iris prolapse during nucleus delivery", "no leak", "wash"} {
		m := p.Match(note, taxonomy.Context{Previous: "nucleus-delivery", Next: "iol-insertion"})
		fmt.Printf("%s: %s %s %s %.2f\n", note, m.Kind, m.ID, m.Variant, m.Confidence)
	}
	s, _ := p.Step("capsulotomy")
	fmt.Printf("%s, %d to %d s: %s\n", s.Label, s.WindowS[0], s.WindowS[1], s.Window.Evidence)
	// Output:
	// can opener, 60 nicks: step capsulotomy can-opener 0.90
	// capsulorexis 6.2-6.8 mm: step capsulotomy  0.75
	// iris prolapse during nucleus delivery: complication iris-prolapse  0.90
	// no leak: remark   0.00
	// wash: step cortex-aspiration  0.85
	// Anterior capsulotomy, 15 to 600 s: assumption
}
