package ranges

import (
	"embed"
	"fmt"
	"path"
	"slices"
	"strings"
	"sync"

	"sideport/annotate/quantity"
	"sideport/timeline/source"
	"sideport/timeline/source/yamldoc"
)

//go:embed data/*.yaml
var data embed.FS

// groups are the files of rows, in the order of RANGES.md.
var groups = []string{"incision", "ports", "capsule", "ovd", "infusion", "aspiration", "lens", "closure", "drugs", "header"}

// Builtin is the table of the embedded rows, read once. It panics when the embedded
// data is faulty, which a test excludes.
func Builtin() *Table { return builtin() }

var builtin = sync.OnceValue(func() *Table {
	var faults []string
	t := load(func(f source.Finding) { faults = append(faults, f.String()) })
	if len(faults) > 0 {
		panic("ranges: embedded data: " + strings.Join(faults, "; "))
	}
	return t
})

// load reads the embedded files.
func load(report source.Report) *Table {
	sources, ids := loadSources(read("sources"), report)
	parameters := loadParameters(read("parameters"), report)
	l := loader{sources: sources, parameters: map[string]Parameter{}, report: report}
	for _, p := range parameters {
		l.parameters[p.ID] = p
	}
	var rows []Row
	for _, group := range groups {
		rows = append(rows, l.rows(read(group))...)
	}
	return newTable(parameters, rows, sources, ids)
}

func read(name string) *source.Source {
	raw, err := data.ReadFile(path.Join("data", name+".yaml"))
	if err != nil {
		panic("ranges: " + err.Error()) // the file name is ours
	}
	return source.New(name+".yaml", raw)
}

func loadSources(src *source.Source, report source.Report) (map[string]string, []string) {
	texts := map[string]string{}
	var ids []string
	root, _ := yamldoc.Parse(src, report)
	for _, pair := range root.Pairs(report) {
		texts[pair.Key.Value] = pair.Value.Value()
		ids = append(ids, pair.Key.Value)
	}
	return texts, ids
}

func loadParameters(src *source.Source, report source.Report) []Parameter {
	var doc struct {
		Parameters []struct {
			ID           string   `yaml:"id"`
			Label        string   `yaml:"label"`
			Kind         string   `yaml:"kind"`
			Unit         string   `yaml:"unit"`
			UnitOptional bool     `yaml:"unit-optional"`
			Steps        []string `yaml:"steps"`
			Words        []string `yaml:"words"`
			Secondary    bool     `yaml:"secondary"`
			Signed       bool     `yaml:"signed"`
			Seldom       []string `yaml:"seldom"`
			Dose         bool     `yaml:"dose"`
			Doc          string   `yaml:"doc"`
		} `yaml:"parameters"`
	}
	yamldoc.Decode(src, &doc, report)
	out := make([]Parameter, len(doc.Parameters))
	for i, d := range doc.Parameters {
		label := d.Label
		if label == "" {
			label = strings.ReplaceAll(d.ID, "-", " ")
		}
		kind := Kind(d.Kind)
		if kind == "" {
			kind = KindQuantity
		}
		out[i] = Parameter{
			ID: d.ID, Label: label, Kind: kind, Unit: d.Unit, UnitOptional: d.UnitOptional, Steps: d.Steps, Words: d.Words,
			Secondary: d.Secondary, Seldom: d.Seldom, Signed: d.Signed, Dose: d.Dose, Doc: d.Doc,
		}
	}
	return out
}

// rowDoc is a row as it stands in a file.
type rowDoc struct {
	pos       source.Pos
	Parameter yamldoc.Text   `yaml:"parameter"`
	Steps     []string       `yaml:"steps"`
	Procedure string         `yaml:"procedure"`
	When      []yamldoc.Text `yaml:"when"`
	For       string         `yaml:"for"`
	Unit      yamldoc.Text   `yaml:"unit"`
	Accept    yamldoc.Text   `yaml:"accept"`
	Hard      yamldoc.Text   `yaml:"hard"`
	AtLeast   string         `yaml:"at-least"`
	Words     []string       `yaml:"words"`
	Against   []string       `yaml:"against"`
	Says      string         `yaml:"says"`
	Severity  yamldoc.Text   `yaml:"severity"` // "caution", or "note/caution" for accept and hard
	Evidence  yamldoc.Text   `yaml:"evidence"` // likewise
	Quoted    string         `yaml:"quoted"`
	Sources   []yamldoc.Text `yaml:"sources"`
	Why       string         `yaml:"why"`
	Also      bool           `yaml:"also"`
	Physical  bool           `yaml:"physical"`
}

// SetPos keeps where the row begins.
func (d *rowDoc) SetPos(p source.Pos) { d.pos = p }

// loader turns rowDocs into rows; whose is set for a local file.
type loader struct {
	sources    map[string]string
	parameters map[string]Parameter
	whose      string
	report     source.Report
	faulty     bool
}

func (l *loader) rows(src *source.Source) []Row {
	var doc struct {
		Rows []rowDoc `yaml:"rows"`
	}
	yamldoc.Decode(src, &doc, l.report)
	var rows []Row
	for i := range doc.Rows {
		rows = append(rows, l.expand(&doc.Rows[i])...)
	}
	return rows
}

