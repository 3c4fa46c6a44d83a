// Package timecode reads the times people and machines write: minutes and
// seconds since the start, the time of day, and SMPTE timecode with its frames.
//
// A time is first a [Reading], its fields as written. What the fields mean is a
// matter of the whole list it stands in: [Classify] decides the [Kind] of clock,
// and a [Clock] of that kind turns each reading into a time.Duration.
//
// The package refuses what it would have to guess: frames without a rate, a
// timecode that drop-frame counting leaves out, seconds above 59, a date in any
// order but year-month-day, a time that the clocks of a place are put forward over.
// Nothing here passes through a floating-point number.
//
//	quantity        unit
//	Reading.Fields  as written: m s, h m (by am/pm or a stated wall clock), h m s, or h m s frames
//	Reading.Frac    time.Duration below one second
//	Rate            frames a second as an exact fraction
//	frame numbers   from 0 at 00:00:00:00
//	Reading.Zone    an offset from UTC as written; -00:00 is UTC with local time unknown
//	Clock.Time      time.Duration from the clock's own zero
//
// Read [Cut] and [Classify] first.
//
// Sources: SMPTE ST 12-1:2014 for drop-frame counting and the list of rates, as
// applied by OpenTimelineIO (opentime/rationalTime.cpp); RFC 3339 for stamps
// with a date, RFC 9557 for the zone in brackets behind one, the IANA time zone
// database for when clocks change. How a bare list of times is told apart is this
// project's own rule, written at [Classify].
package timecode
