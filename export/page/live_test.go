package page_test

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"

	"sideport/annotate"
	"sideport/annotate/ranges"
	"sideport/export/page"
	"sideport/timeline/timelinetest"
)

// makeVideo encodes a small video of 62 s, one frame a second.
func makeVideo(t testing.TB) string {
	t.Helper()
	ffmpeg := timelinetest.NeedTool(t, "ffmpeg", "ffmpeg")
	file := filepath.Join(t.TempDir(), "video.webm")
	cmd := exec.Command(ffmpeg, "-v", "error", "-f", "lavfi", "-i", "testsrc2=s=160x90:r=5:d=62", "-c:v", "libvpx", "-b:v", "40k", "-g", "10", file)
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("encoding the test video: %v\n%s", err, out)
	}
	return file
}

const loaded = `document.querySelector('video').readyState >= 1`

func TestOpenedByDoubleClickThePageShowsCaptionsOfTheMoment(t *testing.T) {
	b := open(t, write(t, exampleCase(t), exampleOptions()), makeVideo(t))
	b.until("the video's length", loaded)
	if got := eval[float64](b, `document.querySelector('video').duration`); got < 61 || got > 63 {
		t.Errorf("length of the video = %v s, want 62", got)
	}
	active := func(second float64) string {
		eval[bool](b, fmt.Sprintf(`(document.querySelector('video').currentTime = %v, true)`, second))
		b.until("the seek", `!document.querySelector('video').seeking`)
		b.until("the cues of the moment", fmt.Sprintf(`[...document.querySelector('video').textTracks].every(t => [...(t.cues || [])].every(c =>
			(c.startTime <= %v && %v < c.endTime) === [...(t.activeCues || [])].includes(c)))`, second, second))
		return eval[string](b, `[...document.querySelector('video').textTracks].map(t => t.mode + ' ' + t.kind + ': ' +
			[...(t.activeCues || [])].map(c => c.line + ' ' + c.getCueAsHTML().textContent).join('/')).join(' | ')`)
	}
	tests := []struct {
		second float64
		want   string
	}{
		{1, "showing subtitles:  | showing captions: "},
		{4, "showing subtitles: 0 Scleral groove, frown\n6.5 mm | showing captions: auto We begin with the groove,\nsix and a half millimetres wide."},
		{33, "showing subtitles: 0 Capsulotomy, can-opener | showing captions: auto Small bites & short ones: < 1 mm each."},
		{36, "showing subtitles: 0 Capsulotomy, can-opener | showing captions: "},
	}
	for _, tt := range tests {
		if got := active(tt.second); got != tt.want {
			t.Errorf("cues at %v s = %q, want %q", tt.second, got, tt.want)
		}
	}
	b.clean()
}

func TestTracksCanBeTurnedOffAndOn(t *testing.T) {
	b := open(t, write(t, exampleCase(t), exampleOptions()), makeVideo(t))
	b.until("the boxes", `document.querySelectorAll('.tracks input').length === 2 && !document.querySelector('.tracks').hidden`)
	modes := `[...document.querySelector('video').textTracks].map(t => t.mode).join(' ')`
	if got := eval[string](b, modes); got != "showing showing" {
		t.Errorf("tracks at first: %s, want both showing", got)
	}
	if err := chromedp.Do(b.ctx, chromedp.Click(chromedp.CSS(".tracks label:first-of-type input"))); err != nil {
		t.Fatal(err)
	}
	if got := eval[string](b, modes); got != "disabled showing" {
		t.Errorf("tracks after turning off the steps: %s", got)
	}
	// The player's own menu turns it on again, and the box agrees.
	eval[bool](b, `(document.querySelector('video').textTracks[0].mode = 'showing', true)`)
	b.until("the box follows the player", `document.querySelector('.tracks input').checked`)
	b.clean()
}

func TestAClickOnAStepSeeksAndTheListFollows(t *testing.T) {
	b := open(t, write(t, exampleCase(t), exampleOptions()), makeVideo(t))
	b.until("the video's length", loaded)
	click := func(selector string) {
		t.Helper()
		if err := chromedp.Do(b.ctx, chromedp.Click(chromedp.CSS(selector))); err != nil {
			t.Fatalf("clicking %s: %v", selector, err)
		}
	}
	now := `document.querySelector('video').currentTime`
	current := `[...document.querySelectorAll('[aria-current=step]')].map(a => a.textContent.trim()).join()`
	status := `document.querySelector('[role=status]').textContent`

	click("#list-step-capsulotomy-1 .moment")
	b.until("playing from 0:30", now+` >= 30 && `+now+` < 40`)
	b.until("the video plays", `!document.querySelector('video').paused`)
	b.until("the list follows", current+` === 'Anterior capsulotomy'`)
	if got := eval[string](b, status); got != "5. Anterior capsulotomy" {
		t.Errorf("announced: %q", got)
	}
	if got := eval[string](b, `location.hash`); got != "" {
		t.Errorf("a click on a time moved the page to %s", got)
	}
	eval[bool](b, `(document.querySelector('video').pause(), true)`)
	// The next step comes by itself.
	eval[bool](b, `(document.querySelector('video').currentTime = 42, true)`)
	b.until("the next step", current+` === 'Nucleus delivery'`)
	// A step's name leads to its text and shows its first moment.
	click("#list-step-tunnel-dissection-1 .name")
	b.until("the moment of the tunnel", now+` === 14`)
	if got := eval[string](b, `location.hash`); got != "#step-tunnel-dissection-1" {
		t.Errorf("a click on a name moved the page to %q", got)
	}
	// Before the first step nothing is current.
	eval[bool](b, `(document.querySelector('video').currentTime = 0, true)`)
	b.until("no step", current+` === '' && `+status+` === ''`)
	// With the keyboard alone.
	eval[bool](b, `(document.querySelector('#list-step-iol-insertion-1 .moment').focus(), true)`)
	if err := chromedp.Do(b.ctx, chromedp.KeyEvent("\r")); err != nil {
		t.Fatal(err)
	}
	b.until("the last step by keyboard", now+` >= 56 && `+current+` === 'IOL implantation'`)
	b.clean()
}