func (l *loader) fault(at yamldoc.Text, d *rowDoc, format string, args ...any) {
	pos := at.Pos
	if !at.Set {
		pos = d.pos
	}
	l.faulty = true
	l.report(source.Finding{Pos: pos, Path: at.Path, Severity: source.Error, Rule: "read/ranges", Message: fmt.Sprintf(format, args...)})
}

// expand is one Row for each step of d, or none when d is faulty.
func (l *loader) expand(d *rowDoc) []Row {
	l.faulty = false
	p, ok := l.parameters[d.Parameter.Value]
	if !ok {
		known := make([]string, 0, len(l.parameters))
		for id := range l.parameters {
			known = append(known, id)
		}
		near, found := yamldoc.Nearest(d.Parameter.Value, known)
		if found {
			near = fmt.Sprintf("; the nearest known one is %q", near)
		}
		l.fault(d.Parameter, d, "unknown parameter %q%s", d.Parameter.Value, near)
		return nil
	}
	r := Row{
		Parameter: p.ID, Procedure: d.Procedure, For: d.For, AtLeast: d.AtLeast, Words: d.Words, Against: d.Against, Says: d.Says,
		Quoted: d.Quoted, Why: d.Why, Also: d.Also, Physical: d.Physical, Local: l.whose,
	}
	l.unit(&r, p, d)
	r.Accept = l.band(d.Accept, d, r.Unit)
	r.Hard = l.band(d.Hard, d, r.Unit)
	for _, text := range d.When {
		c, err := ParseCondition(text.Value)
		if err != nil {
			l.fault(text, d, "%v", err)
		}
		r.Conditions = append(r.Conditions, c)
	}
	l.weights(&r, d)
	l.cite(&r, d)
	if d.Accept.Value == "" && d.Hard.Value == "" && len(r.Words)+len(r.Against) == 0 && r.Says == "" {
		l.fault(d.Accept, d, "the row states no range and no words")
	}
	steps := d.Steps
	if steps == nil && l.whose != "" {
		steps = p.Steps
	}
	if len(steps) == 0 {
		l.fault(yamldoc.Text{}, d, "the row names no step")
	}
	if l.faulty {
		return nil
	}
	rows := make([]Row, 0, len(steps))
	for _, step := range steps {
		if step != AnyStep && !p.In(step) {
			l.fault(d.Parameter, d, "%s does not belong to the step %q", p.ID, step)
			continue
		}
		r.Step = step
		rows = append(rows, r)
	}
	return rows
}

func (l *loader) unit(r *Row, p Parameter, d *rowDoc) {
	r.Unit = p.Unit
	if d.Unit.Value == "" {
		return
	}
	u, ok := quantity.ParseUnit(d.Unit.Value)
	if !ok {
		l.fault(d.Unit, d, "unknown unit %q; known units: %s", d.Unit.Value, strings.Join(quantity.Units(), ", "))
	}
	r.Unit = u
}

// band reads "5.5..7.5", "≥ 6.0", "≤ 60", "< 1:1 000".
func (l *loader) band(text yamldoc.Text, d *rowDoc, u quantity.Unit) Band {
	if text.Value == "" {
		return Band{}
	}
	q, err := quantity.ParseIn(text.Value, u)
	if err == nil && (!q.Numeric() || q.Unit != u) {
		if q, err = q.In(u); err == nil && !q.Numeric() {
			err = fmt.Errorf("%q is no range", text.Value)
		}
	}
	if err != nil {
		l.fault(text, d, "cannot read the range: %v", err)
		return Band{}
	}
	q.Text = text.Value
	return q
}

func (l *loader) weights(r *Row, d *rowDoc) {
	first, second, two := strings.Cut(d.Severity.Value, "/")
	if !two {
		second = first
	}
	s, ok := source.ParseSeverity(first)
	s2, ok2 := source.ParseSeverity(second)
	switch {
	case l.whose != "" && d.Severity.Value == "":
		s, s2 = source.Caution, source.Caution
	case !ok || !ok2 || max(s, s2) == source.Error:
		l.fault(d.Severity, d, "expected a severity note, caution or stop, or two with / between, found %q", d.Severity.Value)
	}
	r.Severity = [2]source.Severity{s, s2}
	accept, hard, twoTags := strings.Cut(d.Evidence.Value, "/")
	if l.whose != "" && accept == "" {
		accept = CommonPractice
	}
	if !twoTags {
		hard = accept
	}
	if !slices.Contains(evidenceOrder, accept) || !slices.Contains(evidenceOrder, hard) {
		l.fault(d.Evidence, d, "expected an evidence word, or two with / between (%s), found %q", strings.Join(evidenceOrder, ", "), d.Evidence.Value)
	}
	r.Evidence.Accept = accept
	if r.Hard.Numeric() {
		r.Evidence.Hard = hard
	}
}

func (l *loader) cite(r *Row, d *rowDoc) {
	var texts, ids []string
	for _, s := range d.Sources {
		text, ok := l.sources[s.Value]
		if !ok && l.whose == "" {
			l.fault(s, d, "unknown source %q", s.Value)
		}
		if ok {
			ids = append(ids, s.Value)
			texts = append(texts, text)
		} else {
			texts = append(texts, s.Value) // a local file names its source in words
		}
	}
	r.References, r.Source, r.SourceID = texts, strings.Join(texts, "; "), strings.Join(ids, ", ")
}
