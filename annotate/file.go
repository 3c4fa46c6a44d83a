package annotate

import (
	"sideport/timeline/source"
	"sideport/timeline/source/yamldoc"
)

// Text is a scalar of the case file with its place.
type Text = yamldoc.Text

// File is case.yaml as written. Every scalar keeps its place, so that a later
// finding can point at it; nothing is interpreted here beyond the YAML itself.
type File struct {
	Sideport     Text        `yaml:"sideport" jsonschema:"description=version of the file format: 1"`
	Title        Text        `yaml:"title" jsonschema:"description=what the case is called on the page"`
	Procedure    Text        `yaml:"procedure" jsonschema:"description=a taxonomy id such as msics or phaco"`
	Languages    []Text      `yaml:"languages,omitempty" jsonschema:"description=BCP 47 tags; the first is the page's and each gets a steps track"`
	Purpose      Text        `yaml:"purpose,omitempty" jsonschema:"enum=channel,enum=conference,enum=curriculum,enum=review"`
	Page         PageKeys    `yaml:"page,omitempty"`
	StepsTrack   Text        `yaml:"steps-track,omitempty" jsonschema:"description=first 8s or whole"`
	Files        Files       `yaml:"files,omitempty"`
	Recording    Recording   `yaml:"recording,omitempty"`
	Video        Video       `yaml:"video,omitempty"`
	Narration    Narration   `yaml:"narration,omitempty"`
	Consent      Consent     `yaml:"consent,omitempty"`
	PrivateWords []Text      `yaml:"private-words,omitempty" jsonschema:"description=words never exported; their appearance anywhere is a privacy stop"`
	Patient      Patient     `yaml:"patient,omitempty"`
	Before       Measures    `yaml:"before,omitempty"`
	Day1         Measures    `yaml:"day-1,omitempty"`
	Week6        Measures    `yaml:"week-6,omitempty"`
	Lens         Measures    `yaml:"lens,omitempty"`
	Machine      Machine     `yaml:"machine,omitempty"`
	Team         Team        `yaml:"team,omitempty"`
	Values       ValueKeys   `yaml:"values,omitempty" jsonschema:"description=values of the whole case"`
	Steps        []StepKeys  `yaml:"steps,omitempty"`
	Events       []EventKeys `yaml:"events,omitempty"`
	Pins         []Pin       `yaml:"pins,omitempty" jsonschema:"description=moments matched by hand; exact"`
	Summary      Text        `yaml:"summary,omitempty"`
	Outcome      Text        `yaml:"outcome,omitempty"`
	Objectives   []Text      `yaml:"objectives,omitempty"`
	Questions    []Question  `yaml:"questions,omitempty"`
	Authors      []Text      `yaml:"authors,omitempty"`
	Disclosure   Text        `yaml:"disclosure,omitempty"`
	References   []Text      `yaml:"references,omitempty"`
	Waivers      []Waiver    `yaml:"waivers,omitempty"`
}

// PageKeys are the choices about the teaching page.
type PageKeys struct {
	Findings Text `yaml:"findings,omitempty" jsonschema:"enum=none,enum=explained,enum=all"`
}

// Files name material that does not carry its default name, inside the folder.
type Files struct {
	Recording []Text `yaml:"recording,omitempty"`
	Chapters  Text   `yaml:"chapters,omitempty"`
	Cuts      Text   `yaml:"cuts,omitempty"`
	Notes     Text   `yaml:"notes,omitempty"`
	Ranges    Text   `yaml:"ranges,omitempty"`
	Lexicon   Text   `yaml:"lexicon,omitempty"`
}

// Recording says how the recording's clock is read. Date, Starts and Zone are
// read and never exported.
type Recording struct {
	Clock  Text            `yaml:"clock,omitempty" jsonschema:"enum=elapsed,enum=wall,enum=timecode"`
	Rate   Text            `yaml:"rate,omitempty" jsonschema:"description=frames a second of timecode; asked for by clock: timecode. A column of frame numbers states its own"`
	Date   Text            `yaml:"date,omitempty"`
	Starts Text            `yaml:"starts,omitempty" jsonschema:"description=what the clock said at recording zero"`
	Zone   Text            `yaml:"zone,omitempty"`
	Part   Part            `yaml:"part,omitempty"`
	Files  []RecordingFile `yaml:"files,omitempty" jsonschema:"description=the files of a recording kept in several"`
}

