// Package yamldoc reads YAML into Go types and says where every fault stands.
//
// It is the only package that imports the YAML library. [Decode] walks the parsed
// nodes itself rather than letting the library build values, so that one file can
// report all its faults, each with line and column, so that 00:02:10 and 2026-03-01
// stay the text that was written, and so that a [Text] keeps its place for whoever
// judges it later. Anchors and aliases are refused: a case file has no need of
// them and they let a small file grow without bound.
//
//	Go type                     YAML
//	struct, `yaml:"name"` tags  mapping; an unknown key is read/unknown-key
//	map[string]T                mapping with free keys
//	[]T                         sequence; a lone value is a sequence of one
//	Text                        scalar, kept as written with its place
//	string, bool, int           scalar
//	Unmarshaler                 whatever it accepts
//
// Read [Decode] and [Node.Decode] first.
package yamldoc
