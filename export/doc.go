// Package export turns a resolved case into what people watch, read and hand
// round: subtitle tracks, chapter files, the teaching page, reports and JSON.
//
// Everything here is pure: an exporter writes to the io.Writer it is given, asks
// no clock and gives the same bytes for the same case. Whether a file may be
// written at all, and where, is decided by the caller. Clinical knowledge is not
// here; it comes with the case.
//
//	quantity       unit
//	from_s, to_s   seconds to the millisecond, on the clock the key names
//
// Read [New] and [All] first. Formats are in caption and chapter, the page in
// page, drawings in figure, findings in report, interface text in words.
package export
