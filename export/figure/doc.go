// Package figure draws a case as scalable vector graphics, from plain numbers,
// without a chart library.
//
// [EyeSVG] draws the schematic eye to scale; [RibbonSVG] lays the steps along the
// recording's clock and the video's. Both write one svg element with a title and
// a description in words, either to stand inside an HTML page (colours come from
// the style sheet [CSS]) or, with Options.Standalone, as a document of its own
// that carries its colours itself and needs no style sheet.
//
// The package refuses to invent: what a case does not record is either left out
// or drawn in the line of an assumption and named as one. It holds no clinical
// range; the few proportions a drawing cannot do without (see defaults.go) carry
// their source. Same input, same bytes.
//
//	quantity              unit
//	lengths               millimetres, laid flat: distances along the eye's
//	                      surface are drawn at full length, not foreshortened
//	directions            degrees 0-359 in the axis notation of spectacles: 0 at
//	                      the right of an observer who faces the patient, counter-
//	                      clockwise, the same for both eyes; 90 is superior
//	drawing               [UnitsPerMM] user units a millimetre in every eye drawing
//	times                 time.Duration
//
// Read [EyeSVG] and [Eye.Parts] first.
//
// Sources: arcs and chords by elementary geometry; limbal diameter Rüfer,
// Schröder, Erb, Cornea 2005;24:259-61; limits of a well dilated pupil as in
// defaults.go. Text alternatives follow WCAG 2.2 success criteria 1.1.1 and 1.4.1
// and the WAI-ARIA role img.
package figure
