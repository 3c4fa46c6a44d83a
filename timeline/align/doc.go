// Package align holds the generic arithmetic of putting two ordered lists beside
// each other: numbers in, operations out. It knows nothing of recordings, videos
// or surgery.
//
// Three tools, each exact for the costs it is given:
//
//   - [Align]: strictly monotone matching of two lists with a price for leaving
//     an element alone (global alignment with a linear gap cost);
//   - [Chain]: the cheapest chain through ordered nodes when the price depends on
//     two consecutive nodes, as it does when time between matches counts; on a [Grid]
//     it looks at the steps near each node and at one long one, and is exact for those;
//   - [TheilSen] and [PooledSlope]: straight lines that a minority of wrong points
//     does not move.
//
// [Table] and [Chained] also answer what the best solution would cost with one
// match forced or forbidden; the difference is how far the data speak for it.
//
// The package refuses to break ties at random or by map order: every tie-break is
// written down, and equal input gives equal output.
//
//	quantity  unit
//	cost      any one unit of the caller's, lower is better; +Inf forbids
//	x, y      any; slopes are y a unit of x
//	index     from 0
//
// Read [Align] and [Chain] first.
//
// Sources: Needleman SB, Wunsch CD, J Mol Biol 1970;48:443-453; Durbin R, Eddy S,
// Krogh A, Mitchison G, Biological Sequence Analysis, Cambridge 1998, chapter 2;
// Theil H, Proc Kon Ned Akad Wet 1950;53; Sen PK, J Am Stat Assoc
// 1968;63:1379-1389.
package align
