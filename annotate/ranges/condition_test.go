package ranges_test

import (
	"testing"

	"sideport/annotate/ranges"
)

func TestConditionsKnowThreeAnswers(t *testing.T) {
	hard := "cataract = brown | black or grade.locs3-no >= 5"
	for _, tt := range []struct {
		condition string
		facts     ranges.Facts
		want      ranges.Truth
	}{
		{"variant = ccc | femto", facts("variant=femto"), ranges.True},
		{"variant = ccc", facts("variant=can-opener"), ranges.False},
		{"variant = ccc", facts(), ranges.Unknown},
		{"variant = ccc", facts("variant="), ranges.False}, // known to have none
		{"unless variant = ccc", facts("variant=ccc"), ranges.False},
		{"unless variant = ccc", facts(), ranges.Unknown},
		{"unless variant = ccc", facts("variant=envelope"), ranges.True},
		{hard, facts("cataract=nuclear,brown"), ranges.True},
		{hard, facts("grade.locs3-no=5.0"), ranges.True},
		{hard, facts("grade.locs3-no=4.9"), ranges.Unknown}, // the type is not known
		{hard, facts("grade.locs3-no=4.9", "cataract="), ranges.False},
		{hard, facts("cataract=mature-white"), ranges.Unknown},
		{"unless " + hard, facts("cataract=brown"), ranges.False},
		{"axial-length > 26.5", facts("axial-length=26.5"), ranges.False},
		{"axial-length > 26.5", facts("axial-length=27"), ranges.True},
		{"endothelial-count < 2000", facts("endothelial-count=unread"), ranges.Unknown},
		{"lens.optic-diameter = 6.0", facts("lens.optic-diameter=6"), ranges.True},
		{"event.pc-rupture = yes", facts(), ranges.False}, // what the file records is never unknown
		{"step.wound-suture = no", facts(), ranges.True},
	} {
		c, err := ranges.ParseCondition(tt.condition)
		if err != nil {
			t.Fatal(err)
		}
		if got := c.Holds(tt.facts); got != tt.want {
			t.Errorf("(%s).holds(%v) = %d, want %d", tt.condition, tt.facts, got, tt.want)
		}
		if c.String() != tt.condition {
			t.Errorf("ParseCondition(%q).String() = %q", tt.condition, c)
		}
	}
	for _, bad := range []string{"", "variant", "= ccc", "variant = ", "grade.locs3-no >= hard", "a >= 1 | 2"} {
		if c, err := ranges.ParseCondition(bad); err == nil {
			t.Errorf("ParseCondition(%q) = %s, want an error", bad, c)
		}
	}
}

func BenchmarkLoad(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if got := len(ranges.Load(nil).Rows()); got == 0 {
			b.Fatal("no rows")
		}
	}
}

func BenchmarkJudge(b *testing.B) {
	table := ranges.Builtin()
	p, _ := table.Parameter("capsulotomy", "rhexis-diameter")
	q, err := p.Parse("5.2 mm")
	if err != nil {
		b.Fatal(err)
	}
	for _, bm := range []struct {
		name  string
		facts ranges.Facts
	}{{"one", msicsCCC}, {"union", facts("procedure=msics")}} {
		b.Run(bm.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if j := table.Judge("rhexis-diameter", "capsulotomy", q, bm.facts); j.Result != ranges.Outside {
					b.Fatal(j.Result)
				}
			}
		})
	}
}
