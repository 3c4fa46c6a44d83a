// Package page writes the teaching page of a case: one HTML file that holds
// everything but the video and works by double click.
//
// Captions stand inside the page, because a browser does not load a track file
// beside a page opened from disk. The style and the script are inline and named by
// their SHA-256 in a Content Security Policy that forbids everything else; the
// page fetches nothing but its video. Without the script the page is complete save
// for captions on the picture and the list that follows the video; without a video
// it is text, tables and drawings.
//
// The package refuses to show what is not for readers: clock times of the day,
// dates, private words, paths, and authors unless the consent is public. Notes are
// Markdown in safe mode: raw HTML is dropped, pictures become their text, links go
// only to http, https, mailto and the page itself. It judges nothing; results,
// ranges and sources are the Case's.
//
//	quantity        unit
//	recording time  shown as m:ss from recording zero, whole seconds cut
//	video time      shown likewise; in links and data seconds to the millisecond
//
// Read [Write] and [Options] first; buildView and page.html.tmpl show how a Case
// becomes a page.
//
// Sources: schema.org 30.0 for the data block; WCAG 2.2 level AA for form and
// behaviour; Content Security Policy Level 3 section 3.3 for policies in a meta
// element, which have to stand before the first script or style; HTML Standard,
// text track API, for captions added by script.
package page