// RecordingFile is one file of the recording. Nothing of it is exported, and only
// its length, its start and its frame rate are looked at.
type RecordingFile struct {
	Video  Text `yaml:"video,omitempty" jsonschema:"description=the file as the recorder wrote it"`
	Times  Text `yaml:"times,omitempty" jsonschema:"description=the list of times jotted while this file was recorded"`
	Starts Text `yaml:"starts,omitempty" jsonschema:"description=what the clock said when this file began; goes before what the file says"`
	pos    source.Pos
}

// SetPos remembers where the entry begins.
func (r *RecordingFile) SetPos(p source.Pos) { r.pos = p }

// Part limits which stamps are read into any output.
type Part struct {
	From Text `yaml:"from,omitempty"`
	To   Text `yaml:"to,omitempty"`
}

// Video is the edited video.
type Video struct {
	File     Text `yaml:"file,omitempty"`
	Duration Text `yaml:"duration,omitempty"`
	Shows    Text `yaml:"shows,omitempty" jsonschema:"enum=edit,enum=recording"`
}

// Narration is the spoken commentary.
type Narration struct {
	File     Text `yaml:"file,omitempty"`
	Language Text `yaml:"language,omitempty"`
	Clock    Text `yaml:"clock,omitempty" jsonschema:"enum=video,enum=recording"`
}

// Consent is what the patient agreed to and how it is held.
type Consent struct {
	Scope    Text `yaml:"scope,omitempty" jsonschema:"enum=none,enum=local,enum=course,enum=public"`
	Recorded Text `yaml:"recorded,omitempty" jsonschema:"enum=true,enum=false"`
	Sound    Text `yaml:"sound,omitempty" jsonschema:"enum=commentary,enum=theatre,enum=none"`
}

// Patient is the case header without anything that names a person.
type Patient struct {
	AgeBand  Text         `yaml:"age-band,omitempty" jsonschema:"enum=0-17,enum=18-39,enum=40-49,enum=50-59,enum=60-69,enum=70-79,enum=80-89,enum=90+"`
	Sex      Text         `yaml:"sex,omitempty" jsonschema:"enum=female,enum=male,enum=other,enum=not-stated"`
	Eye      Text         `yaml:"eye,omitempty" jsonschema:"enum=left,enum=right"`
	WhichEye Text         `yaml:"which-eye,omitempty" jsonschema:"enum=first,enum=second"`
	Systemic []Text       `yaml:"systemic,omitempty" jsonschema:"enum=diabetes,enum=hypertension,enum=ihd,enum=stroke,enum=anticoagulant,enum=antiplatelet,enum=alpha-blocker,enum=asthma,enum=copd,enum=unable-to-lie-flat,enum=uraemia,enum=steroid,enum=immunosuppressed,enum=none"`
	Ocular   []Text       `yaml:"ocular,omitempty" jsonschema:"enum=pxf,enum=phacodonesis,enum=poag,enum=angle-closure,enum=uveitis,enum=corneal-scar,enum=fuchs,enum=high-myopia,enum=vitrectomised,enum=trauma,enum=posterior-polar,enum=retinal-disease,enum=amblyopia,enum=one-eyed,enum=small-pupil,enum=none"`
	Cataract CataractKeys `yaml:"cataract,omitempty"`
}

// CataractKeys describe the cataract; a grade always names its scheme.
type CataractKeys struct {
	Type  []Text  `yaml:"type,omitempty" jsonschema:"enum=ns,enum=cortical,enum=psc,enum=posterior-polar,enum=mature-white,enum=intumescent,enum=hypermature,enum=morgagnian,enum=brown,enum=black,enum=traumatic,enum=congenital,enum=complicated,enum=subluxated"`
	Grade []Grade `yaml:"grade,omitempty"`
}

