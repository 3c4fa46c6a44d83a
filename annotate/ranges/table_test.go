package ranges_test

import (
	"bytes"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"sideport/annotate/quantity"
	"sideport/annotate/ranges"
	"sideport/timeline/source"

	"github.com/google/go-cmp/cmp"
)

func TestEmbeddedDataHasNoFault(t *testing.T) {
	table := ranges.Load(func(f source.Finding) { t.Error(f) })
	if got := len(table.Rows()); got < 150 {
		t.Errorf("%d rows, want all groups read", got)
	}
}

// A row either names a source it was read in, or its tag says that there is none.
func TestEveryRowHasASourceOrSaysThatItHasNone(t *testing.T) {
	used := map[string]bool{}
	for i := range ranges.Builtin().Rows() {
		r := &ranges.Builtin().Rows()[i]
		name := fmt.Sprintf("%s in %q (%s)", r.Parameter, r.Step, r.For)
		sourced := r.Evidence.Accept == ranges.Confirmed || r.Evidence.Accept == ranges.Derived
		if sourced && r.Source == "" && !r.Physical {
			t.Errorf("%s is tagged %s and names no source", name, r.Evidence.Accept)
		}
		if r.Quoted == "" {
			t.Errorf("%s quotes nothing", name)
		}
		if r.Source == "" && !r.Physical && !strings.Contains(r.Quoted, "common practice") && !strings.Contains(r.Quoted, "from memory") &&
			!strings.Contains(r.Quoted, "assumption") && !strings.Contains(r.Quoted, "guard") && !strings.Contains(r.Quoted, "scheme runs") {
			t.Errorf("%s has no source and its quote %q does not say so", name, r.Quoted)
		}
		for id := range strings.SplitSeq(r.SourceID, ", ") {
			if id == "" {
				continue
			}
			used[id] = true
			if text, ok := ranges.Builtin().Source(id); !ok || text == "" || !strings.Contains(r.Source, text) {
				t.Errorf("%s: source %s has no full reference in %q", name, id, r.Source)
			}
		}
	}
	for i := range ranges.Builtin().Rows() {
		r := &ranges.Builtin().Rows()[i]
		for _, id := range quotedIDs(r.Quoted + r.Why) {
			if _, ok := ranges.Builtin().Source(id); !ok {
				t.Errorf("%s quotes %s, which is no source", r.Parameter, id)
			}
		}
	}
	if len(used) < 60 {
		t.Errorf("%d sources are cited, want the whole list of the ranges used", len(used))
	}
}

// quotedIDs are the ids in square brackets: "[S24a, S24b]", "[S25a, citing ...]".
func quotedIDs(text string) []string {
	var ids []string
	for part := range strings.SplitSeq(text, "[") {
		inside, _, ok := strings.Cut(part, "]")
		if !ok {
			continue
		}
		for word := range strings.FieldsFuncSeq(inside, func(r rune) bool { return r == ',' || r == ' ' }) {
			if len(word) > 1 && strings.ContainsAny(word[:1], "SNR") && word[1] >= '0' && word[1] <= '9' {
				ids = append(ids, word)
			}
		}
	}
	return ids
}

func TestBandsAreNested(t *testing.T) {
	for i := range ranges.Builtin().Rows() {
		r := &ranges.Builtin().Rows()[i]
		al, ah := r.Accept.Ends()
		hl, hh := r.Hard.Ends()
		if al != nil && hl != nil && al.Cmp(hl) < 0 || ah != nil && hh != nil && ah.Cmp(hh) > 0 {
			t.Errorf("%s in %s: accepted %s reaches beyond outer %s", r.Parameter, r.Step, r.Accept, r.Hard)
		}
		if r.Severity[0] > r.Severity[1] {
			t.Errorf("%s in %s: leaving the accepted band weighs more (%s) than leaving the outer (%s)", r.Parameter, r.Step, r.Severity[0], r.Severity[1])
		}
	}
}

