// Package narration reads what a surgeon says or jots in running text: the
// quantities with the parameters they belong to, the complications named, and the
// place of spoken cues on the edited video.
//
// [Values] finds quantities by sideport/annotate/quantity, numbers in words
// included, and ties each to a parameter by the words near it, or by its unit
// where the step leaves one choice. It proposes and never decides: what is
// negated, planned, habitual or asked is left, and so is every number that can be
// heard in two ways ("five five", "two eight"). Precision comes before recall.
//
// The package refuses to repair words that were misheard and to spot steps; both
// belong to later work. It knows no procedure: which parameter is likely at a step
// and which words name a complication come from the caller.
//
//	quantity          unit
//	Start, End        bytes into the text given, half-open [Start, End)
//	Confidence        0 to 1, our own scale: how the parameter was found
//	cue times         time.Duration on the clock the function names
//
// Read [Values] and [Shift] first. The words are data: lexicon/en.yaml.
package narration
