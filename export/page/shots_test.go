package page_test

import (
	"fmt"
	"github.com/chromedp/chromedp"
	"os"
	"testing"
)

func TestShots(t *testing.T) {
	b := open(t, write(t, exampleCase(t), exampleOptions()), "/tmp/pg/video.webm")
	for _, s := range []string{"light", "dark"} {
		b.scheme(s)
		for _, w := range []int64{390, 1440} {
			b.size(w)
			b.until("x", "true")
			eval[bool](b, `document.querySelector('video').currentTime=35, new Promise(r=>setTimeout(()=>r(true),700))`)
			png, err := chromedp.Run(b.ctx, chromedp.FullScreenshot(100))
			if err != nil {
				t.Fatal(err)
			}
			os.WriteFile(fmt.Sprintf("/tmp/pg/%s-%d.png", s, w), png, 0o644)
		}
	}
	b.scheme("light")
	pdf, err := chromedp.Run(b.ctx, chromedp.PrintToPDF(chromedp.PDFPaper(chromedp.PaperA4)))
	if err != nil {
		t.Fatal(err)
	}
	os.WriteFile("/tmp/pg/p.pdf", pdf, 0o644)
	b.clean()
}
