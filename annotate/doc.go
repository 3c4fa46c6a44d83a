// Package annotate turns a case folder into a Case: steps named in one
// vocabulary, placed on both clocks, with the values recorded at them judged
// against cited ranges.
//
// [Load] reads a folder, [Resolve] aligns and judges. What is wrong with the
// user's material is a finding in the Case; a Go error means the folder could not
// be read at all. The package writes nothing and never changes the folder.
//
//	quantity        unit
//	recording time  time.Duration from recording zero
//	video time      time.Duration from the first frame of the edited video
//	confidence      0 to 1
//	values          as written, converted exactly when judged
//
// Read [Load] and [Resolve] first. The case file's keys are the types of
// file.go, from which case.schema.json is generated.
package annotate
