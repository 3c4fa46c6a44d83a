package format_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"
)

// What is lost of a file is said once, without its values, which may name somebody.
func TestFFMetadataKeysThatAreNotRead(t *testing.T) {
	const chapter = "[CHAPTER]\nTIMEBASE=1/1\nSTART=0\nEND=30\ntitle=Port\n"
	for text, want := range map[string][]string{
		"title=T\nencoder=Lavf61\n" + chapter:                         nil,
		"title=T\nartist=T3\n" + chapter:                              {"3:1: note read/unread-key"},
		"title=T\n[STREAM]\ntitle=main\nlanguage=eng\n" + chapter:     {"4:1: note read/unread-key"},
		"title=T\n" + chapter + "comment=x\n":                         {"8:1: note read/unread-key"},
		"artist=T3\n[STREAM]\nlanguage=eng\n" + chapter + "comment=x": {"2:1: note read/unread-key"},
	} {
		_, findings := readChapters(t, "ffmetadata", "a.ffmeta", []byte(";FFMETADATA1\n"+text))
		if diff := cmp.Diff(want, mapped(findings, brief)); diff != "" {
			t.Errorf("%q (-want +got):\n%s", text, diff)
		}
	}
}
