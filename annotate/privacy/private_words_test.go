package privacy_test

import (
	"strings"
	"testing"

	"sideport/annotate/privacy"

	"github.com/google/go-cmp/cmp"
	"golang.org/x/text/unicode/norm"
)

// The names are made up. Each text is looked through in both normalisation forms
// for the word in both, as golang.org/x/text writes them.
func TestPrivateWordsInEveryNormalisationForm(t *testing.T) {
	tests := []struct {
		name, text, word string
		want             bool
	}{
		{"composed and decomposed", "the eye of RENÉ was hard", "René", true},
		{"the letter without its accent is another", "the eye of René", "Rene", false},
		{"two marks on one letter", "Bà Nguyễn Thị Ế", "nguyễn thị", true},
		{"Kelvin sign is a k", "Aru\u212Aan", "arukan", true},
		{"Greek, any case", "ΜΑΡΊΑ ΙΏΤΑ", "μαρία ιώτα", true},
		{"any separator, a no-break space too", "Sun\u00a0Harbour\u2011Eye", "sun harbour eye", true},
		{"initials with and without dots", "J R Torvan", "J.R. Torvan", true},
		{"a dot at the end is part of the word", "6 m wide", "M.", false},
		{"Han in running text", "患者田中太郎的左眼", "田中 太郎", true},
		{"Han, another name", "患者田山太郎的左眼", "田中", false},
		{"Latin in running Japanese", "患者Torvanさんの目", "Torvan", true},
		{"Latin inside a Latin word", "患者torvaniteの目", "Torvan", false},
		{"Hiragana", "きょうはさくらさんです", "さくら", true},
		{"Hiragana, another letter by its mark", "きょうはさぐらさんです", "さく", false},
		{"Katakana with a middle dot", "患者アシャ・ベルダンの", "アシャ ベルダン", true},
		{"Thai", "ผู้ป่วยสมใจผ่าตัดตาซ้าย", "สมใจ", true},
		{"Thai, a mark makes another syllable", "ผู้ป่วยสมี", "สม", false},
		{"Lao", "ຄົນເຈັບບຸນມີຜ່າຕັດ", "ບຸນມີ", true},
		{"Khmer", "អ្នកជំងឺសុខាវះកាត់", "សុខា", true},
		{"Myanmar", "လူနာအောင်မြင့်ခွဲစိတ်", "အောင်မြင့်", true},
		{"Korean before a particle", "환자 김서윤은 왼쪽", "김서윤", true},
		{"Korean, a piece of a syllable", "환자 김서윤은", "기", false},
		{"Kannada inside a word", "ಮೀರಾಬಾಯಿ", "ಮೀರಾ", false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			for _, text := range []string{norm.NFC.String(tt.text), norm.NFD.String(tt.text)} {
				for _, word := range []string{norm.NFC.String(tt.word), norm.NFD.String(tt.word)} {
					if got := privacy.HoldsWord(text, []string{"", word}); got != tt.want {
						t.Errorf("HoldsWord(%+q, %+q) = %v, want %v", text, word, got, tt.want)
					}
				}
			}
		})
	}
}

// The offsets are those of the text as it was written.
func TestPrivateWordOffsetsAreThoseOfTheTextGiven(t *testing.T) {
	for _, form := range []norm.Form{norm.NFC, norm.NFD} {
		text := form.String("Zoë: the eye of RENÉ, ")
		secret := form.String("RENÉ")
		start := strings.Index(text, secret)
		want := []privacy.Hit{{Class: privacy.PrivateWord, Start: start, End: start + len(secret)}}
		opt := privacy.Options{PrivateWords: []string{"René"}}
		for _, opt := range []privacy.Options{opt, opt.Ready()} {
			if diff := cmp.Diff(want, privacy.Scan(text, opt)); diff != "" {
				t.Errorf("Scan(%+q) (-want +got):\n%s", text, diff)
			}
		}
	}
}

// Each text is so long that reading its rest from every refused place would
// outlast the test's own limit of ten minutes.
func TestScanIsLinearInWhatItRefuses(t *testing.T) {
	const size = 1 << 18
	fill := func(unit string) string { return strings.Repeat(unit, size/len(unit)) }
	for _, tt := range []struct{ name, text string }{
		{"letters and digits", "aaaaaa" + fill("1")},
		{"letters, digits and letters", "aaaaaa" + fill("1") + "aaaaaa"},
		{"a name in trade words", "patient name: " + fill("eye-") + "eye, 58/F"},
		{"labels in labels", fill("guardian-no-")},
		{"capitals", fill("EYE-") + "EYE, 58/F"},
		{"places", fill("clinic: ")},
		{"versions", fill("version 1.2.3.4 ")},
		{"links in literature", fill("https://doi.org/10.1234/5 ")},
		{"lines", "name" + fill("\n\f") + "name: Eye"},
		{"private words", fill("Tor ")},
	} {
		t.Run(tt.name, func(t *testing.T) {
			privacy.Scan(tt.text, privacy.Options{WallClock: true, PrivateWords: []string{"Tor Tor Tor van"}})
		})
	}
	// What follows a long refused run is still found.
	text := "aaaaaa" + strings.Repeat("1", 40_000) + " MRN 204518"
	want := []string{privacy.RecordNumber}
	if diff := cmp.Diff(want, classes(privacy.Scan(text, privacy.Options{}))); diff != "" {
		t.Errorf("classes after a long run (-want +got):\n%s", diff)
	}
}
