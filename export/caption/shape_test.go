package caption_test

import (
	"fmt"
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"
	"time"
	"unicode"
	"unicode/utf8"

	"sideport/export/caption"
	"sideport/timeline/source"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"
)

func spoken(from, to float64, text string) caption.Spoken {
	return caption.Spoken{From: sec(from), To: sec(to), Text: text}
}

func sec(s float64) time.Duration { return time.Duration(s*1000) * time.Millisecond }

// print writes cues as "from-to text" with / for a line end.
func printCues(cues []caption.Cue) []string {
	var out []string
	for _, c := range cues {
		out = append(out, fmt.Sprintf("%.2f-%.2f %s", c.From.Seconds(), c.To.Seconds(), strings.ReplaceAll(c.Text, "\n", " / ")))
	}
	return out
}

func TestShape(t *testing.T) {
	tests := []struct {
		name   string
		speech []caption.Spoken
		want   []string
		rules  []string
	}{
		{"what fits stays", []caption.Spoken{spoken(1, 4, "now the tunnel,\nsix and a half millimetres")},
			[]string{"1.00-4.00 now the tunnel, / six and a half millimetres"}, nil},
		{"two even lines", []caption.Spoken{spoken(0, 6, "I make the first nick with the bent needle, in one piece, at two o'clock")},
			[]string{"0.00-6.00 I make the first nick with the bent / needle, in one piece, at two o'clock"}, nil},
		{"long stretch split at the sentence", []caption.Spoken{spoken(0, 12, "Here the capsule is stained with trypan blue under air. Then the chamber is filled with viscoelastic and the flap is lifted with the forceps.")},
			[]string{
				"0.00-4.73 Here the capsule is stained / with trypan blue under air.",
				"4.73-10.95 Then the chamber is filled with / viscoelastic and the flap is lifted with",
				"10.95-12.00 the forceps.",
			}, []string{"speech/line-length"}},
		{"held into the silence", []caption.Spoken{spoken(1, 1.2, "good"), spoken(10, 10.5, "and out")},
			[]string{"1.00-2.00 good", "10.00-11.00 and out"}, nil},
		{"held up to the next cue", []caption.Spoken{spoken(1, 1.2, "good"), spoken(1.7, 3, "and out")},
			[]string{"1.00-1.70 good", "1.70-3.00 and out"}, []string{"speech/duration"}},
		{"small gap closed", []caption.Spoken{spoken(1, 2.95, "good"), spoken(3, 5, "and out")},
			[]string{"1.00-3.00 good", "3.00-5.00 and out"}, nil},
		{"overlap taken off the earlier", []caption.Spoken{spoken(1, 4, "good"), spoken(3, 5, "and out")},
			[]string{"1.00-3.00 good", "3.00-5.00 and out"}, []string{"speech/overlap"}},
		{"one start shared out", []caption.Spoken{spoken(1, 5, "aaaa"), spoken(1, 3, "bbbb")},
			[]string{"1.00-3.00 aaaa", "3.00-5.00 bbbb"}, []string{"speech/overlap"}},
		{"out of order", []caption.Spoken{spoken(5, 7, "second"), spoken(1, 3, "first")},
			[]string{"1.00-3.00 first", "5.00-7.00 second"}, nil},
		{"no length", []caption.Spoken{spoken(5, 5, "seventeen letters")},
			[]string{"5.00-6.00 seventeen letters"}, nil},
		{"number and unit", []caption.Spoken{spoken(0, 5, "the bottle stands at a height of about 65 cm and the vacuum is 300 mm Hg")},
			[]string{"0.00-5.00 the bottle stands at a height of about / 65 cm and the vacuum is 300 mm Hg"}, []string{"speech/line-length", "speech/reading-speed"}},
		{"too fast", []caption.Spoken{spoken(0, 1, "this is far too much to read in a second"), spoken(1, 3, "next")},
			[]string{"0.00-1.00 this is far too much to read in a second", "1.00-3.00 next"}, []string{"speech/reading-speed", "speech/line-length"}},
		{"word longer than a line", []caption.Spoken{spoken(0, 5, strings.Repeat("x", 43))},
			[]string{"0.00-5.00 " + strings.Repeat("x", 43)}, []string{"speech/line-length"}},
		{"nothing said", []caption.Spoken{spoken(0, 5, " \n")}, nil, nil},
		{"marks do not count", []caption.Spoken{spoken(0, 6, strings.Repeat("कि", 21)+" "+strings.Repeat("क्", 21))},
			[]string{"0.00-6.00 " + strings.Repeat("कि", 21) + " / " + strings.Repeat("क्", 21)}, []string{"speech/line-length"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			cues, findings := caption.Shape(tt.speech, caption.DefaultProfile())
			if diff := cmp.Diff(tt.want, printCues(cues), cmpopts.EquateEmpty()); diff != "" {
				t.Errorf("Shape (-want +got)\n%s", diff)
			}
			var rules []string
			for _, f := range findings {
				rules = append(rules, f.Rule)
			}
			if diff := cmp.Diff(tt.rules, rules, cmpopts.EquateEmpty()); diff != "" {
				t.Errorf("rules (-want +got)\n%s\n%v", diff, findings)
			}
		})
	}
}

