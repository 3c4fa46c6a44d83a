// Package media reads what a video file says about itself: how long it is, when
// it was made, its tracks, tags and chapters. It reads MP4 and MOV boxes and
// Matroska and WebM elements from their headers and seeks over the picture and
// sound, so that a recording of many gigabytes costs a few kilobytes of reading.
//
// It decodes no picture and no sound and reads no sample of a track (chapters of an
// MP4 kept as a text track are therefore not seen, those of a chpl box are) but the
// one number of a timecode track. It runs no program and repairs nothing. A damaged
// or hostile file gives what was read up to the damage, bounded in time and memory,
// and an error.
//
//	quantity       unit
//	Duration       time.Duration, rounded half up to the nanosecond; 0 is unknown
//	Exact          a fraction of a second in the file's own units
//	Track.Starts   time.Duration from the start of the file to its first sample
//	Created        RFC 3339, as UTC unless the file states an offset; what it names,
//	               the start, the end or an export, no file says
//	Start.Frame    frame number from 00:00:00:00
//	Track.Rate     frames a second as an exact fraction; zero is unknown
//	Chapter times  time.Duration from the start of the video
//
// [Join] puts the files of one recording in order and says where each begins. It
// takes their facts and reads nothing.
//
// Read [Read] and [Join] first.
//
// Sources: ISO/IEC 14496-12 for boxes, mvhd, mdhd, hdlr, elst, stts and ctts; the
// QuickTime File Format text for udta, keys, tmcd and the epoch of 1904;
// libavformat/mov.c of FFmpeg for the chpl box and the list of tags, which have no
// open standard; RFC 8794 for EBML and RFC 9559 for Matroska, with its epoch of 2001.
package media
