package privacy_test

import (
	"slices"
	"strings"
	"testing"

	"sideport/annotate/privacy"
	"sideport/timeline/media"

	"github.com/google/go-cmp/cmp"
)

// TestClassesCoverTheRegulation checks the list against 45 CFR
// 164.514(b)(2)(i): eighteen items, A to R, of which P (biometric identifiers)
// and Q (full-face images) are no text.
func TestClassesCoverTheRegulation(t *testing.T) {
	items, ids := map[string]bool{}, map[string]bool{}
	for _, c := range privacy.Classes() {
		if ids[c.ID] {
			t.Errorf("class %s stands twice", c.ID)
		}
		ids[c.ID] = true
		if c.Label == "" || c.Sees == "" {
			t.Errorf("class %s lacks its label or what it sees", c.ID)
		}
		if c.Item != "" {
			items[c.Item] = true
		}
	}
	for letter := 'A'; letter <= 'R'; letter++ {
		text := letter != 'P' && letter != 'Q'
		if items[string(letter)] != text {
			t.Errorf("item %c has a class: %v, want %v", letter, items[string(letter)], text)
		}
	}
}

func classes(hits []privacy.Hit) []string {
	out := []string{}
	for _, h := range hits {
		out = append(out, h.Class)
	}
	return out
}

// The inputs are the worked examples of the standards named beside them.
func TestScanReadsTheExamplesOfTheStandards(t *testing.T) {
	tests := []struct {
		text, class, source string
	}{
		{"1985-04-12T23:20:50.52Z", privacy.Date, "RFC 3339 section 5.8"},
		{"1996-12-19T16:39:57-08:00", privacy.Date, "RFC 3339 section 5.8"},
		{"1937-01-01T12:00:27.87+00:20", privacy.Date, "RFC 3339 section 5.8"},
		{"19850412", privacy.Date, "ISO 8601 calendar date, basic format"},
		{"1985-W15-5", privacy.Date, "ISO 8601 week date"},
		{"192.0.2.1", privacy.IPAddress, "RFC 5737"},
		{"203.0.113.254", privacy.IPAddress, "RFC 5737"},
		{"2001:db8:0:0:8:800:200c:417a", privacy.IPAddress, "RFC 5952 section 2.2"},
		{"2001:db8::1", privacy.IPAddress, "RFC 5952 section 4.2"},
		{"00-00-5E-00-53-01", privacy.DeviceSerial, "RFC 7042 section 2.1.2, documentation addresses"},
		{"user@example.com", privacy.Email, "RFC 2606"},
		{"http://www.example.org/path", privacy.URL, "RFC 2606"},
		{"+27.5916+086.5640+8850CRSWGS_84/", privacy.Place, "ISO 6709 annex H"},
		{"078-05-1120", privacy.NationalID, "the cancelled number printed on sample cards, US Social Security Administration"},
	}
	for _, tt := range tests {
		hits := privacy.Scan("overlay "+tt.text+" seen", privacy.Options{})
		want := []privacy.Hit{{Class: tt.class, Start: 8, End: 8 + len(tt.text)}}
		if diff := cmp.Diff(want, hits); diff != "" {
			t.Errorf("Scan(%q) (%s) (-want +got):\n%s", tt.text, tt.source, diff)
		}
	}
}

