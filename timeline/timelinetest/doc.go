// Package timelinetest holds what tests of several packages share: finding the
// outside programs, modules and data that a check is made against, and running them.
//
// A check against something outside the project is only worth having where it
// runs. On a desk it is skipped, and the skip names the package to install; where
// the environment has CI=true the same absence is a failure, so that no check
// goes missing unseen. Open data alone is a choice, since no package brings it:
// without its variable the test is skipped everywhere, with it a file that is not
// there is missing like anything else. The package refuses to install or download
// anything.
//
//	variable            meaning
//	CI                  "true": what is missing fails the test
//	SIDEPORT_NPM        a node_modules folder; default .ci/node_modules beside go.mod
//	SIDEPORT_OPEN_DATA  the folder of open data, outside the repository; unset: skip
//
// Read [NeedTool] and [OpenData] first.
package timelinetest