func TestThePageIsWholeWithoutScript(t *testing.T) {
	b := open(t, write(t, exampleCase(t), exampleOptions()), makeVideo(t), func(b *browser) {
		if _, err := chromedp.Call(b.ctx, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true}); err != nil {
			t.Fatalf("switching scripts off: %v", err)
		}
	})
	// Scripts of the page are off; the test's own questions still run.
	if got := eval[int](b, `document.querySelectorAll('.tracks input').length`); got != 0 {
		t.Fatalf("the script ran: %d boxes", got)
	}
	if got := eval[bool](b, `document.querySelector('.tracks').hidden && document.querySelectorAll('.steplist li').length === 8`); !got {
		t.Error("the list of steps is not whole, or controls stand there that do nothing")
	}
	if err := chromedp.Do(b.ctx, chromedp.Click(chromedp.CSS("#list-step-capsulotomy-1 .name"))); err != nil {
		t.Fatal(err)
	}
	if got := eval[string](b, `location.hash`); got != "#step-capsulotomy-1" {
		t.Errorf("the link of a step leads to %q", got)
	}
	b.until("the step's text in view", `(r => r.top >= 0 && r.top < innerHeight)(document.getElementById('step-capsulotomy-1').getBoundingClientRect())`)
	b.clean()
}

func TestHostileTextDoesNotRun(t *testing.T) {
	c, opt := hostileCase(t)
	b := open(t, write(t, c, opt), "")
	b.until("the page's own script", `document.querySelectorAll('.tracks input').length === 2`)
	if got := eval[bool](b, `'hit' in window`); got {
		t.Errorf("hostile text ran: %s", eval[string](b, `String(window.hit)`))
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	for _, m := range b.console {
		if !strings.Contains(m, "ERR_FILE_NOT_FOUND") { // its video is not there
			t.Errorf("console: %s", m)
		}
	}
}

// axe-core 4.14 checks WCAG 2.2 A and AA as far as a program can, and its own best
// practices.
func TestAccessibleInBothSchemesAtEveryWidth(t *testing.T) {
	axe, err := os.ReadFile(filepath.Join(timelinetest.NeedNPM(t, "axe-core"), "axe.min.js"))
	if err != nil {
		t.Fatal(err)
	}
	video := makeVideo(t)
	for name, opt := range map[string]page.Options{"with video": exampleOptions(), "without video": {}} {
		c := exampleCase(t)
		b := open(t, write(t, c, opt), video)
		eval[bool](b, string(axe)+`;document.querySelectorAll('details').forEach(d => d.open = true); true`)
		for _, scheme := range []string{"light", "dark"} {
			b.scheme(scheme)
			for _, width := range []int64{320, 768, 1440} {
				b.size(width)
				got := eval[string](b, `axe.run(document, {resultTypes: ['violations']}).then(r => r.violations.map(v =>
					v.id + ': ' + v.nodes.map(n => n.html.slice(0, 150) + ' ' + n.failureSummary).join('; ')).join('\n'))`)
				if got != "" {
					t.Errorf("%s, %s, %d px:\n%s", name, scheme, width, got)
				}
				if wide := eval[int](b, `document.documentElement.scrollWidth`); wide > int(width) {
					t.Errorf("%s, %d px: the page is %d px wide and scrolls sideways", name, width, wide)
				}
			}
		}
		b.clean()
	}
}

// The demo cases have the widest tables there are: six columns with sources.
func TestNoWidthScrollsSideways(t *testing.T) {
	for _, name := range []string{"msics-chevron", "phaco-chapters", "facts-only"} {
		m, err := annotate.Load(filepath.Join(timelinetest.Root(t), "testdata", "cases", name), name)
		if err != nil {
			t.Fatal(err)
		}
		c, ok := annotate.Resolve(m, ranges.Builtin())
		if !ok {
			t.Fatalf("%s: the procedure is not known", name)
		}
		b := open(t, write(t, c, page.Options{}), "")
		for width := int64(320); width <= 2400; width += 40 {
			b.size(width)
			if wide := eval[int](b, `document.documentElement.scrollWidth`); wide > int(width) {
				t.Errorf("%s, %d px: the page is %d px wide and scrolls sideways", name, width, wide)
			}
		}
	}
}
