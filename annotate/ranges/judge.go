package ranges

import (
	"slices"
	"strings"

	"sideport/annotate/quantity"
	"sideport/timeline/source"
)

// Result is how a value stands to the range quoted.
type Result string

// The results. Unknown means that no row speaks for this step and technique;
// NotJudged that the value cannot be compared, such as one without a unit.
const (
	Within     Result = "within"
	Partly     Result = "partly"
	Outside    Result = "outside"
	FarOutside Result = "far-outside"
	NoRange    Result = "unknown"
	NotJudged  Result = "not-judged"
)

// Judgement is what the table says of one value. Findings lack position, path, time,
// step and occurrence, which the caller knows.
type Judgement struct {
	Result           Result
	Row              *Row          // the row that decided; nil when none or several did
	Accepted         source.Bounds // of that row, or the outer ends of the union
	Evidence         string
	Source, SourceID string
	Findings         []source.Finding
	Union            bool // several techniques are possible and their bands were joined
}

// Judge compares a value of a parameter recorded in a step with the accepted range
// that the facts select.
//
// A value without a unit is not judged where a unit has to be written. Of a range
// each end counts and the worse decides; of an open end only the stated one. Rows
// whose conditions are unknown are joined when no row applies. Cost is one pass over
// the rows of the parameter in the step; the result does not depend on map order.
func (t *Table) Judge(parameter, step string, q quantity.Quantity, facts Facts) Judgement {
	p, ok := t.byParameter(parameter)
	if !ok {
		return Judgement{Result: NotJudged}
	}
	rows := t.at(parameter, step)
	if !q.Numeric() {
		return judgeWord(p, rows, q, facts)
	}
	if p.Kind == KindWord || p.Kind == KindYesNo || p.Kind == KindPlace {
		return Judgement{Result: NotJudged}
	}
	if q.Unit == "" && p.Unit != "" {
		if !p.UnitOptional && p.Kind != KindCount && p.Kind != KindSize {
			return Judgement{Result: NotJudged, Findings: []source.Finding{unitMissing(p, q)}}
		}
		q.Unit = p.Unit
	}
	if q.Over != nil && quantity.Dimension(q.Over.Unit) == "volume" {
		return t.judgeInVolume(p, step, q, facts)
	}
	if q.Kind == quantity.Pair {
		if parameter != "blood-pressure" {
			return Judgement{Result: NotJudged}
		}
		return t.judgePair(step, q, facts)
	}
	if f, ok := impossible(p, q); ok {
		return Judgement{Result: FarOutside, Evidence: f.Evidence, Source: f.Source, Findings: []source.Finding{f}}
	}
	if len(rows) == 0 {
		return Judgement{Result: NoRange}
	}
	fitting := slices.DeleteFunc(slices.Clone(rows), func(r *Row) bool {
		return r.Unit != q.Unit && (r.Unit == "" || q.Unit == "" || !quantity.Compatible(q.Unit, r.Unit)) || len(r.Words)+len(r.Against) > 0
	})
	if len(fitting) == 0 {
		return Judgement{Result: NotJudged, Findings: []source.Finding{unitUnlikely(p, q)}}
	}
	return judgeNumber(p, fitting, q, facts)
}

func judgeNumber(p Parameter, rows []*Row, q quantity.Quantity, facts Facts) Judgement {
	s := selectRows(rows, facts)
	var j Judgement
	switch {
	case len(s.tied) > 0:
		j = judgeUnion(p, append([]*Row{s.chosen}, s.tied...), q, facts)
	case s.chosen != nil:
		j = judgeOne(p, s.chosen, q, facts, nil)
	case len(s.possible) == 1:
		_, missing := s.possible[0].applies(facts)
		j = judgeOne(p, s.possible[0], q, facts, missing)
	case len(s.possible) > 1:
		j = judgeUnion(p, s.possible, q, facts)
	default:
		j = Judgement{Result: NoRange}
	}
	for _, r := range s.also {
		j = j.with(judgeOne(p, r, q, facts, nil))
	}
	return j.noteScheme(p, s, facts)
}

