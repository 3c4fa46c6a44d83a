// Package chapter writes the chapters of a video in the forms that players,
// muxers and video sites read, and the text to paste under a video.
//
// A writer takes a [List] and gives the same bytes for the same list. Before
// writing, every form sees the same arranged list: sorted, ends known, children
// inside their parents, siblings apart, titles on one line, times rounded half up
// to the millisecond, so that all forms name the same moments. A chapter that
// starts at the end of the video or after it is left out rather than moved; the
// package refuses one that starts before zero.
//
//	form             file             unit of time               nesting
//	WebVTT           chapters.vtt     ms                         kept
//	list of lines    chapters.txt     whole seconds, cut         flat
//	Matroska XML     chapters.xml     ns, in whole ms            kept
//	JSON             chapters.json    seconds, three decimals    flat
//	ffmetadata       chapters.ffmeta  ms                         flat
//	text to paste    description.txt  whole seconds, cut         flat
//
// Sources: W3C WebVTT, chapter title text; the chapters DTD of mkvtoolnix and the
// IETF CELLAR Matroska text (RFC 9559); podcast-namespace JSON chapters 1.2.0
// (2021-04-15); the ffmpeg manual, Metadata; for the list of lines common
// practice, no source.
//
// Read [All] and [WriteWebVTT] first.
package chapter
