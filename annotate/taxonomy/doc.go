// Package taxonomy is the vocabulary of cataract surgery: the steps of an
// operation in their usual order, the events and complications that may come
// between, what each is called, and what a surgeon's note names.
//
// One id stands for one step everywhere; labels in any language are data beside
// it. The embedded files hold the steps of manual small-incision surgery (msics)
// and phacoemulsification (phaco), events and complications, texts that several
// readings claim, class names of open label sets, and labels. [Validate] says
// whether they hang together.
//
// [Procedure.Match] refuses to guess. A text that names nothing is a remark; a text that
// two readings claim is settled by the steps beside it or stays open with its
// candidates; "no leak" is no leak. It judges no order and no value: constraints,
// windows and severities are data with source and evidence for those who do.
//
//	quantity           unit
//	Window, WindowS    seconds, expert..trainee; our sanity limit
//	Repeats            occurrences in one case
//	Confidence, Score  share, 0..1
//	Handicap           places of the step order
//	Rank               places of the step order, from 0
//
// [Procedure.Likely] is a guess and says so: how likely each step is by the words of a
// text alone, from the names here and from phrases of the trade, for an aligner to weigh
// beside the times. It names nothing.
//
// Confidence says how a match was made:
//
//	1           the whole text is an id or a label
//	0.97        the whole text is another name; values and numbering do not count
//	0.9         a name inside a longer text, or with words such as "done" and "start"
//	0.85        a name of several readings, settled by the steps beside it
//	0.8         equal word stems, or the first of two steps named
//	0.60-0.75   one or two letters off: 0.75 and 0.7 the whole text, 0.65 and 0.6 part of it
//
// Read [Procedure.Match] and [Procedure.Resolve] first.
//
// Sources: the order of steps, names, instruments and complications are common
// practice, no source, save where a data field cites one. SICS-155 and Cataract-101
// class names are cited in datasets.yaml. Word stems are those of Porter's Snowball
// English stemmer, the edit distance is Levenshtein 1966.
package taxonomy