// No two built-in rows of equal count may apply together unless they say the same or
// a third row holds the conditions of both.
func TestRowsOfEqualCountExcludeEachOther(t *testing.T) {
	groups := map[string][]*ranges.Row{}
	rows := ranges.Builtin().Rows()
	for i := range rows {
		r := &rows[i]
		if !r.Also {
			key := r.Parameter + " in " + r.Step + " by " + quantity.Dimension(r.Unit)
			groups[key] = append(groups[key], r)
		}
	}
	for key, group := range groups {
		for i, a := range group {
			for _, b := range group[i+1:] {
				if a.Key() == b.Key() {
					t.Errorf("%s: two rows for the same conditions %v", key, a.Conditions)
				}
				if a.Count() == b.Count() && !exclusive(a, b) && !sameBand(a, b) && !covered(group, a, b) {
					t.Errorf("%s: %s %v and %s %v can apply together", key, a.Procedure, a.Conditions, b.Procedure, b.Conditions)
				}
			}
		}
	}
}

func sameBand(a, b *ranges.Row) bool {
	return a.Accept.Equal(b.Accept) && a.Hard.Equal(b.Hard) && slices.Equal(a.Words, b.Words)
}

// covered reports whether a row of the group holds all conditions of both.
func covered(group []*ranges.Row, a, b *ranges.Row) bool {
	return slices.ContainsFunc(group, func(r *ranges.Row) bool {
		has := func(c ranges.Condition) bool {
			return slices.ContainsFunc(r.Conditions, func(d ranges.Condition) bool { return d.String() == c.String() })
		}
		return r != a && r != b && r.Procedure == a.Procedure && r.Procedure == b.Procedure &&
			!slices.ContainsFunc(a.Conditions, func(c ranges.Condition) bool { return !has(c) }) &&
			!slices.ContainsFunc(b.Conditions, func(c ranges.Condition) bool { return !has(c) })
	})
}

func exclusive(a, b *ranges.Row) bool {
	if a.Procedure != "" && b.Procedure != "" && a.Procedure != b.Procedure {
		return true
	}
	for _, c := range a.Conditions {
		for _, d := range b.Conditions {
			if contradict(c, d) || contradict(d, c) {
				return true
			}
		}
	}
	return false
}

// single are the facts that have one value.
var single = []string{"variant", "limbus-landmark", "lens.material", "lens.site", "lens.optic-diameter", "ovd-type", "drug"}

// contradict reports whether c and d cannot both hold: c asks for what d excludes, or
// they ask one fact for different values.
func contradict(c, d ranges.Condition) bool {
	if !c.Not && d.Not {
		for _, term := range c.Terms { // every way to meet c is excluded by d
			if !slices.ContainsFunc(d.Terms, func(x ranges.Term) bool { return x.Key == term.Key && x.Op == term.Op && subset(term.Values, x.Values) }) {
				return false
			}
		}
		return true
	}
	if c.Not || d.Not || len(c.Terms) != 1 || len(d.Terms) != 1 {
		return false
	}
	x, y := c.Terms[0], d.Terms[0]
	one := slices.Contains(single, x.Key) || strings.HasPrefix(x.Key, "step.")
	return one && x.Key == y.Key && x.Op == "=" && y.Op == "=" &&
		!slices.ContainsFunc(x.Values, func(v string) bool { return slices.Contains(y.Values, v) })
}

func subset(a, b []string) bool {
	return !slices.ContainsFunc(a, func(v string) bool { return !slices.Contains(b, v) })
}

// No bound without a source that was read is given a stop in the data, save what
// cannot be; the cap in the code holds local rows to the same.
func TestAWeakBoundIsNotGivenAStop(t *testing.T) {
	for _, r := range ranges.Builtin().Rows() {
		for i, tag := range []string{r.Evidence.Accept, r.Evidence.Hard} {
			if r.Severity[i] == source.Stop && tag != "" && tag != ranges.Confirmed && tag != ranges.Derived && !(i == 1 && r.Physical) {
				t.Errorf("%s in %s (%s): a bound tagged %s is given a stop", r.Parameter, r.Step, r.For, tag)
			}
		}
	}
}

