package taxonomy_test

import (
	"strings"
	"testing"

	"sideport/annotate/taxonomy"
)

// The whole build of a case has 150 ms; the vocabulary may take a few of them.
func BenchmarkLoad(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		p := taxonomy.Load()[0]
		if m := p.Match("CCC", taxonomy.Context{}); m.ID != "capsulotomy" {
			b.Fatalf("Match(CCC) = %+v, want capsulotomy", m)
		}
	}
}

func BenchmarkMatch(b *testing.B) {
	p, _ := taxonomy.ByID("msics")
	for name, text := range map[string]string{
		"whole":   "CCC",
		"phrase":  "rhexis with Utrata forceps, 5.5-6 mm",
		"near":    "capsulorexis complete",
		"nothing": "asked the patient to look straight into the light",
		"page":    strings.Repeat("capsulorexes nukleus delivary ", 1<<15),
	} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if m := p.Match(text, taxonomy.Context{}); m.Confidence > 1 {
					b.Fatalf("Match(%q) = %+v", text, m)
				}
			}
		})
	}
}
