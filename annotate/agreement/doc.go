// Package agreement says how far two annotations of one recording agree: who of
// two people named which stretch of it what.
//
// An annotation is a list of [Segment], in time order and without overlaps; what
// no segment covers is unnamed. Each figure answers another question, so none
// stands for the others:
//
//	function       asks                                        scale
//	[Bins]         is the same step named at the same moment   kappa up to 1, shares 0 to 1
//	[F1]           is each step found, however its ends lie    0 to 100
//	[Edit]         are the steps the same, in the same order   0 to 100
//	[Boundaries]   how far apart are the changes of step       time.Duration
//
// A figure that is not defined has no value: the functions say so with false or
// nil and never put a number in its place. The package refuses to call a number
// good or bad.
//
//	quantity   unit
//	times      time.Duration on the clock both annotations are given on
//	bins       number of them, each as wide as asked for
//	overlap    shared time over the time that either segment takes
//
// The clocks of the two annotations are brought together before, not here. Read
// [Segment] and [Bins] first.
//
// Sources: kappa, Cohen J, Educ Psychol Meas 1960;20:37-46; F1 by overlap and edit
// score, Lea C et al., CVPR 2017, all three from memory; how segments are matched
// for F1, the published code of Farha and Gall's temporal convolution network, as
// read for the formula.
package agreement