func TestParametersAreWhole(t *testing.T) {
	table := ranges.Builtin()
	seen := map[string]bool{}
	for _, p := range table.Parameters() {
		if seen[p.ID] {
			t.Errorf("%s stands twice", p.ID)
		}
		seen[p.ID] = true
		if len(p.Steps) == 0 {
			t.Errorf("%s belongs to no step", p.ID)
		}
		if (p.Kind == ranges.KindQuantity || p.Kind == ranges.KindSize || p.Kind == ranges.KindCount) && quantity.Dimension(p.Unit) == "" {
			t.Errorf("%s has the unit %q", p.ID, p.Unit)
		}
		if p.Kind == ranges.KindWord && len(p.Words) == 0 {
			t.Errorf("%s has no words", p.ID)
		}
	}
	for _, r := range table.Rows() {
		p, _ := table.ParameterByID(r.Parameter)
		for _, w := range slices.Concat(r.Words, r.Against) {
			if p.Kind == ranges.KindWord && !slices.Contains(p.Words, w) {
				t.Errorf("%s: the row's word %q is not in the closed list", r.Parameter, w)
			}
		}
	}
}

func TestParameterParse(t *testing.T) {
	for _, tt := range []struct{ step, id, in, want string }{
		{"scleral-groove", "limbus-landmark", "Middle", "middle"},
		{"scleral-groove", "limbus-landmark", "lower", `expected one of anterior, middle, posterior, found "lower"`},
		{"wound-check", "leak", "true", "yes"},
		{"wound-check", "leak", "some", `expected yes or no, found "some"`},
		{"scleral-groove", "incision-site", "superotemporal", "superotemporal"},
		{"scleral-groove", "incision-site", "10 o'clock", "10 o'clock"},
		{"scleral-groove", "incision-site", "6 mm", `expected degrees, a clock hour or a place on the limbus, found "6 mm"`},
		{"capsulotomy", "rhexis-diameter", "5.5", "5.5"},
		{"capsulotomy", "rhexis-diameter", "large", `expected a number, found "large"`},
		{"capsulotomy", "capsulotomy-nicks", "60", "60 count"},
		{"capsulotomy", "needle-gauge", "26 g", "26 G"},
		{"wound-suture", "suture-size", "10.0", "10-0"},
		{"before", "endothelial-count", "2,400", "2400 cells/mm2"},
		{"", "irrigant", "Ringer lactate", "ringer"},
	} {
		p, ok := ranges.Builtin().Parameter(tt.step, tt.id)
		if !ok {
			t.Fatalf("Parameter(%q, %q) is not known", tt.step, tt.id)
		}
		q, err := p.Parse(tt.in)
		got := q.String()
		if err != nil {
			got = err.Error()
		}
		if got != tt.want {
			t.Errorf("%s.Parse(%q) = %s, want %s", tt.id, tt.in, got, tt.want)
		}
	}
	if p, ok := ranges.Builtin().Parameter("capsulotomy", "vacuum"); ok {
		t.Errorf("Parameter(capsulotomy, vacuum) = %v, want none: it belongs to other steps", p)
	}
}

func TestLikelyParameter(t *testing.T) {
	for _, tt := range []struct{ step, unit, want string }{
		{"capsulotomy", "mm", "rhexis-diameter"},
		{"capsulotomy", "", "rhexis-diameter"},
		{"capsulotomy", "G", "needle-gauge"},
		{"scleral-groove", "mm", ""}, // length, distance and depth
		{"cortex-aspiration", "mmHg", "vacuum"},
		{"cortex-aspiration", "cm", "bottle-height"},
		{"cortex-aspiration", "mL/min", "flow"},
		{"cortex-aspiration", "", ""},
		{"hydroprocedure", "mL", "hydrodissection-volume"},
		{"capsule-stain", "%", "stain-concentration"},
		{"capsule-stain", "mg/mL", "stain-concentration"},
		{"wound-suture", "USP", "suture-size"},
		{"scleral-groove", "o'clock", "incision-site"},
		{"draping", "mm", ""},
	} {
		got, ok := ranges.Builtin().LikelyParameter(tt.step, tt.unit)
		if got != tt.want || ok != (tt.want != "") {
			t.Errorf("LikelyParameter(%s, %q) = %q, %v, want %q", tt.step, tt.unit, got, ok, tt.want)
		}
	}
}

func TestRangesFileIsCurrent(t *testing.T) {
	var got bytes.Buffer
	if err := ranges.Builtin().WriteMarkdown(&got); err != nil {
		t.Fatal(err)
	}
	if os.Getenv("UPDATE_GOLDEN") != "" {
		if err := os.WriteFile("RANGES.md", got.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile("RANGES.md")
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), got.String()); diff != "" {
		t.Errorf("RANGES.md is stale; UPDATE_GOLDEN=1 rewrites it (-want +got):\n%s", diff)
	}
}
