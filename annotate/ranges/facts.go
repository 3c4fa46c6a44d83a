package ranges

import (
	"maps"
	"slices"
	"strings"
)

// Facts is what is known of a case where a value is judged: the values of each fact
// by key. A key that is absent is not known; a key with no values is known to have
// none. Keys that begin with event., step. and given. tell what the case file records
// and are never unknown: absent is "no". doc.go lists the keys the rows ask for.
type Facts map[string][]string

// lookup is the values of a fact and whether they are known.
func (f Facts) lookup(key string) ([]string, bool) {
	values, known := f[key]
	if !known && closed(key) {
		return []string{"no"}, true
	}
	return values, known
}

func closed(key string) bool {
	return strings.HasPrefix(key, "event.") || strings.HasPrefix(key, "step.") || strings.HasPrefix(key, "given.")
}

// With is a copy of f in which key has the values.
func (f Facts) With(key string, values ...string) Facts {
	out := maps.Clone(f)
	if out == nil {
		out = Facts{}
	}
	out[key] = slices.Clone(values)
	return out
}

// gradeSchemes are the schemes in which a nucleus grade is recorded, sorted.
func (f Facts) gradeSchemes() []string {
	var schemes []string
	for key, values := range f {
		if scheme, ok := strings.CutPrefix(key, "grade."); ok && len(values) > 0 {
			schemes = append(schemes, scheme)
		}
	}
	slices.Sort(schemes)
	return schemes
}

// factName is a fact's key in words.
func factName(key string) string {
	if scheme, ok := strings.CutPrefix(key, "grade."); ok {
		return "nucleus grade (" + scheme + ")"
	}
	if step, ok := strings.CutSuffix(key, ".variant"); ok {
		return "technique of " + step
	}
	if name, ok := map[string]string{
		"variant": "technique of the step", "delivery": "technique of nucleus delivery", "cataract": "type of cataract",
		"limbus-landmark": "limbus landmark", "lens.material": "lens material", "lens.site": "lens site",
		"lens.optic-diameter": "optic diameter", "ovd-type": "type of OVD", "ocular": "conditions of the eye",
		"axial-length": "axial length", "endothelial-count": "endothelial count",
	}[key]; ok {
		return name
	}
	return strings.ReplaceAll(key, ".", " ")
}
