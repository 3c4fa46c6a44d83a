package timecode

// Kind says what a list of times counts from.
type Kind int

// The kinds of clock.
const (
	Unknown  Kind = iota
	Elapsed       // time since the recording started
	Wall          // the time of day
	Timecode      // SMPTE timecode: hours, minutes, seconds and frames
)

var kindNames = [...]string{"unknown", "elapsed", "wall", "timecode"}

// String is unknown, elapsed, wall or timecode.
func (k Kind) String() string { return kindNames[k] }

// ParseKind is the inverse of String.
func ParseKind(name string) (Kind, bool) {
	for i, n := range kindNames {
		if n == name {
			return Kind(i), true
		}
	}
	return Unknown, false
}

// wallFrom is the first hour that makes a list of three-field times a time of
// day: a recording of one operation does not start two hours in.
const wallFrom = 2

// Classify decides the kind of clock a whole list was read from. The first of
// these that holds counts:
//
//	stated is not Unknown        stated
//	a date, or am or pm          wall
//	four fields                  timecode
//	three fields, first >= 2 h   wall
//	else                         elapsed
//
// why says which, in words for the user and without quoting a time. mixed is the
// index of the first reading that does not fit the kind, or -1. An empty list
// without a stated kind is Unknown. Cost is two passes over the list.
func Classify(list []Reading, stated Kind) (kind Kind, why string, mixed int) {
	kind, why = decide(list, stated)
	if kind == Unknown {
		return kind, why, -1
	}
	return kind, why, misfit(list, kind, stated == Wall)
}

func decide(list []Reading, stated Kind) (Kind, string) {
	if stated != Unknown {
		return stated, "the clock is stated"
	}
	for _, r := range list {
		if r.Date != "" {
			return Wall, "a time has a date"
		}
		if r.Meridiem != 0 {
			return Wall, "a time has am or pm"
		}
	}
	for _, r := range list {
		if len(r.Fields) == 4 {
			return Timecode, "a time has a fourth field"
		}
	}
	if len(list) == 0 {
		return Unknown, "the list is empty"
	}
	first := list[0]
	if len(first.Fields) == 3 && first.Fields[0] >= wallFrom {
		return Wall, "the first time is at or above 02:00:00"
	}
	return Elapsed, "no time has a date, am, pm or frames and the first is not at or above 02:00:00"
}

// misfit is the index of the first reading that a clock of this kind cannot have
// shown, or -1. short says that two fields are h:mm.
func misfit(list []Reading, kind Kind, short bool) int {
	twelve, zone, dated, own := false, false, false, true
	for _, r := range list {
		twelve = twelve || r.Meridiem != 0
		if r.Date == "" {
			continue
		}
		if !dated {
			zone, dated = r.Zone+r.Place != "", true
		}
		own = own && r.Zone+r.Place != ""
	}
	for i, r := range list {
		daily := r.Date != "" || r.Meridiem != 0
		fits := true
		switch kind {
		case Elapsed:
			fits = !daily && len(r.Fields) < 4
		case Timecode:
			fits = !daily && len(r.Fields) == 4
		case Wall:
			fits = len(r.Fields) == 3 || len(r.Fields) == 2 && (short || daily)
			// beside am and pm a bare 2:15:00 may be either half of the day
			if twelve && r.Meridiem == 0 && r.Fields[0] <= 12 {
				fits = false
			}
			// offsets may differ where each time states its own
			if r.Date != "" && !own && (r.Zone+r.Place != "") != zone {
				fits = false
			}
		}
		if !fits {
			return i
		}
	}
	return -1
}
