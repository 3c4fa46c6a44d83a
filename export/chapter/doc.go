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
//	form             file              unit of time               nesting  ids   ends
//	WebVTT           chapters.vtt      ms                         kept     kept  kept
//	list of lines    chapters.txt      whole seconds, cut         flat     none  none
//	Matroska XML     chapters.xml      ns, in whole ms            kept     none  kept
//	JSON             chapters.json     seconds, three decimals    flat     none  kept
//	ffmetadata       chapters.ffmeta   ms                         flat     none  kept
//	simple           chapters.ogm.txt  ms                         flat     none  none
//	table            chapters.csv      seconds, three decimals    kept     kept  kept
//	text to paste    description.txt   whole seconds, cut         flat     none  none
//
// A case gets all of them but the simple form and the table, which chapters are turned
// into on request.
//
// In a flat form a parent ends where its first child starts, and one that starts
// with its first child lends it its title. The list of lines joins what lies nearer
// than 10 s, and it and ffmetadata put an entry in front where the first chapter does
// not start the video. The DTD of the Matroska form has no element for an id. Only
// JSON keeps the members of other JSON.
//
// Sources: W3C WebVTT, chapter title text; the chapters DTD of mkvtoolnix and the
// IETF CELLAR Matroska text (RFC 9559); podcast-namespace JSON chapters 1.2.0
// (2021-04-15); the ffmpeg manual, Metadata; the mkvmerge manual,
// the simple chapter format; RFC 4180; for the list of lines common
// practice, no source.
//
// Read [All] and [WriteWebVTT] first.
package chapter
