package rules_test

import "testing"

func TestRepeatedSteps(t *testing.T) {
	expect(t, "order/repeat", []sample{
		{"once", with("", ticks("rhexis", "hydro", "iol")), nil},
		{"what may repeat", with("", ticks("visco", "rhexis", "visco", "hydro", "visco", "cautery", "hydro", "cortical wash", "iol", "cortical wash")), nil},
		{"twice", with("", ticks("rhexis", "hydro", "rhexis")), []string{
			"case/recording.txt:3:1: note: anterior capsulotomy occurs twice; it is usually done once [order/repeat]"}},
		{"three times is one note", with("", ticks("rhexis", "hydro", "rhexis", "hydro", "rhexis")), []string{
			"case/recording.txt:3:1: note: anterior capsulotomy occurs 3 times; it is usually done once [order/repeat]"}},
		{"neighbours are one run", with("", ticks("rhexis", "rhexis", "hydro")), nil},
		{"a remark between does not part a run", with("", ticks("rhexis", "the light flickered", "rhexis")), nil},
		{"entries without times", with("steps: [{step: capsulotomy}, {step: capsulotomy}]\n", ""), nil},
		{"an entry for the second occurrence alone", with("steps: [{step: capsulotomy, nth: 2, at: \"1:00\"}]\n", ""), []string{
			"case/case.yaml:4:9: note: anterior capsulotomy occurs twice; it is usually done once [order/repeat]"}},
		{"chapters alone", map[string]string{"case.yaml": head, "chapters.vtt": titles("Rhexis", "Hydro", "Rhexis")}, []string{
			"case/chapters.vtt:9:1: note: anterior capsulotomy occurs twice; it is usually done once [order/repeat]"}},
	})
}
