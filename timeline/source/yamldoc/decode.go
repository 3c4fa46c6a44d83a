package yamldoc

import (
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"sideport/timeline/source"

	"github.com/agnivade/levenshtein"
)

// Unmarshaler is a type that reads itself from a Node. Faults go to report.
type Unmarshaler interface {
	UnmarshalNode(n Node, report source.Report)
}

var (
	textType        = reflect.TypeFor[Text]()
	unmarshalerType = reflect.TypeFor[Unmarshaler]()
)

// Decode reads src into the struct that into points to. It reports every fault
// and fills what it can; false means the text is not YAML at all.
func Decode(src *source.Source, into any, report source.Report) bool {
	n, ok := Parse(src, report)
	if !ok {
		return false
	}
	n.Decode(into, report)
	return true
}

// Decode reads n into the value that into points to.
func (n Node) Decode(into any, report source.Report) {
	n.into(reflect.ValueOf(into).Elem(), report)
}

func (n Node) into(v reflect.Value, report source.Report) {
	if v.CanAddr() && v.Addr().Type().Implements(unmarshalerType) {
		v.Addr().Interface().(Unmarshaler).UnmarshalNode(n, report)
		return
	}
	if n.Kind() == Empty {
		n.setPos(v) // an entry with nothing in it has a place too
		return
	}
	if v.Type() == textType {
		if n.expect(Scalar, report) {
			v.Set(reflect.ValueOf(n.Text()))
		}
		return
	}
	switch v.Kind() {
	case reflect.Pointer:
		p := reflect.New(v.Type().Elem())
		n.into(p.Elem(), report)
		v.Set(p)
	case reflect.Struct:
		n.intoStruct(v, report)
	case reflect.Map:
		n.intoMap(v, report)
	case reflect.Slice:
		items := n.Items()
		out := reflect.MakeSlice(v.Type(), len(items), len(items))
		for i, item := range items {
			item.into(out.Index(i), report)
		}
		v.Set(out)
	default:
		n.intoScalar(v, report)
	}
}

func (n Node) intoStruct(v reflect.Value, report source.Report) {
	if !n.expect(Mapping, report) {
		return
	}
	fields := map[string]int{}
	var names []string
	for i := range v.NumField() {
		tag, _, _ := strings.Cut(v.Type().Field(i).Tag.Get("yaml"), ",")
		if tag != "" && tag != "-" {
			fields[tag] = i
			names = append(names, tag)
		}
	}
	n.setPos(v)
	for _, pair := range n.Pairs(report) {
		i, known := fields[pair.Key.Value]
		if !known {
			report(UnknownKey(pair.Key, names))
			continue
		}
		pair.Value.into(v.Field(i), report)
	}
}

// setPos tells a value that asks for it where it begins.
func (n Node) setPos(v reflect.Value) {
	if !v.CanAddr() {
		return
	}
	if p, ok := v.Addr().Interface().(interface{ SetPos(source.Pos) }); ok {
		p.SetPos(n.Pos())
	}
}

func (n Node) intoMap(v reflect.Value, report source.Report) {
	if !n.expect(Mapping, report) {
		return
	}
	out := reflect.MakeMap(v.Type())
	for _, pair := range n.Pairs(report) {
		item := reflect.New(v.Type().Elem()).Elem()
		pair.Value.into(item, report)
		out.SetMapIndex(reflect.ValueOf(pair.Key.Value), item)
	}
	v.Set(out)
}

func (n Node) intoScalar(v reflect.Value, report source.Report) {
	if !n.expect(Scalar, report) {
		return
	}
	text := n.Value()
	switch v.Kind() {
	case reflect.String:
		v.SetString(text)
	case reflect.Bool:
		switch strings.ToLower(text) {
		case "true", "yes":
			v.SetBool(true)
		case "false", "no":
			v.SetBool(false)
		default:
			n.Fault(report, "read/wrong-type", "expected true or false, found %q", text)
		}
	case reflect.Int:
		i, err := strconv.Atoi(text)
		if err != nil {
			n.Fault(report, "read/wrong-type", "expected a whole number, found %q", text)
			return
		}
		v.SetInt(int64(i))
	case reflect.Float64:
		f, err := strconv.ParseFloat(text, 64)
		if err != nil {
			n.Fault(report, "read/wrong-type", "expected a number, found %q", text)
			return
		}
		v.SetFloat(f)
	default:
		panic(fmt.Sprintf("yamldoc: no way to decode into %s", v.Type()))
	}
}

func (n Node) expect(want Kind, report source.Report) bool {
	if n.Kind() == want {
		return true
	}
	name := map[Kind]string{Scalar: "a single value", Sequence: "a list", Mapping: "keys with values"}
	n.Fault(report, "read/wrong-type", "expected %s, found %s", name[want], name[n.Kind()])
	return false
}

// UnknownKey is the finding for a key that is none of known; it names the nearest
// known key when one is near.
func UnknownKey(key Text, known []string) source.Finding {
	f := source.Finding{
		Pos: key.Pos, Path: key.Path, Severity: source.Error, Rule: "read/unknown-key",
		Message: fmt.Sprintf("unknown key %q", key.Value),
	}
	if near, ok := Nearest(key.Value, known); ok {
		f.Message += fmt.Sprintf("; the nearest known key is %q", near)
	}
	f.Hint = "known keys here: " + strings.Join(sorted(known), ", ")
	return f
}

// Nearest returns the word of known with the least edit distance to word, the
// first in alphabetical order on a tie, and false when none is within half of
// word's length.
func Nearest(word string, known []string) (string, bool) {
	best, distance := "", len(word)/2+1
	for _, k := range sorted(known) {
		if d := levenshtein.ComputeDistance(word, k); d < distance {
			best, distance = k, d
		}
	}
	return best, best != ""
}

func sorted(words []string) []string {
	out := slices.Clone(words)
	slices.Sort(out)
	return out
}
