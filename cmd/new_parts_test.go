package cmd_test

import (
	"bytes"
	"encoding/binary"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"sideport/cmd"
)

// movie is an MP4 file of a header alone (ISO/IEC 14496-12): ten minutes, made at so
// many seconds since 1970.
func movie(made uint32) string {
	be32 := func(v uint32) []byte { return binary.BigEndian.AppendUint32(nil, v) }
	mvhd := slices.Concat(be32(28), []byte("mvhd"), be32(0), be32(made+2082844800), be32(0), be32(1000), be32(600_000))
	return string(slices.Concat(be32(16), []byte("ftypisom"), be32(0), be32(36), []byte("moov"), mvhd))
}

// What new proposes for a recording in parts is in remarks; without its marks it is
// a case that reads, with each list at its place.
func TestNewProposesARecordingInParts(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "case")
	if err := os.MkdirAll(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	const nineTwelve = 1772356320 // 2026-03-01T09:12:00Z, by date -d
	for name, text := range map[string]string{
		"REC 7.mp4": movie(nineTwelve + 600), "REC 7.txt": "0:05 rhexis\n", "REC 12.mp4": movie(nineTwelve), "REC 12.txt": "0:10 groove\n",
	} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	run := func(args ...string) string {
		var out, errs bytes.Buffer
		if code := cmd.Main(args, strings.NewReader(""), &out, &errs); code != 0 {
			t.Fatalf("sideport %q = %d\n%s%s", args, code, out.String(), errs.String())
		}
		return out.String()
	}
	if said := run("new", dir); !strings.Contains(said, "REC 12.mp4, REC 7.mp4") || strings.Contains(said, "Several files") {
		t.Errorf("new says:\n%s\nwant the parts in the order they were made", said)
	}
	file := filepath.Join(dir, "case.yaml")
	raw, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(string(raw), `starts: "09:12:00" inside the braces`) || strings.Contains(string(raw), "2026") {
		t.Errorf("case.yaml is\n%s\nwant the moment the first part was made, and no date", raw)
	}
	marks := regexp.MustCompile(`(?m)^# (recording:|  files:|    - )`)
	if n := len(marks.FindAll(raw, -1)); n != 4 {
		t.Fatalf("case.yaml has %d proposed lines, want 4:\n%s", n, raw)
	}
	if err := os.WriteFile(file, marks.ReplaceAll(raw, []byte("$1")), 0o644); err != nil {
		t.Fatal(err)
	}
	got := run("align", dir)
	for _, want := range []string{"0:10.0       -            scleral-groove", "10:05.0      -            capsulotomy"} {
		if !strings.Contains(got, want) {
			t.Errorf("align prints\n%s\nwant %q in it", got, want)
		}
	}
	if strings.Contains(got, "09:1") || strings.Contains(got, "2026") {
		t.Errorf("align prints a wall time or a date:\n%s", got)
	}
}
