// Package rules holds the rules, one file each, and [All], the list of them.
//
// A rule looks at a resolved case and reports; it reads no file and prints
// nothing. Clinical numbers are not here: ranges come from annotate/ranges and
// orders and windows from annotate/taxonomy, each with its source. What readers
// and the resolver report themselves is described in [Reported], so that RULES.md
// lists every finding there can be.
//
//	severity  meaning
//	error     the material cannot be read here
//	stop      look again first
//	caution   look again
//	note      for information
//
// Read [All] and [Check] first.
package rules
