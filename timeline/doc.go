// Package timeline holds what stands on a clock: the stamps a surgeon jotted on
// the recording's clock, the chapters and cues of a video, and the piecewise map
// between the two clocks.
//
// It knows nothing of surgery. Readers are in timeline/format, clock arithmetic
// in timeline/timecode, generic alignment in timeline/align, container facts in
// timeline/media.
//
//	quantity        unit
//	recording time  time.Duration from recording zero
//	video time      time.Duration from the first frame of the edited video
//	source time     of an [Edit]: time.Duration on the source's own clock
//	spans           half-open [From, To)
//
// Read [Map.ToVideo] and [Map.SpanToVideo] first.
package timeline
