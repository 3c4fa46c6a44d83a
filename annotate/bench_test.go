package annotate_test

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"sideport/annotate"
	"sideport/annotate/ranges"
	"sideport/timeline/timecode"
)

// made is a case of n stamps and n chapters: the steps of an operation over and
// over, 20 to 60 s apart on the recording, of which the video lacks up to a third
// between any two. The numbers are the same at every run.
func made(n int) map[string]string {
	names := []string{"peritomy", "scleral groove", "tunnel", "side port", "trypan blue", "keratome entry", "rhexis",
		"hydrodissection", "nucleus prolapse", "nucleus out", "cortex", "IOL in", "visco wash", "leak test"}
	random := rand.New(rand.NewPCG(1, uint64(n)))
	var list, chapters strings.Builder
	recording, video := 0, 0
	clock := func(s int) string { return fmt.Sprintf("%d:%02d:%02d", s/3600, s/60%60, s%60) }
	chapters.WriteString("WEBVTT\n")
	for i := range n {
		name := names[i%len(names)]
		fmt.Fprintf(&list, "%s %s\n", clock(recording), name)
		gap := 20 + random.IntN(41)
		kept := gap - random.IntN(2)*random.IntN(gap/3)
		fmt.Fprintf(&chapters, "\n0%s.000 --> 0%s.000\n%s\n", clock(video), clock(video+kept), name)
		recording, video = recording+gap, video+kept
	}
	return map[string]string{
		"case.yaml":     head + "recording: {clock: elapsed}\nvideo: {duration: \"" + clock(video) + "\"}\nsteps: [{step: capsulotomy, variant: ccc, values: {rhexis-diameter: 6 mm}}]\n",
		"recording.txt": list.String(), "chapters.vtt": chapters.String(),
	}
}

func BenchmarkResolve(b *testing.B) {
	for _, n := range []int{16, 64, 256} {
		b.Run(fmt.Sprintf("n=%d", n), func(b *testing.B) {
			m := load(b, made(n))
			table := ranges.Builtin()
			b.ReportAllocs()
			for b.Loop() {
				c, ok := annotate.Resolve(m, table)
				if !ok || len(c.Steps) != n || len(c.Pairs) < n*3/4 {
					b.Fatalf("%d steps and %d pairs of %d stamps", len(c.Steps), len(c.Pairs), n)
				}
			}
		})
	}
}

// BenchmarkHoldAgainst holds a list against itself.
func BenchmarkHoldAgainst(b *testing.B) {
	for _, n := range []int{16, 64, 256, 1024} {
		b.Run(fmt.Sprintf("n=%d", n), func(b *testing.B) {
			files := made(n)
			delete(files, "chapters.vtt")
			c := resolve(b, files)
			name := filepath.Join(b.TempDir(), "second.txt")
			if err := os.WriteFile(name, []byte(files["recording.txt"]), 0o644); err != nil {
				b.Fatal(err)
			}
			b.ReportAllocs()
			for b.Loop() {
				a, err := c.HoldAgainst(name, timecode.Elapsed)
				if err != nil || a.Paired != n || *a.Offset != 0 {
					b.Fatalf("%d of %d steps paired, error %v", a.Paired, n, err)
				}
			}
		})
	}
}