// judgeOne judges against one row. missing names the facts that leave open whether
// the row applies; then a finding is a note.
func judgeOne(p Parameter, r *Row, q quantity.Quantity, facts Facts, missing []string) Judgement {
	if r.Says != "" && !r.Accept.Numeric() && !r.Hard.Numeric() {
		if len(missing) > 0 {
			return Judgement{Result: NoRange}
		}
		return against(p, r, q)
	}
	v := judgeRow(r, q, facts)
	j := Judgement{Result: v.result(), Row: v.row, Accepted: bounds(v.row.Accept), Evidence: v.row.Evidence.Accept, SourceID: r.SourceID}
	if v.worst == far {
		j.Evidence = r.Evidence.Hard
	}
	j.Source = r.sourceText(j.Evidence)
	if f, ok := misread(p, v, q); ok {
		j.Result, j.Findings = FarOutside, []source.Finding{f}
		return j
	}
	if p.Dose && r.Evidence.Accept == FromMemory {
		j.Result = NotJudged
		return j
	}
	if v.worst != inside {
		j.Findings = []source.Finding{outsideFinding(p, v, q, j, missing)}
	}
	return j
}

// with adds what a row judged beside the first says. A reading that is a slip, or a
// number that cannot be, stands alone.
func (j Judgement) with(also Judgement) Judgement {
	if j.misread() || len(also.Findings) == 0 {
		return j
	}
	physical := also.Row != nil && also.Row.Physical && also.Result == FarOutside
	if also.misread() || physical {
		return also
	}
	findings := append(slices.Clone(j.Findings), also.Findings...)
	if rank(also.Result) > rank(j.Result) {
		j = also
	}
	j.Findings = findings
	return j
}

func (j Judgement) misread() bool {
	return slices.ContainsFunc(j.Findings, func(f source.Finding) bool { return f.Rule == "range/slip" || f.Rule == "range/unit-unlikely" })
}

func rank(r Result) int {
	return slices.Index([]Result{NotJudged, NoRange, Within, Partly, Outside, FarOutside}, r)
}

// judgePair judges 130/80 mmHg, the second value under its own parameter.
func (t *Table) judgePair(step string, q quantity.Quantity, facts Facts) Judgement {
	first := q
	first.Kind, first.Over = quantity.Number, nil
	j := t.Judge("blood-pressure", step, first, facts)
	second := t.Judge("blood-pressure-diastolic", step, *q.Over, facts)
	findings := append(slices.Clone(j.Findings), second.Findings...)
	if rank(second.Result) > rank(j.Result) {
		j = second
	}
	j.Findings = findings
	return j
}

// judgeInVolume judges a dose written with its volume, "0.5 mg in 0.1 mL": the dose
// under its parameter and the volume under the step's.
func (t *Table) judgeInVolume(p Parameter, step string, q quantity.Quantity, facts Facts) Judgement {
	volume := *q.Over
	q.Over = nil
	j := t.Judge(p.ID, step, q, facts)
	if v, ok := t.Parameter(step, "volume"); ok && p.ID != v.ID {
		j.Findings = append(j.Findings, t.Judge(v.ID, step, volume, facts).Findings...)
	}
	return j
}

// noteScheme adds that the nucleus grade stands in a scheme no row goes by: to the
// note that names what is not recorded, when there is one, else as a note of its own.
func (j Judgement) noteScheme(p Parameter, s selection, facts Facts) Judgement {
	recorded := strings.Join(facts.gradeSchemes(), ", ")
	if len(s.schemes) == 0 || recorded == "" {
		return j
	}
	const why = "grades of one scheme are not converted to another: no published table does so"
	for i := range j.Findings {
		if f := &j.Findings[i]; f.Rule == "range/which" {
			f.Message += "; the grade recorded in " + recorded + " selects no row"
			f.Hint += "; " + why
			return j
		}
	}
	j.Findings = append(j.Findings, source.Finding{
		Severity: source.Note, Rule: "range/grade-scheme",
		Message: "the nucleus grade is recorded in " + recorded + " and selects no range of " + p.Label + "; the quoted ranges go by " + strings.Join(s.schemes, ", "),
		Hint:    why,
	})
	return j
}

func bounds(b Band) source.Bounds {
	return source.Bounds{Low: b.Low, High: b.High, Unit: b.Unit}
}