// Grade is one grading in one scheme; schemes are never converted.
type Grade struct {
	Scheme Text `yaml:"scheme" jsonschema:"enum=locs3-no,enum=locs3-nc,enum=locs3-c,enum=locs3-p,enum=clinical-1-4,enum=clinical-1-5"`
	Value  Text `yaml:"value"`
	pos    source.Pos
}

// SetPos remembers where the entry begins.
func (g *Grade) SetPos(p source.Pos) { g.pos = p }

// Machine is how fluid reaches and leaves the eye.
type Machine struct {
	Infusion   Text `yaml:"infusion,omitempty" jsonschema:"enum=gravity,enum=forced"`
	Pump       Text `yaml:"pump,omitempty" jsonschema:"enum=none,enum=peristaltic,enum=venturi"`
	HeightFrom Text `yaml:"height-from,omitempty" jsonschema:"enum=eye,enum=machine,enum=floor"`
}

// Team is who operated, without names.
type Team struct {
	SurgeonRole Text `yaml:"surgeon-role,omitempty" jsonschema:"enum=consultant,enum=fellow,enum=resident,enum=trainee"`
	CasesBefore Text `yaml:"cases-before,omitempty"`
	Supervised  Text `yaml:"supervised,omitempty" jsonschema:"enum=true,enum=false"`
	Code        Text `yaml:"code,omitempty"`
}

// StepKeys is one entry of steps.
type StepKeys struct {
	Step     Text        `yaml:"step" jsonschema:"description=a step id of the procedure"`
	Nth      Text        `yaml:"nth,omitempty" jsonschema:"description=which occurrence of the step; counted from 1"`
	Variant  Text        `yaml:"variant,omitempty"`
	At       Text        `yaml:"at,omitempty" jsonschema:"description=when it began as the recording's clock says"`
	Until    Text        `yaml:"until,omitempty"`
	Values   ValueKeys   `yaml:"values,omitempty"`
	Readings []ValueKeys `yaml:"readings,omitempty" jsonschema:"description=settings read at a moment of the step; at and how stand beside the values"`
	Reason   Text        `yaml:"reason,omitempty"`
	Tips     []Text      `yaml:"tips,omitempty"`
	Note     Text        `yaml:"note,omitempty"`
	Shown    Text        `yaml:"shown,omitempty" jsonschema:"enum=true,enum=false"`
	pos      source.Pos
}

// SetPos remembers where the entry begins.
func (s *StepKeys) SetPos(p source.Pos) { s.pos = p }

// EventKeys is one entry of events.
type EventKeys struct {
	Event Text `yaml:"event" jsonschema:"description=an event or complication id"`
	At    Text `yaml:"at,omitempty"`
	Note  Text `yaml:"note,omitempty"`
	pos   source.Pos
}

// SetPos remembers where the entry begins.
func (e *EventKeys) SetPos(p source.Pos) { e.pos = p }

// Pin is one moment matched by hand.
type Pin struct {
	Recording Text `yaml:"recording"`
	Video     Text `yaml:"video"`
	pos       source.Pos
}

// SetPos remembers where the entry begins.
func (p *Pin) SetPos(at source.Pos) { p.pos = at }

// Question is one question of the author's own.
type Question struct {
	Ask     Text   `yaml:"ask"`
	Answers []Text `yaml:"answers"`
	Right   Text   `yaml:"right"`
	Because Text   `yaml:"because,omitempty"`
	At      Text   `yaml:"at,omitempty"`
}

// Waiver turns one finding into a listed exception for the value it names.
type Waiver struct {
	Rule   Text `yaml:"rule"`
	Step   Text `yaml:"step,omitempty"`
	Nth    Text `yaml:"nth,omitempty"`
	Value  Text `yaml:"value,omitempty"`
	Reason Text `yaml:"reason"`
	By     Text `yaml:"by"`
	pos    source.Pos
}

// SetPos remembers where the entry begins.
func (w *Waiver) SetPos(p source.Pos) { w.pos = p }
