package quantity_test

import (
	"math/big"
	"strings"
	"testing"
	"unicode/utf8"

	"sideport/annotate/quantity"

	"github.com/google/go-cmp/cmp"
)

func TestFindLocatesQuantitiesInRunningText(t *testing.T) {
	for _, tt := range []struct {
		in   string
		want []string
	}{
		{"0:41  rhexis 5.5 mm", []string{"5.5 mm"}},
		{"09:14:32 - rhexis about 5.5-6 mm, trypan 0.06%", []string{"about 5.5-6 mm", "0.06%"}},
		{"09:14 - 6 mm frown 2 mm behind limbus", []string{"6 mm", "2 mm"}},
		{"bottle 65cm vac 280 mmHg flow 25 cc/min", []string{"65cm", "280 mmHg", "25 cc/min"}},
		{"10-0 nylon x1, closed", []string{"10-0 nylon"}},
		{"side port at 9 o'clock (15 deg blade)", []string{"9 o'clock", "15 deg"}},
		{"moxi 500 µg in 0.1 mL", []string{"500 µg in 0.1 mL"}},
		{"adrenaline 1:100,000", []string{"1:100,000"}},
		{"hook from a 30-gauge needle", []string{"30-gauge"}},
		{"VA 6/18 to 6/9", nil},
		{"since the 1980s, 12 cases", nil},
		{"recorded 2026-03-01 0:41", nil},
		{"2.8 keratome", nil},
		{"2.8-mm keratome", []string{"2.8-mm"}},
		{"flat K 43.00 D @ 180.", []string{"43.00 D @ 180"}},
		{"used 6.", nil},
		{"- 6.0 mm.", []string{"6.0 mm"}},
		{"10 - 6 mm", []string{"6 mm"}},
		{"vitamin B12 mg", nil},
		{"5.2.1 mm", nil},
		{"dye under 0.1 mL air over 10 s", []string{"0.1 mL", "10 s"}},
	} {
		var got []string
		for _, f := range quantity.Find(tt.in) {
			if f.Text != tt.in[f.Start:f.End] {
				t.Errorf("Find(%q): Text %q is not what stands at %d-%d", tt.in, f.Text, f.Start, f.End)
			}
			got = append(got, f.Text)
		}
		if diff := cmp.Diff(tt.want, got); diff != "" {
			t.Errorf("Find(%q) (-want +got):\n%s", tt.in, diff)
		}
	}
}

func TestMeridian(t *testing.T) {
	for _, tt := range []struct {
		in, eye string
		want    float64
	}{
		// The standard axis notation: facing the patient 0 at the right, counter-clockwise.
		{"12 o'clock", "", 90}, {"3 o'clock", "", 0}, {"9 o'clock", "", 180}, {"6 o'clock", "", 270}, {"11 o'clock", "", 120},
		{"superior", "", 90}, {"temporal", "right", 180}, {"temporal", "left", 0}, {"nasal", "left", 180},
		{"superotemporal", "right", 135}, {"superotemporal", "left", 45}, {"100°", "", 100}, {"90", "", 90},
	} {
		q, err := quantity.Parse(tt.in)
		if err != nil {
			t.Fatal(err)
		}
		if got, err := quantity.Meridian(q, tt.eye); err != nil || got != tt.want {
			t.Errorf("Meridian(%s, %s) = %v, %v, want %v", tt.in, tt.eye, got, err, tt.want)
		}
	}
	q, _ := quantity.Parse("temporal")
	if got, err := quantity.Meridian(q, ""); err == nil {
		t.Errorf("Meridian(temporal) without an eye = %v, want an error", got)
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"6.2 mm", "about 6,5-7 mm", "1:10 000", "43.00 D @ 180", "10-0 nylon", "500 µg in 0.1 mL", "1/3-1/2", "130/80 mmHg",
		"≥ 6", "12 o'clock", "2,400", "½", "ca. x", "yes", "−3 to −1 D", "1 in 10,000", "0.1 mL of 0.5 %", "23-gauge"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		q, err := quantity.Parse(s)
		if err != nil {
			if err.Error() == "" || strings.HasSuffix(err.Error(), ".") {
				t.Errorf("Parse(%q) error text %q", s, err)
			}
			return
		}
		again, err := quantity.Parse(q.String())
		if err != nil || shortDecimals(q) && !again.Equal(q) {
			t.Errorf("Parse(%q) = %q, which reads back as %q, %v", s, q.String(), again.String(), err)
		}
	})
}

// shortDecimals reports whether at most twelve decimals state the ends, so that
// printing does not round them: 1/7 % and 1 kPa to 9 mmHg are rounded.
func shortDecimals(q quantity.Quantity) bool {
	low, high := q.Ends()
	for _, r := range []*big.Rat{low, high} {
		if r == nil || q.Kind == quantity.Fraction || q.Kind == quantity.Ratio {
			continue
		}
		if n, exact := r.FloatPrec(); !exact || n > 12 {
			return false
		}
	}
	return q.Over == nil || shortDecimals(*q.Over)
}

func FuzzFind(f *testing.F) {
	for _, s := range []string{"0:41 rhexis 5.5 mm, 0.06%", "10-0 nylon", "moxi 500 µg in 0.1 mL at 9 o'clock", "\xff6 mm", "~6mm-7mm 6/18"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		last := 0
		for _, found := range quantity.Find(s) {
			if found.Start < last || found.End <= found.Start || found.End > len(s) {
				t.Fatalf("Find(%q): place %d-%d after %d", s, found.Start, found.End, last)
			}
			if found.Unit == "" || !found.Numeric() {
				t.Fatalf("Find(%q) = %v without unit or value", s, found)
			}
			if utf8.ValidString(s) && !utf8.ValidString(s[found.Start:found.End]) {
				t.Fatalf("Find(%q) cuts a letter at %d-%d", s, found.Start, found.End)
			}
			last = found.End
		}
	})
}

func BenchmarkParse(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if q, err := quantity.Parse("about 6.2-6.8 mm"); err != nil || q.Unit != "mm" {
			b.Fatal(q, err)
		}
	}
}

func BenchmarkFind(b *testing.B) {
	text := "09:14:32 - rhexis about 5.5-6 mm, trypan 0.06%, bottle 65 cm, vacuum 280 mmHg"
	b.ReportAllocs()
	b.SetBytes(int64(len(text)))
	for b.Loop() {
		if got := len(quantity.Find(text)); got != 4 {
			b.Fatal(got)
		}
	}
}
