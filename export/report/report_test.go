package report_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"sideport/export/report"
	"sideport/timeline/source"

	"github.com/google/go-cmp/cmp"
)

func sample() []report.Case {
	src := source.New("cases/a/case.yaml", []byte("sideport: 1\nvalues: {x: 5.2 mm}\n"))
	low, high, five := 5.5, 7.5, 5.2
	return []report.Case{{
		Path: "cases/a", Shown: "cases/a", Procedure: "msics",
		Findings: []source.Finding{
			{Pos: src.Whole(), Severity: source.Note, Rule: "time/no-video-clock", Message: "no video clock"},
			{
				Pos: src.PosAt(2, 13), Severity: source.Caution, Rule: "range/rhexis-diameter", Step: "capsulotomy", Nth: 1,
				Message: "rhexis diameter 5.2 mm is below 5.5–7.5 mm",
				Value:   &source.Bounds{Low: &five, High: &five, Unit: "mm"}, Accepted: &source.Bounds{Low: &low, High: &high, Unit: "mm"},
				Evidence: "confirmed", Source: "A source; with \"quotes\"", SourceID: "S4",
				Recording: &source.Span{From: 77*time.Second + 499500*time.Microsecond}, Video: &source.Span{From: 61200 * time.Millisecond},
			},
			{Pos: src.PosAt(2, 1), Severity: source.Stop, Rule: "range/slip", Step: "capsulotomy", Nth: 1, Message: "=formula", Evidence: "@tag", SourceID: "+S1", Waived: true, WaivedBy: "T1: typed by hand"},
			{Severity: source.Error, Rule: "read/no-case", Message: "nothing <b>there</b>", Related: []source.Related{{Pos: src.PosAt(1, 1), Message: "here"}}},
		},
	}}
}

// golden compares with a file under testdata; UPDATE_GOLDEN=1 writes it.
func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if os.Getenv("UPDATE_GOLDEN") == "1" {
		if err := os.MkdirAll("testdata", 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), string(got)); diff != "" {
		t.Errorf("%s (-want +got):\n%s", name, diff)
	}
}

func TestFourForms(t *testing.T) {
	for name, write := range map[string]func(*bytes.Buffer) error{
		"sample.txt":  func(w *bytes.Buffer) error { return report.Text(w, sample()) },
		"sample.json": func(w *bytes.Buffer) error { return report.JSON(w, sample()) },
		"sample.csv":  func(w *bytes.Buffer) error { return report.CSV(w, sample()) },
		"sample.html": func(w *bytes.Buffer) error { return report.HTML(w, sample()) },
	} {
		var out bytes.Buffer
		if err := write(&out); err != nil {
			t.Fatal(err)
		}
		golden(t, name, out.Bytes())
	}
}

// Read back with encoding/csv, an independent reader of RFC 4180: every row has as
// many cells as the head, and no cell begins as a formula does.
func TestCSVIsATable(t *testing.T) {
	var out bytes.Buffer
	if err := report.CSV(&out, sample()); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&out).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(rows) != 1+len(sample()[0].Findings)+1 {
		t.Errorf("%d rows, want head, findings and caution", len(rows))
	}
	for _, row := range rows {
		for _, cell := range row {
			if cell != "" && strings.ContainsAny(cell[:1], "=+-@") {
				t.Errorf("the cell %q begins as a formula does", cell)
			}
		}
	}
}

// The keys of a finding are those that programs were promised, every one always.
func TestJSONHasEveryKey(t *testing.T) {
	var out bytes.Buffer
	if err := report.JSON(&out, sample()); err != nil {
		t.Fatal(err)
	}
	var got struct {
		Caution string
		Cases   []struct{ Findings []map[string]any }
		Totals  map[string]int
	}
	if err := json.Unmarshal(out.Bytes(), &got); err != nil {
		t.Fatal(err)
	}
	for _, f := range got.Cases[0].Findings {
		for _, key := range strings.Fields("rule severity message file line column step nth recording_s video_s value accepted evidence source source_id waived") {
			if _, ok := f[key]; !ok {
				t.Errorf("%v lacks %s", f["rule"], key)
			}
		}
	}
	if diff := cmp.Diff(map[string]int{"error": 1, "stop": 0, "caution": 1, "note": 1, "waived": 1}, got.Totals); diff != "" {
		t.Errorf("totals (-want +got):\n%s", diff)
	}
	// 77.4995 s rounds half up to the millisecond.
	if at := got.Cases[0].Findings[1]["recording_s"]; at != 77.5 {
		t.Errorf("recording_s = %v, want 77.5", at)
	}
}

func TestSecondsRoundsHalfUp(t *testing.T) {
	for _, tt := range []struct {
		d    time.Duration
		want float64
	}{{1499500 * time.Microsecond, 1.5}, {1499499 * time.Microsecond, 1.499}, {-500 * time.Microsecond, 0}, {0, 0}} {
		if got := report.Seconds(tt.d); got != tt.want {
			t.Errorf("Seconds(%v) = %v, want %v", tt.d, got, tt.want)
		}
	}
}

type closed struct{}

func (closed) Write([]byte) (int, error) { return 0, os.ErrClosed }

func TestWriteErrorsSayWhatWasDone(t *testing.T) {
	for name, write := range map[string]func(io.Writer, []report.Case) error{
		"text": report.Text, "JSON": report.JSON, "CSV": report.CSV, "HTML": report.HTML,
	} {
		err := write(closed{}, sample())
		if !errors.Is(err, os.ErrClosed) || !strings.HasPrefix(err.Error(), "writing ") || !strings.Contains(err.Error(), name) {
			t.Errorf("%s to a closed file: %v, want what was being written and %v", name, err, os.ErrClosed)
		}
	}
}

func ExampleCount() {
	t := report.Count(sample())
	fmt.Println(t.Error, t.Stop, t.Caution, t.Note, t.Waived)
	// Output: 1 0 1 1 1
}