// What a number keeps is bounded, so a long run of numbers or signs is cut into
// lines as any text is and costs no more.
func TestLongRunsAreCutInLinearTime(t *testing.T) {
	const n = 30_000
	began := time.Now()
	for _, run := range []string{"1 ", "≥ ", "1 + ", "1 × 2 ", "Hgmm ", "mm Hg ", "5.5 mm ", "x "} {
		in := strings.Repeat(run, n)
		p := caption.DefaultProfile()
		cues, _ := caption.Shape([]caption.Spoken{spoken(0, 3600, in)}, p)
		shown := 0
		for _, c := range cues {
			for line := range strings.SplitSeq(c.Text, "\n") {
				if len([]rune(line)) > p.LineLetters {
					t.Fatalf("%q repeated: a line of %d letters, want %d at most", run, len([]rune(line)), p.LineLetters)
				}
			}
			shown += len(strings.Fields(c.Text))
		}
		if want := n * len(strings.Fields(run)); shown != want {
			t.Errorf("%q repeated: %d words shown, want %d", run, shown, want)
		}
	}
	p := caption.DefaultProfile()
	p.LineLetters = 0 // no limit: one line, whatever its length
	if cues, _ := caption.Shape([]caption.Spoken{spoken(0, 3600, strings.Repeat("x\n", n))}, p); len(cues) != 1 {
		t.Errorf("without a limit on lines %d cues, want 1", len(cues))
	}
	if took := time.Since(began); took > 30*time.Second {
		t.Errorf("shaping took %v", took)
	}
}

// The words that stay together: a number with its unit, a sign with its number.
func TestAtomsStayOnOneLine(t *testing.T) {
	for _, tt := range []struct{ text, want string }{
		{"aaaaaaa bbbbb ≥ 300 mm Hg", "aaaaaaa bbbbb\n≥ 300 mm Hg"},
		{"aaaaaa 5.5 mm bbbbbb", "aaaaaa\n5.5 mm bbbbbb"},
		{"aaaaaaaa 27 27 gauge bbbb", "aaaaaaaa 27\n27 gauge bbbb"},
		{"aaaaaaaa 3 × 4 mm bbbbb", "aaaaaaaa 3\n× 4 mm bbbbb"},
	} {
		p := caption.DefaultProfile()
		p.LineLetters = 15
		cues, _ := caption.Shape([]caption.Spoken{spoken(0, 20, tt.text)}, p)
		if len(cues) != 1 || cues[0].Text != tt.want {
			t.Errorf("Shape(%q) = %q, want one cue %q", tt.text, printCues(cues), tt.want)
		}
	}
}

func TestShapeKeepsIdAndSpeaker(t *testing.T) {
	s := spoken(0, 12, strings.Repeat("word ", 40))
	s.ID, s.Speaker = "7", "second surgeon"
	cues, _ := caption.Shape([]caption.Spoken{s}, caption.DefaultProfile())
	if len(cues) < 2 {
		t.Fatalf("%d cues, want several", len(cues))
	}
	for i, c := range cues {
		if want := map[bool]string{true: "7"}[i == 0]; c.ID != want || c.Speaker != "second surgeon" {
			t.Errorf("cue %d has id %q and speaker %q, want %q and the speaker", i, c.ID, c.Speaker, want)
		}
	}
}

func TestShapeHoldsNothingPastTheVideo(t *testing.T) {
	p := caption.DefaultProfile()
	p.Length = sec(10)
	cues, _ := caption.Shape([]caption.Spoken{spoken(9.5, 9.6, "done")}, p)
	if got, want := printCues(cues), []string{"9.50-10.00 done"}; !cmp.Equal(got, want) {
		t.Errorf("Shape = %q, want %q", got, want)
	}
}

func TestFindingsSayWhereAndFromWhom(t *testing.T) {
	src := source.New("narration.srt", []byte("one\ntwo\n"))
	a, b := spoken(1, 4, "one"), spoken(3, 5, "two")
	a.Pos, b.Pos = src.Pos(0), src.Pos(4)
	_, findings := caption.Shape([]caption.Spoken{a, b}, caption.DefaultProfile())
	if len(findings) != 1 {
		t.Fatalf("%d findings, want 1: %v", len(findings), findings)
	}
	want := "narration.srt:1:1: caution: ends at 00:00:04.000, the next one starts at 00:00:03.000 [speech/overlap]\n" +
		"    source: caption profile of this project, adjustable\n    see narration.srt:2:1: the next one\n"
	if diff := cmp.Diff(want, findings[0].Text()); diff != "" {
		t.Errorf("finding (-want +got)\n%s", diff)
	}
}

