// Command demovideo draws and encodes the video of a demo case from the case
// itself: the schematic eye as it stands after each step, drawn by export/figure,
// with the step's name and how far it has got. Nothing is filmed and nothing is
// anybody's.
//
//	go run ./cmd/demovideo testdata/cases/msics-chevron
//
// It writes video.webm into the case folder and needs ffmpeg with librsvg and
// libvpx (Debian package ffmpeg). The encoder's version shows in the bytes, so the
// video is made once and committed.
package main

import (
	"bytes"
	"flag"
	"fmt"
	"html/template"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"time"

	"sideport/annotate"
	"sideport/annotate/ranges"
	"sideport/annotate/taxonomy"
	"sideport/export/figure"
	"sideport/export/page"
)

const (
	framesPerSecond = 5
	width, height   = 512, 384
	eyeWidth        = 330
)

func main() {
	flag.Usage = func() { fmt.Fprintln(os.Stderr, "usage: demovideo CASE") }
	flag.Parse()
	if flag.NArg() != 1 {
		flag.Usage()
		os.Exit(2)
	}
	if err := run(flag.Arg(0)); err != nil {
		fmt.Fprintf(os.Stderr, "demovideo: %v\n", err)
		os.Exit(3)
	}
}

func run(dir string) error {
	m, err := annotate.Load(dir, dir)
	if err != nil {
		return err
	}
	c, ok := annotate.Resolve(m, ranges.Builtin())
	if !ok || c.VideoLength == 0 {
		return fmt.Errorf("%s: the case has no known procedure or no video length", dir)
	}
	eye, ok := page.EyeOf(c)
	if !ok {
		return fmt.Errorf("%s: the case records nothing of the eye to draw", dir)
	}
	tmp, err := os.MkdirTemp("", "demovideo-")
	if err != nil {
		return fmt.Errorf("making a folder for frames: %w", err)
	}
	defer func() { _ = os.RemoveAll(tmp) }()
	r := renderer{c: c, eye: eye, drawn: map[string][]byte{}}
	n := int(c.VideoLength * framesPerSecond / time.Second)
	for i := range n {
		var b bytes.Buffer
		if err := r.frame(&b, time.Duration(i)*time.Second/framesPerSecond); err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join(tmp, fmt.Sprintf("%05d.svg", i)), b.Bytes(), 0o600); err != nil {
			return fmt.Errorf("writing a frame: %w", err)
		}
	}
	return encode(tmp, filepath.Join(dir, "video.webm"))
}

// encode joins the frames; -bitexact keeps the encoder's name and the moment out
// of the container.
func encode(frames, out string) error {
	cmd := exec.Command("ffmpeg", "-v", "error", "-y",
		"-framerate", fmt.Sprint(framesPerSecond), "-i", filepath.Join(frames, "%05d.svg"),
		"-c:v", "libvpx-vp9", "-pix_fmt", "yuv420p", "-crf", "38", "-b:v", "0", "-g", "50", "-row-mt", "0", "-threads", "1", "-cpu-used", "2",
		"-map_metadata", "-1", "-fflags", "+bitexact", "-flags:v", "+bitexact", out)
	cmd.Stderr = os.Stderr
	if err := cmd.Run(); err != nil {
		return fmt.Errorf("encoding with ffmpeg: %w", err)
	}
	return nil
}

// renderer draws frames; the eye of one stage is drawn once.
type renderer struct {
	c     *annotate.Case
	eye   figure.Eye
	drawn map[string][]byte
}

var frameText = template.Must(template.New("frame").Parse(`<svg xmlns="http://www.w3.org/2000/svg" width="{{.W}}" height="{{.H}}" viewBox="0 0 {{.W}} {{.H}}">
<rect width="{{.W}}" height="{{.H}}" fill="#f4f1ea"/>
{{if .Card}}<text x="256" y="150" text-anchor="middle" font-family="DejaVu Serif" font-size="20" fill="#1d2329">{{.Line1}}</text>
<text x="256" y="182" text-anchor="middle" font-family="DejaVu Serif" font-size="20" fill="#1d2329">{{.Line2}}</text>
<text x="256" y="230" text-anchor="middle" font-family="DejaVu Sans" font-size="13" fill="#5a646d">an invented case, drawn from its own values</text>
{{else}}<text x="16" y="30" font-family="DejaVu Serif" font-size="18" fill="#1d2329">{{.Name}}</text>
{{end}}<rect x="16" y="372" width="480" height="3" fill="#d8d3c6"/><rect x="16" y="372" width="{{.Bar}}" height="3" fill="#0a5c66"/>
`))

func (r renderer) frame(w io.Writer, at time.Duration) error {
	data := struct {
		W, H               int
		Card               bool
		Line1, Line2, Name string
		Bar                string
	}{W: width, H: height, Bar: fmt.Sprintf("%.1f", 480*at.Seconds()/r.c.VideoLength.Seconds())}
	current := r.c.StepAtVideo(at)
	if current < 0 {
		data.Card = true
		data.Line1, data.Line2 = split(r.c.File.Title.Value)
	} else {
		data.Name, _ = taxonomy.Label(r.c.Steps[current].Procedure, r.c.Steps[current].ID, "en")
	}
	if err := frameText.Execute(w, data); err != nil {
		return fmt.Errorf("drawing a frame: %w", err)
	}
	if current >= 0 {
		svg, err := r.eyeAfter(current)
		if err != nil {
			return err
		}
		// A slow drift, as an eye under the microscope has it.
		phase := int(at/(time.Second/framesPerSecond)) / 5 % 4
		dx, dy := []float64{0, 1, 1, 0}[phase], []float64{0, 0, 1, 1}[phase]
		fmt.Fprintf(w, `<g transform="translate(%.1f %.1f)">`, float64(width-eyeWidth)/2+dx, 40+dy)
		if _, err := w.Write(svg); err != nil {
			return fmt.Errorf("drawing a frame: %w", err)
		}
		fmt.Fprint(w, "</g>")
	}
	_, err := fmt.Fprintln(w, "</svg>")
	return err
}

// eyeAfter is the eye with every step up to the current one done.
func (r renderer) eyeAfter(current int) ([]byte, error) {
	var done []string
	for _, s := range r.c.Steps[:current+1] {
		done = append(done, s.ID)
	}
	key := fmt.Sprint(current)
	if svg, ok := r.drawn[key]; ok {
		return svg, nil
	}
	var b bytes.Buffer
	opt := figure.Options{Width: eyeWidth, Stage: figure.After(done...), NoKey: true, IDPrefix: "eye", Standalone: true, Colours: figure.Colours{Paper: "#f4f1ea"}}
	if err := figure.EyeSVG(&b, r.eye, opt); err != nil {
		return nil, fmt.Errorf("drawing the eye: %w", err)
	}
	svg := b.Bytes()
	if i := bytes.Index(svg, []byte("<svg")); i > 0 {
		svg = svg[i:]
	}
	r.drawn[key] = svg
	return svg, nil
}

// split breaks a title into two lines near its middle.
func split(title string) (string, string) {
	for i := len(title) / 2; i < len(title); i++ {
		if title[i] == ' ' {
			return title[:i], title[i+1:]
		}
	}
	return title, ""
}
