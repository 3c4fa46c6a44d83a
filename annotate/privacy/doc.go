// Package privacy finds what could identify a patient in text, in file names and
// in the tags of a video container.
//
// [Scan] is a pure function over text: the same words give the same [Hit]s, with
// byte offsets into the text. The classes follow the eighteen items of the United
// States' Safe Harbor method, 45 CFR 164.514(b)(2)(i)(A)-(R); [Classes] lists
// them with what each can and cannot see. Patterns look for the way such things
// are written beside a label or in a shape of their own ("patient name: ...",
// 2026-03-01, "92-year-old"), so that sentences full of sizes, settings and
// eponyms stay clean.
//
// The package refuses to guess: a name that stands alone without label or title
// is not seen, nor is anything in picture or sound (items P and Q). The case's
// private words close that gap for what the author knows. A surgeon's name is
// not an item of the list and is left; a weekday and a bare year are left too.
// Nothing here prints, and no message of a caller has cause to repeat the text
// found: [Redact] replaces it by class and position.
//
//	quantity          unit
//	Hit.Start, .End   bytes into the text given, half-open [Start, End)
//	ages              years
//	line numbers      from 1
//
// Read [Scan] and [Redact] first.
//
// Source: 45 CFR 164.514(b)(2)(i)(A)-(R).
package privacy
