package taxonomy_test

import (
	"bufio"
	"os"
	"strings"
	"testing"

	"sideport/annotate/taxonomy"
	"sideport/timeline/timelinetest"
)

// Theatre talk and notes that name no step: our own material.
var remarks = strings.Split(`case starts; surgery starts, right eye; camera refocused; microscope adjusted; light reduced; patient moved;
patient coughing; asked patient to look down; assistant change; phone rang; waiting for lens; waiting for IOL; wrong tray, waiting;
end of case; end of surgery; thank you; bleeding stopped, waiting; no red reflex; dense white cataract; brown cataract grade 4;
pupil 5 mm; pupil small; good view; poor view; cornea hazy; BSS on cornea; cornea wetted; irrigating cornea; bottle raised to 90 cm;
bottle changed; foot pedal problem; machine alarm; machine primed; suction lost; visitor came in; music on; recording started; card full;
teaching point; question from resident; handed to consultant; senior takes over; resident takes over; lunch; left eye; RE; LE; BE;
eye washed before starting; gown changed; gloves torn; needle dropped; blade blunt, new blade; instrument dropped; wait; nothing; not sure;
?; ---; 123; 12:30; ok; next patient; sclera thin; iris looks fine; capsule intact; PC intact; posterior capsule intact; bag intact;
anterior chamber stable; AC deep; AC stable; chamber maintained; pressure normal; eye soft; hard cataract; lens brown; nucleus hard;
nucleus big; small pupil; cataract surgery demo; introduction; intro; title; credits; summary; pre-op; post op; preop findings; slit lamp;
wound looks good; no problems; view blocked by hand; smile for the camera; light is blue; block the light; patient blinked, lid squeezing;
ring light off; loop closed; sutureless; see you in the next video; questions; discussion; references; iv line checked; seen; future plans;
brown; drove home; vortex; disco; funny; grape; about 5 minutes lost here; my assistant; who is talking; temperature high; door open`, ";")

// Plain English, by its most common nouns, verbs and adjectives: from memory, no
// source.
const plainEnglish = `time year people way day man thing woman life child world school state family student group country problem hand part
place case week company system program question work government number night point home water room mother area money story fact month lot
right study book eye job word business issue side kind head house service friend father power hour game line end member law car city
community name president team minute idea body information back parent face others level office door health person art war history party
result change morning reason research girl guy moment air teacher force education be have do say get make go know take see come think look
want give use find tell ask work seem feel try leave call good new first last long great little own other old right big high different small
large next early young important few public bad same able`

func TestRemarksNameNothing(t *testing.T) {
	for _, p := range taxonomy.All() {
		for _, text := range append(remarks, strings.Fields(plainEnglish)...) {
			text = strings.Join(strings.Fields(text), " ")
			if m := p.Match(text, taxonomy.Context{}); m.Kind != taxonomy.KindRemark || m.ID != "" || m.Confidence != 0 {
				t.Errorf("%s: Match(%q) = %+v, want a remark", p.ID, text, m)
			}
		}
	}
}

// No English word is taken for a slip of the pen, save words of the same root.
// Source: the word list of the machine (SCOWL).
func TestNoEnglishWordIsASlip(t *testing.T) {
	list, err := os.Open(timelinetest.NeedFile(t, "/usr/share/dict/words", "wamerican"))
	if err != nil {
		t.Fatal(err)
	}
	defer list.Close()
	kin := map[string]bool{"anaesthetic": true, "anesthetic": true, "antiseptic": true, "antiseptics": true, "bisector": true,
		"buttonholes": true, "lollypop": true, "iodize": true, "sculpturing": true}
	words := 0
	for in := bufio.NewScanner(list); in.Scan(); {
		word := in.Text()
		if strings.ToLower(word) != word || strings.Contains(word, "'") {
			continue // names, and their forms with an apostrophe
		}
		words++
		for _, p := range taxonomy.All() {
			if m := p.Match(word, taxonomy.Context{}); m.ID != "" && m.Confidence <= 0.75 && !kin[word] {
				t.Errorf("%s: Match(%q) = %+v, want a remark", p.ID, word, m)
			}
		}
	}
	if words < 10000 {
		t.Errorf("the word list has %d words, want a real one", words)
	}
}
