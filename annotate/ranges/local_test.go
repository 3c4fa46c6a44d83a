package ranges_test

import (
	"strings"
	"testing"

	"sideport/annotate/ranges"
	"sideport/timeline/source"

	"github.com/google/go-cmp/cmp"
)

const ours = `whose: the unit
rows:
  - parameter: bottle-height
    steps: [cortex-aspiration]
    procedure: msics
    when: [variant = simcoe, step.acm-insertion = no]
    accept: 35..60
    hard: 30..110
  - parameter: rhexis-diameter
    procedure: msics
    when: [variant = envelope]
    accept: 5..6
    severity: note
    evidence: from-memory
  - parameter: bottle-heigth
    accept: 1..2
  - parameter: flow
    accept: 5 mL
  - parameter: flow
    when: [technique ccc]
    accept: 7..5
    severity: bad
`

func local(t *testing.T, text string) (*ranges.Table, []string) {
	t.Helper()
	var faults []string
	rows := ranges.Builtin().ParseLocal(source.New("ours.yaml", []byte(text)), func(f source.Finding) { faults = append(faults, f.String()) })
	return ranges.Builtin().With(rows), faults
}

func TestLocalRowsTakeThePlaceOfBuiltinOnes(t *testing.T) {
	table, faults := local(t, ours)
	simcoe := facts("procedure=msics", "variant=simcoe")
	for _, tt := range []struct {
		table *ranges.Table
		value string
		want  string
	}{
		{table, "45 cm", ""},
		{table, "65 cm", "caution: bottle height 65 cm is above 35–60 cm, the range of the unit [range/bottle-height]"},
		{ranges.Builtin(), "45 cm", "caution: bottle height 45 cm is below 50–80 cm [range/bottle-height]"},
		{ranges.Builtin(), "65 cm", ""},
	} {
		j := judge(t, tt.table, "bottle-height", "cortex-aspiration", tt.value, simcoe)
		if diff := cmp.Diff(tt.want, lines(j)); diff != "" {
			t.Errorf("bottle height %s (-want +got):\n%s", tt.value, diff)
		}
	}
	j := judge(t, table, "rhexis-diameter", "capsulotomy", "4 mm", facts("procedure=msics", "variant=envelope"))
	if want := "note: rhexis diameter 4 mm is below 5–6 mm, the range of the unit [range/rhexis-diameter]"; lines(j) != want {
		t.Errorf("a row of one's own for a technique without one: %q, want %q", lines(j), want)
	}
	wantFaults := []string{
		`ours.yaml:15:16: error: unknown parameter "bottle-heigth"; the nearest known one is "bottle-height" [read/ranges]`,
		`ours.yaml:18:13: error: cannot read the range: mL is a unit of volume and mL/min one of flow [read/ranges]`,
		`ours.yaml:21:13: error: cannot read the range: the range runs from high to low (7 to 5) [read/ranges]`,
		`ours.yaml:20:12: error: cannot read the condition "technique ccc"; it is written fact = value, fact = value | value or fact >= number [read/ranges]`,
		`ours.yaml:22:15: error: expected a severity note, caution or stop, or two with / between, found "bad" [read/ranges]`,
	}
	if diff := cmp.Diff(wantFaults, faults); diff != "" {
		t.Errorf("faults (-want +got):\n%s", diff)
	}
}

// A unit's own row may weigh what it likes; without a source it stays a caution.
func TestALocalRowWithoutSourceIsCappedToo(t *testing.T) {
	table, faults := local(t, "whose: us\nrows:\n  - {parameter: corneal-advance, accept: 1.5..2, severity: stop}\n")
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	j := judge(t, table, "corneal-advance", "tunnel-dissection", "1.2 mm", facts())
	if want := "caution: corneal advance 1.2 mm is below 1.5–2 mm, the range of us [range/corneal-advance]"; lines(j) != want {
		t.Errorf("%q, want %q", lines(j), want)
	}
}

func FuzzParseLocal(f *testing.F) {
	f.Add(ours)
	f.Add("whose: us\nrows:\n  - {parameter: leak, words: [\"no\"], evidence: confirmed/assumption, sources: [S1, ours]}\n")
	f.Add("rows: {}\n")
	f.Fuzz(func(t *testing.T, text string) {
		src := source.New("f.yaml", []byte(strings.ToValidUTF8(text, "?")))
		rows := ranges.Builtin().ParseLocal(src, func(found source.Finding) {
			if found.Severity != source.Error || found.Message == "" {
				t.Errorf("fault %v", found)
			}
		})
		for _, r := range rows {
			if r.Local == "" || r.Parameter == "" {
				t.Errorf("row %+v of nobody", r)
			}
		}
		ranges.Builtin().With(rows)
	})
}
