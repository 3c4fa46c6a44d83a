package cmd_test

import (
	"context"
	"encoding/json"
	"fmt"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"sideport/timeline/timelinetest"

	"github.com/chromedp/chromedp"
)

// built is the output folder of the demos, made by the program itself.
func built(t *testing.T) string {
	t.Helper()
	out := t.TempDir()
	cases := filepath.Join("..", "testdata", "cases")
	build(t, filepath.Join(cases, "msics-chevron"), filepath.Join(cases, "phaco-chapters"), filepath.Join(cases, "facts-only"), "-o", out)
	return out
}

func glob(t *testing.T, patterns ...string) []string {
	t.Helper()
	var out []string
	for _, p := range patterns {
		found, err := filepath.Glob(p)
		if err != nil || len(found) == 0 {
			t.Fatalf("no file %s: %v", p, err)
		}
		out = append(out, found...)
	}
	return out
}

// Every .vtt of the demos is accepted by webvtt-parser 2.2 (npm, CC0), a parser and
// validator after the W3C text, as the kind it is for.
func TestEveryTrackIsValidWebVTT(t *testing.T) {
	parser := timelinetest.NeedNPM(t, "webvtt-parser")
	out := built(t)
	for _, file := range glob(t, filepath.Join(out, "*", "*.vtt")) {
		kind := "captions"
		if strings.HasPrefix(filepath.Base(file), "chapters") {
			kind = "chapters"
		}
		script := `const {WebVTTParser} = require(process.argv[1]); const fs = require('fs');
			const r = new WebVTTParser().parse(fs.readFileSync(process.argv[2], 'utf8'), process.argv[3]);
			console.log(JSON.stringify({cues: r.cues.length, errors: r.errors}))`
		raw, err := exec.Command("node", "-e", script, parser, file, kind).Output()
		if err != nil {
			t.Fatalf("webvtt-parser: %v", err)
		}
		var got struct {
			Cues   int
			Errors []map[string]any
		}
		if err := json.Unmarshal(raw, &got); err != nil {
			t.Fatalf("%s: %v", raw, err)
		}
		if got.Cues == 0 || len(got.Errors) > 0 {
			t.Errorf("%s: %d cues, errors %v", filepath.Base(file), got.Cues, got.Errors)
		}
	}
}

// ffprobe (FFmpeg) reads the demos' ffmetadata and SubRip at the times that
// chapters.json and the WebVTT track state.
func TestFFprobeReadsChaptersAndSubRip(t *testing.T) {
	ffprobe := timelinetest.NeedTool(t, "ffprobe", "ffmpeg")
	out := built(t)
	for _, name := range []string{"msics-chevron", "phaco-chapters"} {
		dir := filepath.Join(out, name)
		raw, err := exec.Command(ffprobe, "-v", "error", "-of", "json", "-show_chapters", "-f", "ffmetadata", filepath.Join(dir, "chapters.ffmeta")).Output()
		if err != nil {
			t.Fatalf("ffprobe: %v", err)
		}
		var probe struct {
			Chapters []struct {
				Start int64 `json:"start"`
				Tags  map[string]string
			}
		}
		if err := json.Unmarshal(raw, &probe); err != nil {
			t.Fatal(err)
		}
		var ours struct {
			Chapters []struct {
				StartTime float64
				Title     string
			}
		}
		text, err := os.ReadFile(filepath.Join(dir, "chapters.json"))
		if err != nil {
			t.Fatal(err)
		}
		if err := json.Unmarshal(text, &ours); err != nil {
			t.Fatal(err)
		}
		if len(probe.Chapters) != len(ours.Chapters) || len(ours.Chapters) == 0 {
			t.Fatalf("%s: ffprobe reads %d chapters, chapters.json has %d", name, len(probe.Chapters), len(ours.Chapters))
		}
		for i, c := range probe.Chapters {
			if want := int64(ours.Chapters[i].StartTime*1000 + 0.5); c.Start != want || c.Tags["title"] != ours.Chapters[i].Title {
				t.Errorf("%s: chapter %d = %d ms %q, want %d ms %q", name, i, c.Start, c.Tags["title"], want, ours.Chapters[i].Title)
			}
		}
		raw, err = exec.Command(ffprobe, "-v", "error", "-of", "csv=p=0", "-show_entries", "packet=pts_time", "-f", "srt", filepath.Join(dir, "steps.en.srt")).Output()
		if err != nil {
			t.Fatalf("ffprobe: %v", err)
		}
		vtt, err := os.ReadFile(filepath.Join(dir, "steps.en.vtt"))
		if err != nil {
			t.Fatal(err)
		}
		if got, want := len(strings.Fields(string(raw))), strings.Count(string(vtt), " --> "); got != want {
			t.Errorf("%s: ffprobe reads %d SubRip cues, the WebVTT track has %d", name, got, want)
		}
	}
}

// mkvtoolnix's DTD accepts the demos' chapter XML, as xmllint (libxml2) reads it.
func TestChapterXMLKeepsTheDTD(t *testing.T) {
	xmllint := timelinetest.NeedTool(t, "xmllint", "libxml2-utils")
	timelinetest.NeedTool(t, "mkvmerge", "mkvtoolnix")
	dtd := filepath.Join(t.TempDir(), "chapters.dtd")
	script := fmt.Sprintf("f=$(dpkg -L mkvtoolnix | grep 'matroskachapters.dtd' | head -1); case $f in *.gz) zcat $f;; *) cat $f;; esac > %s; test -s %s", dtd, dtd)
	if out, err := exec.Command("sh", "-c", script).CombinedOutput(); err != nil {
		t.Fatalf("the DTD of the package mkvtoolnix: %v %s", err, out)
	}
	for _, file := range glob(t, filepath.Join(built(t), "*", "chapters.xml")) {
		if out, err := exec.Command(xmllint, "--nonet", "--noout", "--dtdvalid", dtd, file).CombinedOutput(); err != nil {
			t.Errorf("%s: %v\n%s", file, err, out)
		}
	}
}

