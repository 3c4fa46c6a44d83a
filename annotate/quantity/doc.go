// Package quantity reads what clinicians write for a measured value, converts it
// exactly between units, and finds such values in running text.
//
// A [Quantity] is a range with equal or different ends, or with one open end; it
// keeps the text it was read from, whether it was written as approximate, and its
// unit. Numbers are kept as exact fractions, so a conversion and its reverse give
// the value that was written; printing trims.
//
// The package refuses to guess. A number that can be read in two ways (2,400 is
// 2400 or 2.4), a range written from high to low, a plus-minus (mean and spread are
// not two ends) and an unknown unit are errors whose text says what is wrong. It
// knows nothing of steps or accepted ranges.
//
//	dimension      units
//	length         mm, µm, cm, inch
//	volume         mL (cc), µL, L
//	flow           mL/min
//	pressure       mmHg, cmH2O, Pa, kPa, inHg, psi, bar
//	mass           mg, µg, g
//	concentration  mg/mL, µg/mL, mg/dL
//	proportion     %, fraction, ratio (1:n, kept as the proportion 1/n)
//	refraction     D (with @ axis in degrees, 0 read as 180)
//	angle          °, clock hours (30° each)
//	time           s, min, h
//	sizes          G (needle gauge), USP (suture size, kept as the number of zeros)
//	others         cells/mm2, %-s, mmol/L, °C, count, o'clock
//
// Per cent and 1:n convert to mg/mL in the pharmacy sense, grams in 100 mL. Gauge
// and suture size are looked up, never computed: [NeedleSize], [SutureSize].
//
// Read [Parse] and [Quantity.In] first.
//
// Sources: NIST SP 811 (2008) appendix B.8 for mmHg 133.3224 Pa, cmH2O 98.0665 Pa,
// inch 25.4 mm and psi 6894.757 Pa (its printed digits from memory, the exact
// factors derived); gauge and suture tables as said at [NeedleSize] and [SutureSize].
package quantity
