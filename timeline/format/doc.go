// Package format reads the files of a case that carry times: lists of stamps,
// chapter files and timed text, one file a format. FORMATS.md lists them; it is
// written from [All] and a test keeps it current.
//
// A reader takes a source.Source and gives stamps, chapters, cues or an edit with
// their positions. What it cannot read it reports at line and column, and it goes on
// at the next line, row or block; it never returns a Go error and never stops
// at the first fault. It decides nothing about surgery, joins no files, sorts
// nothing and corrects no time: what is written is what comes out.
//
//	quantity              unit
//	cue and chapter times time.Duration from the clock's own zero, never negative
//	positions             bytes into the decoded text; printed as line and column
//	edits                 source time on the source's own clock, record time from the first frame of the video
//	cue text              as the format carries it, markup included, LF line ends
//	line, position, size  of cue settings: lines or percent, see [CueSettings]
//
// Read [For] and [Reader] first.
//
// # What the cue readers report
//
//	rule                severity         when
//	read/no-signature   error            a WebVTT file that does not begin with WEBVTT; nothing is read
//	read/no-cues        error            a SubRip file without a line of times
//	read/bad-time       error            a cue whose times cannot be read; it is left out
//	read/rate-missing   error            SubRip times that count frames; the cue is left out
//	read/cue-order      error, caution   an end not after its start (SubRip: left out, WebVTT: kept); a start before an earlier one
//	read/bad-block      caution, note    text that belongs to no cue
//	read/bad-setting    note             a cue setting that the rules skip or a later one replaces
//	read/duplicate-id   note             a WebVTT identifier used before
//	read/whole-seconds  note             a SubRip time without decimals
//	read/blank-line     note             an empty line inside SubRip text, kept as text
//	read/odd-counter    note             a SubRip counter that is no number
//	read/chapter-cross  caution          a chapter that ends after the chapter it begins in
//	read/no-title       note             a chapter without a title
//	read/title-markup   note             a WebVTT chapter title with tags, which are left out
//	read/wrong-extension note            content of one format under another's extension
//
// # What the readers of stamps report
//
//	rule                 severity        when
//	read/no-time         error           a line or cell without a time that can be read; it is left out
//	read/heading         note            a first line that holds no time at all
//	read/sign            caution         times right behind a minus sign, which is read as a dash
//	read/no-column       error           a CSV header without a text column
//	read/extra-column    caution, note   columns that no header names and that are not read; times in several columns
//	read/column-unit     caution         ends in a unit that cannot be told from that of the times; they are not read
//	read/rate            error, caution  a CSV rate, of a row or a remark, that timecode does not have, or a second one
//	time/no-rate         error           CSV times in frames without a rate; they are left out
//	read/bad-quote       error           a CSV quote that is never closed, or text behind a closing one
//
// Their messages quote no text of a list, since a line without a time may hold a
// name.
//
// # What the readers of chapters report
//
//	rule                 severity        when
//	read/bad-time        error           a chapter whose start cannot be read; it is left out
//	read/chapter-end     error, note     an end that cannot be read or lies before the start; no end (ffmetadata)
//	read/chapter-order   caution         a chapter that starts before or with the one written ahead of it
//	read/chapter-cross   caution         a chapter outside the one it lies in, or over the next
//	read/no-title        note            a chapter without a title
//	read/no-chapters     error           a file that states no chapter, in any form but WebVTT, SubRip, ffmetadata and CSV
//	read/no-signature    error           an ffmetadata, XML or JSON file that does not begin as one; nothing is read
//	read/syntax          error           XML or JSON that is not well-formed; it is read up to the fault
//	read/bad-line        caution         a line that is no section and no pair (ffmetadata), no time and no title (simple)
//	read/chapter-list    note            a description unlike what is commonly asked of such lists; a time behind a title
//	read/sign            caution         times of a description right behind a minus sign, which is read as a dash
//	read/unread-key      note            keys of ffmetadata beside titles and times, which no other file takes over
//	read/key-order       note            keys of an ffmetadata chapter that ffmpeg does not find where they stand
//	read/whole-seconds   note            the time of a simple chapter without decimals
//	read/duplicate-key   caution         the number of a simple chapter used before, both are read; a JSON member, the first is
//	read/edition         note            which of several Matroska lists is read, and what is unusual about it
//	read/other-file      caution         a Matroska chapter of another file, read with its times
//	read/more-titles     note            Matroska titles in further languages, not read
//	read/hidden-chapter  note            a hidden chapter, left out; one switched off or a silent marker, read
//	read/missing-key     error, caution  a JSON file without chapters; without a version
//	read/version         caution         a version of JSON chapters other than 1; read all the same
//	read/wrong-type      error, caution  a JSON value of another kind than the format has; the entry or title is left out
//	read/no-column       error           a CSV header without a column of starts, nothing is read; without one of titles
//	read/column-unit     error, caution  CSV starts, or ends, as dates with times; they are not read
//	read/extra-column    note            times in several columns of CSV
//	read/rate            error, caution  a CSV rate, of a row or a remark, that timecode does not have, or a second one
//	read/rate-missing    error           a CSV cell that counts frames without a rate
//	read/value           caution         a level of a CSV chapter that is none or too deep
//
// # What the readers of edit lists report
//
//	rule                 severity        when
//	time/no-rate         error           a list that counts frames, and no rate is known; nothing is read
//	read/bad-event       error           a line that begins like an event and is none; it is left out
//	read/bad-time        error           a timecode, range or speed that cannot be; its event is left out, and on a
//	                                     track of OpenTimelineIO what follows a length that is not known
//	read/edit-span       error, caution  an event that ends where it begins, or before, and is left out; a first place
//	                                     that cannot be read
//	read/edit-overlap    error           two events at one moment of the video; the one that began first has it
//	read/edit-speed      error, caution  a speed that cannot be read, is not given, or is not that of the timecodes
//	read/drop-frame      caution         drop-frame counting at a rate that has none
//	read/no-events       error           nothing that could be an edit
//	read/edit-tracks     note            sound, upper tracks and keyed pictures, which do not count
//	read/edit-still      note            black, frozen and reversed pictures, which carry no time of a source
//	read/unknown-schema  note            objects of OpenTimelineIO that are passed over
//	read/syntax          error           text that is not JSON; nothing is read
//	read/duplicate-key   caution         a JSON member that its object has twice; the first is read
//	read/too-large       error           JSON nested deeper or holding more than is read
//
// Their messages quote no timecode of a source, which may be the time of day, and no
// name of a clip.
//
// # Sources
//
// WebVTT: W3C, "WebVTT: The Web Video Text Tracks Format", editor's draft of
// 2026-05-14 (github w3c/webvtt 92a85cc), the parsing sections; character
// references by the HTML standard. SubRip has no standard: the nearest text is
// the IETF CELLAR codec draft, "SRT Subtitles" (github
// ietf-wg-cellar/matroska-specification 6d707bb); what is accepted beyond it is
// common practice, no source. CSV: RFC 4180 for quoting. ffmetadata: FFmpeg's
// documentation of metadata. Matroska and simple chapters: the DTD and manual
// of mkvtoolnix, and the IETF CELLAR Matroska text. JSON: RFC 8259 and the
// podcast-namespace JSON chapters 1.2.0 (2021-04-15). Edit lists: the form of CMX3600
// as OpenTimelineIO's adapter reads it (github OpenTimelineIO/otio-cmx3600-adapter
// 4b02a66), timecode by SMPTE ST 12-1; OpenTimelineIO's draft file format (github
// AcademySoftwareFoundation/OpenTimelineIO bc5fe2d). Lists of stamps and chapters in
// plain text have no standard: common practice, no source.
package format
