// Package caption shapes speech into readable captions and writes timed text:
// WebVTT, SubRip, TTML (IMSC 1.2 text profile) and EBU STL.
//
// A writer takes a [Track] of plain text and gives the same bytes for the same
// track. What a format cannot hold is never dropped in silence: markup of the
// format's own is escaped or broken up, and EBU STL, whose alphabet is Latin,
// refuses the track with a [Refusal] that says which cue and why. Nothing is
// normalised: an é written as two code points stays two.
//
//	quantity        unit
//	Cue.From, .To   time.Duration from the first frame of the video, [From, To)
//	written time    milliseconds, rounded half up; EBU STL frames of 40 ms
//	line length     letters: code points without combining marks and format signs
//	reading speed   letters a second; words a minute
//
// Rounding half up moves a start by at most half a millisecond, far less than
// half a frame at any rate in use, so that a reader that maps the time to the
// nearest frame finds the frame it came from, as truncated times do not.
// Rounding keeps the order and two equal times equal.
//
// Every writer prepares the track in the same way: cues in order of their start,
// text cleaned by [Clean]. A cue without text, without length or with its end
// before its start would never be seen and is left out, so that a fault in what a
// user wrote costs that cue and no more; a start before zero is an error.
//
// Sources: W3C WebVTT (editor's text of 2026-05-14); IETF CELLAR codec draft,
// section SRT Subtitles; W3C TTML2 and IMSC 1.2 (2020-08-06); EBU Tech 3264-E
// (1991). The limits of [DefaultProfile] name theirs.
//
// Read [Shape] and [WriteWebVTT] first.
package caption
