// Package words holds the interface text of everything that is written for
// people: one YAML file a language, and the caution.
//
// Labels of steps and terms of the trade are not here; they belong to the
// vocabulary. Text of the user's own is never here. The package refuses a key
// that English does not have: that is a misprint in our code and panics.
//
//	thing       form
//	language    BCP 47 tag; en-GB falls back to en, and an unknown tag to en
//	key         group.name, such as result.within
//	file        <tag>.yaml: language, reviewed, words by group
//
// A language file may be incomplete: a missing word is the English one, and
// [Words.Missing] lists such words. A file that no speaker of the trade has
// reviewed says reviewed: false, and [Words.Reviewed] passes it on.
//
// The texts of results, evidence and table heads are the project's fixed wording.
// Read [Get] and [Words.T] first.
package words
