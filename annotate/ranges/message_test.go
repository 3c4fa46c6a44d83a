package ranges_test

import (
	"math/big"
	"regexp"
	"strings"
	"testing"

	"sideport/annotate/quantity"
	"sideport/annotate/ranges"
	"sideport/timeline/source"
)

var banned = regexp.MustCompile(`(?i)\b(should|must|consider|why not|prefer\w*|avoid\w*|need(s|ed)?)\b`)

// everyFinding judges, for every row, numbers around its bounds, slips, another unit
// and every word, with its conditions met and with nothing known, and hands each
// finding to check.
func everyFinding(t *testing.T, table *ranges.Table, check func(source.Finding)) {
	t.Helper()
	count := 0
	rows := table.Rows()
	seen := map[string]bool{}
	for i := range rows {
		r := &rows[i]
		step := r.Step
		same := r.Parameter + r.For + r.Accept.String() + r.Quoted
		if seen[same] { // the same row for another step
			continue
		}
		seen[same] = true
		p, _ := table.ParameterByID(r.Parameter)
		if step == ranges.AnyStep {
			step = p.Steps[0]
		}
		for _, f := range []ranges.Facts{meeting(r), {}, {"grade.clinical-1-4": {"3"}, "procedure": {"msics", "phaco"}}} {
			for _, q := range around(r, p) {
				for _, finding := range table.Judge(r.Parameter, step, q, f).Findings {
					count++
					check(finding)
				}
			}
		}
	}
	if count < 1000 {
		t.Errorf("%d findings were made, want every row to make some", count)
	}
}

// meeting are facts under which all conditions of a row hold.
func meeting(r *ranges.Row) ranges.Facts {
	out := ranges.Facts{"procedure": {r.Procedure}, "lens.optic-diameter": {"6.5"}}
	for _, c := range r.Conditions {
		if c.Not {
			for _, term := range c.Terms {
				if _, ok := out[term.Key]; !ok {
					out[term.Key] = []string{}
				}
			}
			continue
		}
		term := c.Terms[0]
		value := term.Values[0]
		if n, ok := new(big.Rat).SetString(value); ok && (term.Op == ">" || term.Op == "<") {
			one := big.NewRat(1, 1)
			if term.Op == "<" {
				one.Neg(one)
			}
			value = n.Add(n, one).FloatString(2)
		}
		out[term.Key] = []string{value}
	}
	return out
}

// around are values near, beyond and far beyond the bounds of a row.
func around(r *ranges.Row, p ranges.Parameter) []quantity.Quantity {
	var out []quantity.Quantity
	for _, w := range append([]string{"yes", "no"}, p.Words...) {
		if q, err := p.Parse(w); err == nil {
			out = append(out, q)
		}
	}
	other := quantity.ML
	if quantity.Dimension(r.Unit) == "volume" {
		other = quantity.MM
	}
	out = append(out, quantity.Of("1", "1", other), quantity.Of("1", "1", ""))
	for _, b := range []ranges.Band{r.Accept, r.Hard} {
		low, high := b.Ends()
		for _, end := range []*big.Rat{low, high} {
			if end == nil {
				continue
			}
			for _, factor := range []string{"1/1000", "1/100", "1/10", "9/10", "1", "11/10", "3", "10", "100", "1000"} {
				by, _ := new(big.Rat).SetString(factor)
				text := by.Mul(by, end).FloatString(6)
				single := quantity.Of(text, text, r.Unit)
				single.Approximate = factor == "3"
				out = append(out, single, quantity.Of(text, "", r.Unit), quantity.Of("", text, r.Unit))
			}
		}
		if low != nil && high != nil {
			out = append(out, quantity.Of(new(big.Rat).Mul(low, big.NewRat(1, 2)).FloatString(6), new(big.Rat).Mul(high, big.NewRat(2, 1)).FloatString(6), r.Unit))
		}
	}
	return out
}

func TestMessagesSayWhatIsRecordedAndGiveNoAdvice(t *testing.T) {
	everyFinding(t, ranges.Builtin(), func(f source.Finding) {
		switch {
		case banned.MatchString(f.Message) || banned.MatchString(f.Hint):
			t.Errorf("advice in %q, hint %q", f.Message, f.Hint)
		case f.Message == "" || strings.HasSuffix(f.Message, "."):
			t.Errorf("message %q ends in a full stop or is empty", f.Message)
		case strings.Contains(f.Message, "  ") || strings.Contains(f.Message, "%!"):
			t.Errorf("message %q is badly put together", f.Message)
		case f.Group() != "range":
			t.Errorf("rule %q is not of the group range", f.Rule)
		case f.Pos.IsValid() || f.Step != "" || f.Path != "":
			t.Errorf("%q: place and step are the caller's", f.Message)
		}
		told := f.Rule != "range/unit-missing" && f.Rule != "range/unit-unlikely" && f.Rule != "range/grade-scheme"
		if told && (f.Evidence == "" || f.Source == "") {
			t.Errorf("%q says neither source nor how sure it is (%q, %q)", f.Message, f.Evidence, f.Source)
		}
		// A stop comes from a slip, a wrong unit, what cannot be, or a source that was read.
		physical := strings.Contains(f.Message, "more than")
		read := f.Evidence == ranges.Confirmed || f.Evidence == ranges.Derived
		if f.Severity == source.Stop && f.Rule != "range/slip" && f.Rule != "range/unit-unlikely" && !physical && !read {
			t.Errorf("stop on %s evidence: %s [%s]", f.Evidence, f.Message, f.Rule)
		}
		if f.Severity == source.Error {
			t.Errorf("a range gave an error: %s", f.Message)
		}
	})
}

func TestSourcesAreToldInFull(t *testing.T) {
	for _, tt := range []struct {
		parameter, step, value string
		facts                  ranges.Facts
		evidence, id, source   string
	}{
		{"corneal-advance", "tunnel-dissection", "0.8 mm", facts(), "confirmed", "S3, S8, S10, N17, N26, N27", "Singh K, Saluja P. Ten pearls for mastering small incision cataract surgery. eOphtha 2021"},
		{"bottle-height", "cortex-aspiration", "45 cm", facts("procedure=msics", "variant=simcoe"), "common-practice", "", "common practice, no source"},
		{"flow", "capsule-polish", "20 mL/min", facts(), "from-memory", "", "from memory, unconfirmed"},
		{"target-refraction", "before", "3.5 D", facts(), "assumption", "", "our sanity limit (assumption)"},
		{"corneal-advance", "tunnel-dissection", "0.5 mm", facts(), "assumption", "S3, S8, S10, N17, N26, N27", "our sanity limit (assumption); in part Singh K, Saluja P."},
	} {
		j := judge(t, ranges.Builtin(), tt.parameter, tt.step, tt.value, tt.facts)
		if len(j.Findings) != 1 {
			t.Fatalf("%s %s: %q, want one finding", tt.parameter, tt.value, lines(j))
		}
		f := j.Findings[0]
		if f.Evidence != tt.evidence || f.SourceID != tt.id || !strings.HasPrefix(f.Source, tt.source) {
			t.Errorf("%s %s: evidence %q, ids %q, source %q; want %q, %q, %q...", tt.parameter, tt.value, f.Evidence, f.SourceID, f.Source, tt.evidence, tt.id, tt.source)
		}
		if f.Value == nil || f.Accepted == nil || f.Value.Unit != f.Accepted.Unit || f.Hint == "" && j.Row.Why != "" {
			t.Errorf("%s %s: value %v, accepted %v, hint %q", tt.parameter, tt.value, f.Value, f.Accepted, f.Hint)
		}
	}
}
