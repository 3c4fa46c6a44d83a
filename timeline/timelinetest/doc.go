// Package timelinetest holds what tests of several packages share: finding the
// outside programs, modules and data that a check is made against.
//
// A check against something outside the project is only worth having where it
// runs. On a desk it is skipped, and the skip names the package to install; where
// the environment has CI=true the same absence is a failure, so that no check
// goes missing unseen. The package refuses to install or download anything.
//
//	variable            meaning
//	CI                  "true": what is missing fails the test
//	SIDEPORT_NPM        a node_modules folder; default .ci/node_modules beside go.mod
//	SIDEPORT_OPEN_DATA  the folder of open data, which lies outside the repository
//
// Read [NeedTool] and [OpenData] first.
package timelinetest
