package page_test

import (
	"bytes"
	"context"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"

	"sideport/annotate"
	"sideport/export/page"
	"sideport/timeline/timelinetest"
)

// write returns the page of a case.
func write(t testing.TB, c *annotate.Case, opt page.Options) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := page.Write(&b, c, opt); err != nil {
		t.Fatalf("Write: %v", err)
	}
	return b.Bytes()
}

// browser is one page opened from disk in a browser, with what went wrong there.
type browser struct {
	t   testing.TB
	ctx context.Context

	mu       sync.Mutex
	console  []string // errors and warnings
	requests []string
}

// open opens a page by its file: address, as a double click does. Beside it lies
// the video, when one is given. before runs in the empty tab.
func open(t testing.TB, html []byte, video string, before ...func(*browser)) *browser {
	t.Helper()
	chromium := timelinetest.NeedTool(t, "chromium", "chromium")
	dir := t.TempDir()
	file := filepath.Join(dir, "index.html")
	if err := os.WriteFile(file, html, 0o600); err != nil {
		t.Fatal(err)
	}
	if video != "" {
		raw, err := os.ReadFile(video)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, "video.webm"), raw, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	ctx, cancel := chromedp.NewContext(t.Context(), chromedp.WithAllocatorOptions(
		chromedp.ExecPath(chromium), chromedp.NoSandbox, chromedp.Headless, chromedp.DisableGPU, chromedp.NoFirstRun,
		chromedp.Flag("disable-background-networking", true), chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true),
		chromedp.Flag("autoplay-policy", "no-user-gesture-required"),
	))
	t.Cleanup(cancel)
	ctx, stop := context.WithTimeout(ctx, 90*time.Second)
	t.Cleanup(stop)
	b := &browser{t: t, ctx: ctx}
	if err := chromedp.Listen(ctx, b.listen); err != nil {
		t.Fatalf("starting chromium: %v", err)
	}
	if _, err := chromedp.Call(ctx, network.Enable, network.EnableParams{}); err != nil {
		t.Fatalf("watching the network: %v", err)
	}
	b.scheme("light")
	for _, f := range before {
		f(b)
	}
	if err := chromedp.Do(ctx, chromedp.Navigate((&url.URL{Scheme: "file", Path: file}).String())); err != nil {
		t.Fatalf("opening the page: %v", err)
	}
	return b
}

func (b *browser) listen(ev any) {
	b.mu.Lock()
	defer b.mu.Unlock()
	switch ev := ev.(type) {
	case *runtime.EventConsoleAPICalled:
		b.console = append(b.console, string(ev.Type))
	case *runtime.EventExceptionThrown:
		b.console = append(b.console, ev.ExceptionDetails.Text)
	case *log.EventEntryAdded:
		b.console = append(b.console, ev.Entry.Text+" "+ev.Entry.URL)
	case *network.EventRequestWillBeSent:
		b.requests = append(b.requests, ev.Request.URL)
	}
}

// clean fails the test when the console has anything or anything but the page and
// its video was asked for.
func (b *browser) clean() {
	b.t.Helper()
	b.mu.Lock()
	defer b.mu.Unlock()
	for _, m := range b.console {
		b.t.Errorf("console: %s", m)
	}
	for _, r := range b.requests {
		if strings.HasPrefix(r, "data:") {
			continue // the browser's own player draws its buttons so
		}
		if !strings.HasPrefix(r, "file:") || !strings.HasSuffix(r, "/index.html") && !strings.HasSuffix(r, "/video.webm") {
			b.t.Errorf("request for %s", r)
		}
	}
}

// eval runs an expression in the page.
func eval[T any](b *browser, expression string) T {
	b.t.Helper()
	v, err := chromedp.Run(b.ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	if err != nil {
		b.t.Fatalf("in the page, %.80s: %v", expression, err)
	}
	return v
}

// until waits for an expression to become true, for as long as a slow machine
// may take.
func (b *browser) until(what, expression string) {
	b.t.Helper()
	for range 200 {
		if eval[bool](b, expression) {
			return
		}
		time.Sleep(50 * time.Millisecond)
	}
	b.t.Fatalf("waited in vain: %s", what)
}

func (b *browser) size(width int64) {
	b.t.Helper()
	if err := chromedp.Do(b.ctx, chromedp.EmulateViewport(width, 900)); err != nil {
		b.t.Fatalf("setting the width: %v", err)
	}
}

// scheme sets the colour scheme, and keeps scrolling from being animated: a click
// is aimed at where something stands.
func (b *browser) scheme(scheme string) {
	b.t.Helper()
	_, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
		Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}, {Name: "prefers-reduced-motion", Value: "reduce"}},
	})
	if err != nil {
		b.t.Fatalf("setting the colour scheme: %v", err)
	}
}
