// Package source holds a piece of text a user wrote, the positions in it, and
// what there is to say about it.
//
// A [Source] is decoded text with its line starts; a [Pos] is a byte offset in
// one Source and prints as file:line:column. A [Finding] says something about
// the user's material: where it stands, how serious it is, which rule spoke and
// what the source of the rule is. Trouble that is ours, such as a disk that
// cannot be read, is a Go error and never a Finding.
//
// The package refuses to guess an encoding: text is UTF-8, or UTF-16 with a byte
// order mark, or it is one Finding and no text.
//
//	quantity  unit
//	Offset    bytes into the decoded text, from 0
//	Line      lines from 1; LF, CRLF and a lone CR each end one
//	Column    Unicode code points from 1
//	Span      time.Duration, half-open [From, To)
//
// Read [Decode] and [Sort] first. The package imports nothing of ours.
package source
