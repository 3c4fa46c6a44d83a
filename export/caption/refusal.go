package caption

import (
	"fmt"
	"strconv"
)

// Refusal says that a format cannot hold a track. Nothing was written.
type Refusal struct {
	Format string // the writer's name
	Cue    int    // which cue in the order of their starts, from 1; 0 for the track as a whole
	ID     string // the cue's id, when it has one
	Reason string // lower case, no full stop
}

// Error names the format, the cue and the reason.
func (r *Refusal) Error() string {
	switch {
	case r.Cue == 0:
		return fmt.Sprintf("%s cannot hold this track: %s", r.Format, r.Reason)
	case r.ID == "" || r.ID == strconv.Itoa(r.Cue):
		return fmt.Sprintf("%s cannot hold cue %d: %s", r.Format, r.Cue, r.Reason)
	}
	return fmt.Sprintf("%s cannot hold cue %d (%s): %s", r.Format, r.Cue, r.ID, r.Reason)
}
