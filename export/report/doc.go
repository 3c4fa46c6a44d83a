// Package report prints findings: as text for people, as JSON and CSV for
// programs, as one HTML file to hand round.
//
// It prints what it is given and judges nothing. Text is grouped by step, the
// heaviest first; JSON and CSV keep file order. File names in JSON and CSV count
// from the case folder, so that the same case gives the same bytes wherever it
// lies. Every form carries the caution.
//
//	field          unit
//	line, column   from 1; columns in Unicode code points
//	recording_s    seconds from recording zero, to the millisecond
//	video_s        seconds from the video's first frame, to the millisecond
//
// Read [Text] and [JSON] first.
package report
