package ranges

import (
	"slices"

	"sideport/annotate/quantity"
)

// Table is a set of rows with the parameters they judge and the sources they quote.
// It is not changed after it is made and can be shared.
type Table struct {
	parameters []Parameter
	byID       map[string]int
	rows       []Row
	index      map[place][]*Row
	sources    map[string]string
	sourceIDs  []string // in file order
}

type place struct{ parameter, step string }

func newTable(parameters []Parameter, rows []Row, sources map[string]string, sourceIDs []string) *Table {
	t := &Table{parameters: parameters, byID: map[string]int{}, rows: rows, index: map[place][]*Row{}, sources: sources, sourceIDs: sourceIDs}
	for i, p := range parameters {
		t.byID[p.ID] = i
	}
	for i := range rows {
		r := &rows[i]
		at := place{r.Parameter, r.Step}
		t.index[at] = append(t.index[at], r)
	}
	return t
}

// With is a table in which each given row takes the place of the built-in row for
// the same parameter, step, procedure and conditions, or joins the others.
func (t *Table) With(local []Row) *Table {
	rows := slices.Clone(t.rows)
	for _, l := range local {
		i := slices.IndexFunc(rows, func(r Row) bool { return r.key() == l.key() })
		if i >= 0 {
			rows[i] = l
		} else {
			rows = append(rows, l)
		}
	}
	return newTable(t.parameters, rows, t.sources, t.sourceIDs)
}

// Rows are all rows in file order. The caller must not change them.
func (t *Table) Rows() []Row { return t.rows }

// Parameters are all parameters in file order. The caller must not change them.
func (t *Table) Parameters() []Parameter { return t.parameters }

// Parameter is the parameter with an id when it belongs to the step.
func (t *Table) Parameter(step, id string) (Parameter, bool) {
	p, ok := t.byParameter(id)
	return p, ok && p.In(step)
}

// ParameterByID is the parameter with an id, whatever its steps.
func (t *Table) ParameterByID(id string) (Parameter, bool) { return t.byParameter(id) }

func (t *Table) byParameter(id string) (Parameter, bool) {
	i, ok := t.byID[id]
	if !ok {
		return Parameter{}, false
	}
	return t.parameters[i], true
}

// Source is the full reference of a source id.
func (t *Table) Source(id string) (string, bool) {
	text, ok := t.sources[id]
	return text, ok
}

// SourceIDs are the ids of all sources in file order.
func (t *Table) SourceIDs() []string { return slices.Clone(t.sourceIDs) }

// LikelyParameter is the one parameter of a step that a value in a unit can be
// meant for, one whose own unit it is before one it converts to; a bare number ("")
// can be meant for measured quantities only. It is false when none or several fit.
func (t *Table) LikelyParameter(step string, unit quantity.Unit) (string, bool) {
	var own, other []string
	for _, p := range t.parameters {
		switch {
		case p.Secondary || !slices.Contains(p.Steps, step) || slices.Contains(p.Seldom, step) || !t.fits(p, step, unit):
		case p.Unit == unit:
			own = append(own, p.ID)
		default:
			other = append(other, p.ID)
		}
	}
	for _, list := range [][]string{own, other} {
		if len(list) > 0 {
			if len(list) > 1 {
				return "", false
			}
			return list[0], true
		}
	}
	return "", false
}

func (t *Table) fits(p Parameter, step string, unit quantity.Unit) bool {
	if unit == "" {
		return p.Kind == KindQuantity || p.Kind == KindNumber
	}
	if p.Kind == KindPlace {
		return unit == quantity.Clock || unit == quantity.Degree
	}
	if p.Unit != "" && quantity.Compatible(unit, p.Unit) {
		return true
	}
	for _, r := range t.at(p.ID, step) {
		if r.Unit != "" && quantity.Compatible(unit, r.Unit) {
			return true
		}
	}
	return false
}

// at are the rows for a parameter in a step, those for every step last.
func (t *Table) at(parameter, step string) []*Row {
	rows := t.index[place{parameter, step}]
	if anywhere := t.index[place{parameter, AnyStep}]; len(anywhere) > 0 {
		return slices.Concat(rows, anywhere)
	}
	return rows
}