func TestScanHonoursItsOptions(t *testing.T) {
	tests := []struct {
		name, text string
		opt        privacy.Options
		want       []string
	}{
		{"a bare year counts unless allowed", "taught here since 2019", privacy.Options{}, []string{"date"}},
		{"a bare year is left when allowed", "taught here since 2019", privacy.Options{AllowYear: true}, []string{}},
		{"a count is no year", "the count fell in 2010 cells", privacy.Options{}, []string{}},
		{"a year of birth counts all the same", "born in 1931", privacy.Options{AllowYear: true}, []string{"date"}},
		{"time of day is left in material", "it began at 9:14 am", privacy.Options{AllowYear: true}, []string{}},
		{"time of day counts in what leaves", "it began at 9:14 am", privacy.Options{WallClock: true}, []string{"wall-clock"}},
		{"three fields are a clock from six hours", "09:14:32 rhexis", privacy.Options{WallClock: true}, []string{"wall-clock"}},
		{"three fields below six hours may be elapsed", "01:02:03 rhexis, 00:04:05", privacy.Options{WallClock: true}, []string{}},
		{"a video time is no clock", "the flap turns at 1:17 and 12:05", privacy.Options{WallClock: true}, []string{}},
		{"literature keeps its dates and links", "A. Author, Eye Hospital of Tolmere. J Example, 12 March 2019; https://example.org/1234567", privacy.Options{Published: true}, []string{}},
		{"literature hides no record number", "MRN 204518; asha@example.com", privacy.Options{Published: true}, []string{"record-number", "email"}},
		{"a doi is literature anywhere", "see 10.1007/978-3-319-73603-7_20", privacy.Options{}, []string{}},
		{"private word in any case", "the eye of TORVAN was hard", privacy.Options{PrivateWords: []string{"Torvan"}}, []string{"private-word"}},
		{"private word only as a word", "the torvanite lens", privacy.Options{PrivateWords: []string{"Torvan"}}, []string{}},
		{"private words with any separator", "sun-harbour_eye clinic", privacy.Options{PrivateWords: []string{"Sun Harbour Eye"}}, []string{"private-word"}},
		{"private word in another script", "ಮೀರಾ ಅವರ ಕಣ್ಣು", privacy.Options{PrivateWords: []string{"ಮೀರಾ"}}, []string{"private-word"}},
		{"private word inside a word of another script", "ಮೀರಾಬಾಯಿ", privacy.Options{PrivateWords: []string{"ಮೀರಾ"}}, []string{}},
		{"an empty private word is nothing", "the eye", privacy.Options{PrivateWords: []string{"", " "}}, []string{}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := classes(privacy.Scan(tt.text, tt.opt)); !slices.Equal(got, tt.want) {
				t.Errorf("Scan(%q, %+v) = %v, want %v", tt.text, tt.opt, got, tt.want)
			}
		})
	}
}

// An overlap is joined, so that nothing of the longer hit stays readable.
func TestScanJoinsOverlaps(t *testing.T) {
	text := "Patient name: Asha Verdane"
	got := privacy.Scan(text, privacy.Options{PrivateWords: []string{"Verdane"}})
	want := []privacy.Hit{{Class: privacy.PrivateWord, Start: 14, End: 26}}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("Scan(%q) (-want +got):\n%s", text, diff)
	}
}

func TestScanLooksIntoEveryParagraph(t *testing.T) {
	text := "First part.\n\nMRN 204518\r\n\r\nSeen on 2026-03-01."
	got := privacy.Redact(text, privacy.Scan(text, privacy.Options{}), privacy.Lines(text, 1))
	want := "First part.\n\nMRN [record-number, line 3]\r\n\r\nSeen on [date, line 5]."
	if got != want {
		t.Errorf("Redact(%q) = %q, want %q", text, got, want)
	}
}

func TestRedactLeavesNothingReadable(t *testing.T) {
	for _, line := range sentences(t, "testdata/identifying.txt") {
		text, want := unmark(line)
		hits := privacy.Scan(text, privacy.Options{AllowYear: true})
		got := privacy.Redact(text, hits, nil)
		for _, w := range want {
			if secret := text[w.Start:w.End]; strings.Contains(got, secret) {
				t.Errorf("Redact(%q) = %q, which still holds %q", text, got, secret)
			}
		}
	}
}

func TestWordsFindTheSameNameElsewhere(t *testing.T) {
	text := "Patient name: Asha Verdane\nMRN 204518"
	words := privacy.Words(text, privacy.Scan(text, privacy.Options{}))
	want := []string{"Asha Verdane", "Asha", "Verdane", "204518"}
	if diff := cmp.Diff(want, words); diff != "" {
		t.Fatalf("Words (-want +got):\n%s", diff)
	}
	other := "asha was calm"
	if got := classes(privacy.Scan(other, privacy.Options{PrivateWords: words})); !slices.Equal(got, []string{"private-word"}) {
		t.Errorf("Scan(%q) with these words = %v, want [private-word]", other, got)
	}
}

func FuzzScan(f *testing.F) {
	seeds := 0
	for _, file := range []string{"testdata/identifying.txt", "testdata/clean.txt"} {
		for _, line := range sentences(f, file) {
			text, _ := unmark(line)
			f.Add(text)
			seeds++
		}
	}
	if seeds == 0 {
		f.Fatal("no seeds")
	}
	f.Fuzz(func(t *testing.T, text string) {
		hits := privacy.Scan(text, privacy.Options{WallClock: true, PrivateWords: []string{"Asha"}})
		last := 0
		for _, h := range hits {
			if h.Start < last || h.End <= h.Start || h.End > len(text) {
				t.Fatalf("Scan(%q) has %+v after offset %d", text, h, last)
			}
			last = h.End
		}
		privacy.Redact(text, hits, privacy.Lines(text, 1))
		privacy.ScanFileName(text, privacy.Options{})
		privacy.ScanTags([]media.Tag{{Name: "title", Value: text}, {Name: "artist", Value: text}}, privacy.Options{})
	})
}