func TestCheckJudgesWhatIsThere(t *testing.T) {
	tests := []struct {
		name string
		in   []caption.Spoken
		want []string
	}{
		{"sound", []caption.Spoken{spoken(0, 3, "a short text")}, nil},
		{"long line", []caption.Spoken{spoken(0, 6, strings.Repeat("x", 43))}, []string{"caution speech/line-length: a line of 43 letters, above 42"}},
		{"wide line", []caption.Spoken{spoken(0, 6, strings.Repeat("x", 38))}, []string{"note speech/line-length: 1 of 1 cues have a line of more than 37 letters, the first one here"}},
		{"three lines", []caption.Spoken{spoken(0, 6, "a\nb\nc")}, []string{"caution speech/line-length: 3 lines, above 2"}},
		{"fast", []caption.Spoken{spoken(0, 2, strings.Repeat("x", 35))}, []string{"note speech/reading-speed: 17.5 letters a second, above 17"}},
		{"too fast", []caption.Spoken{spoken(0, 1.5, strings.Repeat("x", 31))}, []string{"caution speech/reading-speed: 20.7 letters a second, above 20"}},
		{"many words", []caption.Spoken{spoken(0, 2, "a b c d e f")}, []string{"note speech/reading-speed: 1 of 1 cues have more than 160 words a minute, the first one here"}},
		{"short", []caption.Spoken{spoken(0, 0.9, "x")}, []string{"note speech/duration: shown for 0.90 s, below 1.00 s"}},
		{"too short", []caption.Spoken{spoken(0, 0.8, "x")}, []string{"caution speech/duration: shown for 0.80 s, below 0.83 s"}},
		{"long", []caption.Spoken{spoken(0, 7.5, "x")}, []string{"note speech/duration: shown for 7.50 s, above 7.00 s"}},
		{"gap", []caption.Spoken{spoken(0, 2, "x"), spoken(2.05, 4, "y")}, []string{"note speech/gap: 0.05 s to the next cue, below 0.08 s"}},
		{"overlap", []caption.Spoken{spoken(0, 2, "x"), spoken(1.5, 4, "y")}, []string{"caution speech/overlap: ends at 00:00:02.000, the next one starts at 00:00:01.500"}},
	}
	for _, tt := range tests {
		var got []string
		for _, f := range caption.Check(tt.in, caption.DefaultProfile()) {
			got = append(got, fmt.Sprintf("%s %s: %s", f.Severity, f.Rule, f.Message))
		}
		if diff := cmp.Diff(tt.want, got, cmpopts.EquateEmpty()); diff != "" {
			t.Errorf("%s: Check (-want +got)\n%s", tt.name, diff)
		}
	}
}

// drawSpeech makes stretches of speech full of numbers, units, long words and
// punctuation, at times that overlap, coincide and leave gaps.
func drawSpeech(t *rapid.T) []caption.Spoken {
	word := rapid.SampledFrom([]string{
		"the", "rhexis", "is", "now", "complete.", "5.5", "6.5-7", "mm", "300", "mmHg", "mm", "Hg", "65", "cm,", "and", "hydrodissection,",
		"व्यास", "५.५", "मिमी।", "≥", "27", "gauge", "-", "2", "%", "electroencephalographically-controlled-anaesthesia-x", "a\u00a0b", "I",
	})
	return rapid.SliceOfN(rapid.Custom(func(t *rapid.T) caption.Spoken {
		from := time.Duration(rapid.IntRange(0, 40).Draw(t, "from")) * 250 * time.Millisecond
		length := time.Duration(rapid.IntRange(0, 40).Draw(t, "length")) * 250 * time.Millisecond
		text := strings.Join(rapid.SliceOfN(word, 0, 40).Draw(t, "words"), rapid.SampledFrom([]string{" ", "  ", "\n", " \n\n"}).Draw(t, "space"))
		return caption.Spoken{From: from, To: from + length, Text: text}
	}), 0, 8).Draw(t, "speech")
}

// endsInNumber finds a number at the end of a line that ends no clause.
var endsInNumber = regexp.MustCompile(`(?:^|[ \n])[(≥≤<>~±]?\p{Nd}[\p{Nd}.,:–-]*$`)

