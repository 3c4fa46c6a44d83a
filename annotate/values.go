package annotate

import (
	"regexp"
	"strings"

	"sideport/timeline/source"
	"sideport/timeline/source/yamldoc"
)

// ValueKey is one parameter as written, in short form
//
//	rhexis-diameter: 6.2-6.8 mm
//
// or in long form
//
//	rhexis-diameter: {value: 6.2-6.8 mm, how: estimated}
type ValueKey struct {
	Parameter Text
	Value     Text
	How       Text // set, measured, estimated, planned, on-image; empty when not said
	At        Text // of a reading: when, as the recording's clock says
}

// ValueKeys are the parameters of one step, reading or case, in file order. Its
// keys are open: which parameters exist is a matter of the ranges, not of the
// file format.
type ValueKeys struct {
	List []ValueKey
	At   Text
	How  Text
	pos  source.Pos
}

// UnmarshalNode reads the mapping in file order.
func (v *ValueKeys) UnmarshalNode(n yamldoc.Node, report source.Report) {
	v.pos = n.Pos()
	if n.Kind() == yamldoc.Empty {
		return
	}
	if n.Kind() != yamldoc.Mapping {
		n.Fault(report, "read/wrong-type", "expected parameters with values, such as rhexis-diameter: 6 mm")
		return
	}
	reading := strings.Contains(n.Path, ".readings[")
	for _, pair := range withoutCommas(n.Pairs(report), report) {
		if reading && (pair.Key.Value == "at" || pair.Key.Value == "how") {
			if pair.Value.Kind() != yamldoc.Scalar {
				pair.Value.Fault(report, "read/wrong-type", "expected a single value for %q", pair.Key.Value)
				continue
			}
			if pair.Key.Value == "at" {
				v.At = pair.Value.Text()
			} else {
				v.How = pair.Value.Text()
			}
			continue
		}
		if key, ok := readValueKey(pair, report); ok {
			v.List = append(v.List, key)
		}
	}
	for i := range v.List {
		v.List[i].At = v.At
		if !v.List[i].How.Set {
			v.List[i].How = v.How
		}
	}
}

// commaTail is what YAML makes of the second half of 6,5 mm inside { }: a key of
// its own without a value.
var commaTail = regexp.MustCompile(`^\d+(?:[^\d:]|$)`)

// withoutCommas takes out the two halves of every value that was written with a
// decimal comma inside { }, where YAML reads the comma as the end of the entry, and
// says so: half a number is worse than none.
func withoutCommas(pairs []yamldoc.Pair, report source.Report) []yamldoc.Pair {
	var out []yamldoc.Pair
	for i := 0; i < len(pairs); i++ {
		p := pairs[i]
		if i+1 < len(pairs) {
			tail := pairs[i+1]
			written := p.Value.Value()
			if tail.Value.Kind() == yamldoc.Empty && commaTail.MatchString(tail.Key.Value) && written != "" && strings.ContainsAny(written[len(written)-1:], "0123456789") {
				p.Value.Fault(report, "read/decimal-comma", "\"%s,%s\" is written with a decimal comma; inside { } it stands in quotes or with a point", written, tail.Key.Value)
				i++
				continue
			}
		}
		out = append(out, p)
	}
	return out
}

func readValueKey(pair yamldoc.Pair, report source.Report) (ValueKey, bool) {
	key := ValueKey{Parameter: pair.Key}
	switch pair.Value.Kind() {
	case yamldoc.Empty:
		return key, false // not filled in
	case yamldoc.Scalar:
		key.Value = pair.Value.Text()
	case yamldoc.Mapping:
		var long struct {
			Value Text `yaml:"value"`
			How   Text `yaml:"how"`
		}
		pairs := pair.Value.Pairs(func(source.Finding) {}) // said by Decode
		if len(withoutCommas(pairs, report)) < len(pairs) {
			return key, false
		}
		pair.Value.Decode(&long, report)
		if !long.Value.Set {
			pair.Value.Fault(report, "read/missing-key", "%q has no value", pair.Key.Value)
			return key, false
		}
		key.Value, key.How = long.Value, long.How
	default:
		pair.Value.Fault(report, "read/wrong-type", "expected a value for %q, such as 6 mm", pair.Key.Value)
		return key, false
	}
	return key, true
}

// Measures are header quantities in file order; the acuity key holds a mapping of
// its own and is flattened to acuity.corrected and the like.
type Measures struct{ List []ValueKey }

// UnmarshalNode reads the mapping in file order.
func (m *Measures) UnmarshalNode(n yamldoc.Node, report source.Report) {
	if n.Kind() == yamldoc.Empty {
		return
	}
	if n.Kind() != yamldoc.Mapping {
		n.Fault(report, "read/wrong-type", "expected names with values, such as pressure: 14 mmHg")
		return
	}
	for _, pair := range withoutCommas(n.Pairs(report), report) {
		if pair.Key.Value == "acuity" && pair.Value.Kind() == yamldoc.Mapping {
			for _, inner := range pair.Value.Pairs(report) {
				inner.Key.Value = "acuity." + inner.Key.Value
				if key, ok := readValueKey(inner, report); ok {
					m.List = append(m.List, key)
				}
			}
			continue
		}
		if key, ok := readValueKey(pair, report); ok {
			m.List = append(m.List, key)
		}
	}
}

// Get returns the measure of a name.
func (m Measures) Get(name string) (ValueKey, bool) {
	for _, k := range m.List {
		if k.Parameter.Value == name {
			return k, true
		}
	}
	return ValueKey{}, false
}
