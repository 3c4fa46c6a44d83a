package quantity_test

import (
	"testing"

	"sideport/annotate/quantity"
)

func TestParseReadsWhatCliniciansWrite(t *testing.T) {
	for _, tt := range []struct{ in, want string }{
		{"6.2 mm", "6.2 mm"},
		{"6,5mm", "6.5 mm"},
		{"6.2-6.8 mm", "6.2–6.8 mm"},
		{"6.2 – 6.8 mm", "6.2–6.8 mm"},
		{"6.2 mm - 6.8 mm", "6.2–6.8 mm"},
		{"6 to 7 mm", "6–7 mm"},
		{"6 mm to 7 mm", "6–7 mm"},
		{"between 6 and 7 mm", "6–7 mm"},
		{"6..7 mm", "6–7 mm"},
		{"900 µm to 1.2 mm", "0.9–1.2 mm"},
		{"about 6 mm", "about 6 mm"},
		{"approx 6 mm", "about 6 mm"},
		{"approx. 6 mm", "about 6 mm"},
		{"~6 mm", "about 6 mm"},
		{"ca. 6 mm", "about 6 mm"},
		{"6 mm approx", "about 6 mm"},
		{">= 6 mm", "≥ 6 mm"},
		{"≥ 6", "≥ 6"},
		{"at least 6 mm", "≥ 6 mm"},
		{"< 300 mmHg", "< 300 mmHg"},
		{"up to 400 mm Hg", "≤ 400 mmHg"},
		{"25 cc/min", "25 mL/min"},
		{"25 ml per minute", "25 mL/min"},
		{"65 cm", "65 cm"},
		{"0.06 %", "0.06 %"},
		{"0.06%", "0.06 %"},
		{"5 percent", "5 %"},
		{"1:10 000", "1:10,000"},
		{"1:100,000", "1:100,000"},
		{"1 in 10,000", "1:10,000"},
		{"1:400,000 - 1:100,000", "1:400,000 to 1:100,000"},
		{"43.00 D @ 180", "43.00 D @ 180"},
		{"1.25 D x 80", "1.25 D @ 80"},
		{"44.5 @ 0", "44.5 @ 180"},
		{"10-0", "10-0"},
		{"10/0", "10-0"},
		{"10-0 nylon", "10-0 nylon"},
		{"4-0 silk", "4-0 silk"},
		{"23 G", "23 G"},
		{"23 gauge", "23 G"},
		{"26G", "26 G"},
		{"30-gauge", "30 G"},
		{"27-30 G", "27–30 G"},
		{"2400", "2400"},
		{"2400 cells/mm2", "2400 cells/mm2"},
		{"2,400 cells/mm²", "2400 cells/mm2"},
		{"0.3 mL", "0.3 mL"},
		{"0.3 cc", "0.3 mL"},
		{"0.5 mg / 0.1 mL", "0.5 mg in 0.1 mL"},
		{"500 µg in 0.1 mL", "500 µg in 0.1 mL"},
		{"500 mcg/0.1ml", "500 µg in 0.1 mL"},
		{"0.1 mL of 0.5 %", "0.1 mL of 0.5 %"},
		{"90°", "90 °"},
		{"90 deg", "90 °"},
		{"12 o'clock", "12 o'clock"},
		{"at 12 o’clock", "12 o'clock"},
		{"1/3", "1/3"},
		{"1/3-1/2", "1/3–1/2"},
		{"½ thickness", "1/2"},
		{"0,125 mL", "0.125 mL"},
		{"1 200.5 mL", "1200.5 mL"},
		{"1,234,567 cells", "1234567 cells/mm2"},
		{"-0.5 D", "-0.5 D"},
		{"-3 to -1 D", "-3 to -1 D"},
		{"-3..+1 D", "-3–1 D"},
		{"130/80 mmHg", "130/80 mmHg"},
		{"true", "yes"},
		{"No", "no"},
		{"Sodium Hyaluronate", "sodium-hyaluronate"},
		{"8.2 %-s", "8.2 %-s"},
		{"534 microns", "534 µm"},
		{"2-3 clock hours", "2–3 clock hours"},
		{"37 °C", "37 °C"},
		{"60 nicks", "60 count"},
	} {
		q, err := quantity.Parse(tt.in)
		if err != nil {
			t.Errorf("Parse(%q) error = %v, want %s", tt.in, err, tt.want)
			continue
		}
		if got := q.String(); got != tt.want {
			t.Errorf("Parse(%q) = %s, want %s", tt.in, got, tt.want)
		}
		if q.Text != tt.in {
			t.Errorf("Parse(%q).Text = %q, want the text as written", tt.in, q.Text)
		}
		again, err := quantity.Parse(q.String())
		if err != nil || !again.Equal(q) {
			t.Errorf("Parse(%q) = %v, %v, want %v", q.String(), again, err, q)
		}
	}
}

func TestParseRefusesWhatCanBeReadTwoWays(t *testing.T) {
	for _, tt := range []struct{ in, want string }{
		{"", "no value is written"},
		{"7-6 mm", "the range runs from high to low (7 to 6)"},
		{"7-0 mm", "the range runs from high to low (7 to 0)"},
		{"2,400", `"2,400" can be read as 2400 or as 2.4; write the one that is meant`},
		{"2,400 mm", `"2,400" can be read as 2400 or as 2.4; write the one that is meant`},
		{"2.400 cells/mm2", `"2.400" can be read as 2400 or as 2.4; write the one that is meant`},
		{"7 ± 0.66 mm", "plus-minus does not state two ends; both ends are written out, or the value alone"},
		{"6.2 mn", `cannot read "mn" after "6.2"`},
		{"1,23,4 mm", `cannot read the number "1,23,4": its marks do not separate thousands and one decimal part`},
		{"43 D @ 190", "the axis 190 is above 180 degrees"},
		{"13 o'clock", "a clock face has the hours 1 to 12, found 13"},
		{"2:10 000", `a ratio is written 1:n, found "2:10 000"`},
		{"6 mm - 7 mL", "the ends are in units that do not match: mm is a unit of length and mL one of volume"},
		{"23.5 G", `a size is a whole number, found "23.5"`},
		{"≥ 6-7 mm", "a range and a bound such as ≥ are written together"},
		{"about 7-6 mm", "the range runs from high to low (7 to 6)"},
		{"6-7-8 mm", `cannot read "-8 mm" after "6-7"`},
		{"1/0 mm", ""},
		{"1234567890123456 mm", `cannot read the number "1234567890123456": it has more than 15 digits`},
	} {
		q, err := quantity.Parse(tt.in)
		if err == nil {
			t.Errorf("Parse(%q) = %s, want the error %q", tt.in, q, tt.want)
			continue
		}
		if tt.want != "" && err.Error() != tt.want {
			t.Errorf("Parse(%q) error = %q, want %q", tt.in, err, tt.want)
		}
	}
}