// html-validate 10 finds no error on any demo page or on the report.
func TestPagesOfTheDemosAreValidHTML(t *testing.T) {
	checker := timelinetest.NeedNPM(t, "html-validate")
	args := []string{filepath.Join(checker, "bin", "html-validate.mjs"), "--formatter", "text"}
	c := exec.Command("node", append(args, glob(t, filepath.Join(built(t), "*", "index.html"))...)...)
	c.Dir = checker
	if out, err := c.CombinedOutput(); err != nil {
		t.Errorf("html-validate: %v\n%s", err, out)
	}
}

// opened is a built page in Chromium, opened from disk.
func opened(t *testing.T, file string) context.Context {
	t.Helper()
	chromium := timelinetest.NeedTool(t, "chromium", "chromium")
	ctx, cancel := chromedp.NewContext(t.Context(), chromedp.WithAllocatorOptions(
		chromedp.ExecPath(chromium), chromedp.NoSandbox, chromedp.Headless, chromedp.DisableGPU, chromedp.NoFirstRun,
		chromedp.Flag("disable-background-networking", true), chromedp.Flag("disable-component-update", true),
		chromedp.Flag("disable-sync", true), chromedp.Flag("autoplay-policy", "no-user-gesture-required"),
	))
	t.Cleanup(cancel)
	ctx, stop := context.WithTimeout(ctx, 90*time.Second)
	t.Cleanup(stop)
	if err := chromedp.Do(ctx, chromedp.Navigate((&url.URL{Scheme: "file", Path: file}).String())); err != nil {
		t.Fatalf("opening %s: %v", file, err)
	}
	return ctx
}

func eval[T any](t *testing.T, ctx context.Context, expression string) T {
	t.Helper()
	v, err := chromedp.Run(ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	if err != nil {
		t.Fatalf("in the page, %.80s: %v", expression, err)
	}
	return v
}

func until(t *testing.T, ctx context.Context, what, expression string) {
	t.Helper()
	for range 200 {
		if eval[bool](t, ctx, expression) {
			return
		}
		time.Sleep(50 * time.Millisecond)
	}
	t.Fatalf("waited in vain: %s", what)
}

// Chromium opens the demo's page from disk and plays its video; at a moment of the
// video it shows the cue that the WebVTT file states, and the list of steps follows.
func TestDemoPlaysInChromium(t *testing.T) {
	out := built(t)
	ctx := opened(t, filepath.Join(out, "msics-chevron", "index.html"))
	until(t, ctx, "the video's length", `document.querySelector('video').readyState >= 1`)
	if got := eval[float64](t, ctx, `document.querySelector('video').duration`); got < 275.5 || got > 276.5 {
		t.Errorf("length of the video = %v s, want 276", got)
	}
	for _, tt := range []struct {
		second     float64
		step, says string
	}{
		{97, "Anterior capsulotomy", "The rhexis"},
		{206, "IOL implantation", ""},
		{3, "", "Manual small incision surgery"},
	} {
		eval[bool](t, ctx, fmt.Sprintf(`(document.querySelector('video').currentTime = %v, true)`, tt.second))
		until(t, ctx, "the seek", `!document.querySelector('video').seeking`)
		until(t, ctx, "the cues of "+fmt.Sprint(tt.second), fmt.Sprintf(`(() => { const all = [...document.querySelector('video').textTracks].flatMap(t => [...(t.activeCues || [])]).map(c => c.text).join(' | ');
			return all.includes(%q); })()`, tt.step))
		until(t, ctx, "the list at "+fmt.Sprint(tt.second), fmt.Sprintf(`[...document.querySelectorAll('[aria-current=step]')].map(a => a.textContent.trim()).join() === %q`, tt.step))
	}
	eval[bool](t, ctx, `(document.querySelector('video').currentTime = 100, document.querySelector('video').play(), true)`)
	until(t, ctx, "the video runs", `document.querySelector('video').currentTime > 100.3`)
	until(t, ctx, "the spoken words of the moment", `[...document.querySelector('video').textTracks].flatMap(t => [...(t.activeCues || [])]).map(c => c.text).join(' ').includes('rhexis')`)
}

// axe-core 4.14 finds no violation on the built demos, with everything unfolded.
func TestDemosAreAccessible(t *testing.T) {
	axe, err := os.ReadFile(filepath.Join(timelinetest.NeedNPM(t, "axe-core"), "axe.min.js"))
	if err != nil {
		t.Fatal(err)
	}
	out := built(t)
	for _, name := range []string{"msics-chevron", "phaco-chapters", "facts-only"} {
		ctx := opened(t, filepath.Join(out, name, "index.html"))
		eval[bool](t, ctx, string(axe)+`;document.querySelectorAll('details').forEach(d => d.open = true); true`)
		got := eval[string](t, ctx, `axe.run(document, {resultTypes: ['violations']}).then(r => r.violations.map(v => v.id + ': ' + v.nodes.map(n => n.html.slice(0, 150)).join('; ')).join('\n'))`)
		if got != "" {
			t.Errorf("%s:\n%s", name, got)
		}
	}
}