func TestShapeLosesNoWordAndKeepsItsPromises(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		speech := drawSpeech(t)
		p := caption.DefaultProfile()
		cues, _ := caption.Shape(speech, p)

		var said []string
		for from := range 41 { // in order of the start, equal starts as given
			for _, s := range speech {
				if s.From == time.Duration(from)*250*time.Millisecond {
					said = append(said, strings.Fields(s.Text)...)
				}
			}
		}
		var shown []string
		for _, c := range cues {
			shown = append(shown, strings.Fields(c.Text)...)
		}
		if diff := cmp.Diff(said, shown, cmpopts.EquateEmpty()); diff != "" {
			t.Fatalf("words said and shown (-said +shown)\n%s", diff)
		}
		for i, c := range cues {
			checkShaped(t, cues, i)
			lines := strings.Split(c.Text, "\n")
			if len(lines) > p.Lines {
				t.Fatalf("cue %q has %d lines", c.Text, len(lines))
			}
			for _, line := range lines {
				if len([]rune(line)) > p.LineLetters*3 || longWithChoice(line, p.LineLetters) {
					t.Fatalf("line %q is too long and has a space to break at", line)
				}
			}
		}
	})
}

// checkShaped looks at the times of cue i and at what its last word is parted from.
func checkShaped(t *rapid.T, cues []caption.Cue, i int) {
	c := cues[i]
	if c.To < c.From || i > 0 && cues[i-1].To > c.From {
		t.Fatalf("cue %d is %v to %v after one that ends at %v", i, c.From, c.To, cues[max(i-1, 0)].To)
	}
	lines := strings.Split(c.Text, "\n")
	for i, line := range lines[:len(lines)-1] {
		// A number or a sign behind a number is not its unit.
		if next, _ := utf8.DecodeRuneInString(lines[i+1]); unicode.IsDigit(next) || next == '≥' {
			continue
		}
		if endsInNumber.MatchString(line) && !strings.HasSuffix(line, ".") && !strings.HasSuffix(line, ",") {
			t.Fatalf("line %q ends in a number that the next line goes on with: %q", line, c.Text)
		}
	}
}

// longWithChoice reports a line above the limit although one of its spaces stands
// between two words that may be parted.
func longWithChoice(line string, limit int) bool {
	n := 0
	for _, r := range line {
		if !strings.ContainsRune("\u094d\u093f\u0940\u0947\u0902", r) {
			n++
		}
	}
	if n <= limit {
		return false
	}
	words := strings.Split(line, " ")
	for i, w := range words[:len(words)-1] {
		next, _ := utf8.DecodeRuneInString(words[i+1])
		if endsInNumber.MatchString(w) && (unicode.IsDigit(next) || next == '≥') {
			return true
		}
		if !endsInNumber.MatchString(w) && w != "≥" && w != "-" && w != "mm" {
			return true
		}
	}
	return false
}

func TestShapeOfShapedKeepsTheTexts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		once, _ := caption.Shape(drawSpeech(t), caption.DefaultProfile())
		var again []caption.Spoken
		for _, c := range once {
			again = append(again, caption.Spoken{From: c.From, To: c.To, Text: c.Text})
		}
		twice, _ := caption.Shape(again, caption.DefaultProfile())
		if len(twice) != len(once) {
			t.Fatalf("%d cues became %d", len(once), len(twice))
		}
		for i := range once {
			if once[i].Text != twice[i].Text {
				t.Fatalf("cue %d %q became %q", i, once[i].Text, twice[i].Text)
			}
		}
	})
}

func BenchmarkShape(b *testing.B) {
	for _, n := range []int{16, 256, 1024} {
		random := rand.New(rand.NewPCG(1, uint64(n)))
		var speech []caption.Spoken
		for i := range n {
			text := strings.Repeat("the bottle stands at 65 cm and ", 1+random.IntN(6))
			speech = append(speech, spoken(float64(i)*8, float64(i)*8+7, text))
		}
		b.Run(fmt.Sprintf("n=%d", n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if cues, _ := caption.Shape(speech, caption.DefaultProfile()); len(cues) < n {
					b.Fatal(len(cues))
				}
			}
		})
	}
}

func ExampleShape() {
	cues, findings := caption.Shape([]caption.Spoken{{
		From: 77 * time.Second, To: 86 * time.Second,
		Text: "the opening in the capsule comes out at 5.5 mm, a little small for a hard nucleus, so I add relaxing cuts",
	}}, caption.DefaultProfile())
	for _, c := range cues {
		fmt.Printf("%.1f s to %.1f s\n%s\n", c.From.Seconds(), c.To.Seconds(), c.Text)
	}
	fmt.Println(len(findings), "findings")
	// Output:
	// 77.0 s to 84.1 s
	// the opening in the capsule comes out at
	// 5.5 mm, a little small for a hard nucleus,
	// 84.1 s to 86.0 s
	// so I add relaxing cuts
	// 2 findings
}
