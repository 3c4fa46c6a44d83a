// Package rule is the frame that rules stand in: what a rule is, what it is given,
// and how a waiver turns a finding into a listed exception.
//
// A [Rule] is a struct value with a name, a text and a function; the list of them
// is an explicit slice in annotate/rules, held against [Validate] by a test. A rule
// reads the resolved case and reports; it does no I/O, prints nothing and never
// fails: a rule that cannot speak of a case is silent.
//
// The package refuses to hide: [Waive] marks findings and drops none, an error is
// never set aside, nor is a private word, and another privacy stop only place by place.
//
//	quantity            unit
//	Rule.Severity       the heaviest a finding of the rule can be
//	Finding.Nth         occurrence of a step, from 1
//
// Read [Rule] and [Waive] first.
package rule
