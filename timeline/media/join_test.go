package media_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"sideport/timeline/media"
	"sideport/timeline/timecode"
)

// part is a file of a recording in few words: its name, its length in units of
// 1/den second, and what else it states.
type part struct {
	name     string
	num, den int64
	code     string // with the rate behind it: "01:00:00:00 25"
	created  string
	starts   time.Duration // of its picture, behind its sound
	shifted  time.Duration // of both
	stated   string        // as a Go duration
}

func joinParts(t *testing.T, parts []part) []media.Part {
	t.Helper()
	var out []media.Part
	for _, p := range parts {
		f := media.Facts{Created: p.created, CreatedIn: "mvhd"}
		f.Tracks = []media.Track{
			{Kind: "audio", Starts: p.shifted},
			{Kind: "video", Starts: p.starts + p.shifted, Exact: media.Exact{Num: p.num, Den: p.den}, Rate: timecode.Rate{Num: 25, Den: 1}},
		}
		if text, label, ok := strings.Cut(p.code, " "); ok {
			rate, err := timecode.ParseRate(label)
			if err != nil {
				t.Fatal(err)
			}
			r, err := timecode.ParseReading(text)
			if err != nil {
				t.Fatal(err)
			}
			frame, err := rate.Frame(r.Fields[0], r.Fields[1], r.Fields[2], r.Fields[3])
			if err != nil {
				t.Fatal(err)
			}
			f.Start = media.Code{Text: text, Rate: rate, Frame: frame}
			plain := rate
			plain.Drop = false
			f.Tracks[1].Rate = plain
		}
		m := media.Part{Name: p.name, Facts: f}
		if p.stated != "" {
			d, err := time.ParseDuration(p.stated)
			if err != nil {
				t.Fatal(err)
			}
			m.Stated = &d
		}
		out = append(out, m)
	}
	return out
}

var basisWords = map[media.Basis]string{
	media.NoBasis: "none", media.ByStatement: "stated", media.ByCode: "code", media.ByCreation: "created", media.ByName: "name", media.ByList: "list",
}

var topicWords = map[media.Topic]string{
	media.CodeRestarts: "code restarts", media.CreationMixed: "created mixed", media.CreationCrowded: "created crowded",
	media.CreationSeconds: "whole seconds", media.CreationIsEnd: "created is the end", media.CreationUnclear: "created unclear",
	media.LengthUnknown: "length unknown", media.OrderDiffers: "order differs", media.PlaceDiffers: "place differs",
}

// joined is a result as text: the basis, each place, what is odd at a joint, notes.
func joined(j media.Joined) string {
	var b strings.Builder
	b.WriteString(basisWords[j.Basis])
	for _, p := range j.Parts {
		if p.Known {
			fmt.Fprintf(&b, " %d@%v", p.Part, p.Offset)
		} else {
			fmt.Fprintf(&b, " %d@?", p.Part)
		}
	}
	for _, x := range j.Joints {
		if x.Odd {
			fmt.Fprintf(&b, "; %d-%d %v %d frames", x.Before, x.After, x.Gap, x.Frames)
		}
	}
	for _, n := range j.Notes {
		fmt.Fprintf(&b, "; %s", topicWords[n.Topic])
		switch n.Topic {
		case media.OrderDiffers:
			fmt.Fprintf(&b, " by %s", basisWords[n.Basis])
		case media.PlaceDiffers:
			fmt.Fprintf(&b, " by %s: %d by %v", basisWords[n.Basis], n.Part, n.By)
		case media.LengthUnknown:
			fmt.Fprintf(&b, " %d", n.Part)
		}
	}
	return b.String()
}

const day0 = "2026-03-01T"

// The places are worked out by hand from the codes, dates and lengths given; all of
// them are invented.
func TestJoin(t *testing.T) {
	for _, tt := range []struct {
		name  string
		parts []part
		want  string
	}{
		{"none", nil, "name"},
		{"one", []part{{name: "op.mp4", num: 600, den: 1}}, "name 0@0s"},

		{"a timecode that runs on", []part{
			{name: "a.mp4", num: 600, den: 1, code: "01:00:00:00 25"}, {name: "b.mp4", num: 600, den: 1, code: "01:10:00:00 25"},
		}, "code 0@0s 1@10m0s"},
		{"it puts the files in order", []part{
			{name: "b.mp4", num: 600, den: 1, code: "01:10:00:00 25"}, {name: "a.mp4", num: 600, den: 1, code: "01:00:00:00 25"},
		}, "code 1@0s 0@10m0s; order differs by list"},
		{"one frame is no gap", []part{
			{name: "a.mp4", num: 600, den: 1, code: "01:00:00:00 25"}, {name: "b.mp4", num: 600, den: 1, code: "01:10:00:01 25"},
		}, "code 0@0s 1@10m0.04s"},
		{"three lost frames", []part{
			{name: "a.mp4", num: 600, den: 1, code: "01:00:00:00 25"}, {name: "b.mp4", num: 600, den: 1, code: "01:10:00:03 25"},
		}, "code 0@0s 1@10m0.12s; 0-1 120ms 3 frames"},
		{"five repeated frames", []part{
			{name: "a.mp4", num: 600, den: 1, code: "01:00:00:00 25"}, {name: "b.mp4", num: 600, den: 1, code: "01:09:59:20 25"},
		}, "code 0@0s 1@9m59.8s; 0-1 -200ms -5 frames"},
		// 17982 frames are ten minutes of drop-frame code and last 599.9994 s, SMPTE ST 12-1
		{"drop-frame", []part{
			{name: "a.mp4", num: 17982 * 1001, den: 30000, code: "00:00:00;00 29.97df"}, {name: "b.mp4", num: 17982 * 1001, den: 30000, code: "00:10:00;00 29.97df"},
		}, "code 0@0s 1@9m59.9994s"},
		{"over midnight", []part{
			{name: "b.mp4", num: 600, den: 1, code: "00:05:00:00 25"}, {name: "a.mp4", num: 600, den: 1, code: "23:55:00:00 25"},
		}, "code 1@0s 0@10m0s; order differs by list"},
		{"over midnight, drop-frame", []part{
			{name: "a.mp4", num: 17982 * 1001, den: 30000, code: "23:50:00;00 29.97df"}, {name: "b.mp4", num: 600, den: 1, code: "00:00:00;00 29.97df"},
		}, "code 0@0s 1@9m59.9994s"},
		{"the picture begins behind the sound", []part{
			{name: "a.mp4", num: 600, den: 1, code: "01:00:00:00 25"}, {name: "b.mp4", num: 600, den: 1, code: "01:10:00:00 25", starts: 500 * time.Millisecond},
		}, "code 0@0s 1@9m59.5s"},
		{"codes that start again", []part{
			{name: "a1.mp4", num: 600, den: 1, code: "00:00:00:00 25"}, {name: "a2.mp4", num: 600, den: 1, code: "00:00:00:00 25"},
		}, "name 0@0s 1@10m0s; code restarts"},
		{"codes at two rates", []part{
			{name: "a1.mp4", num: 600, den: 1, code: "00:00:00:00 25"}, {name: "a2.mp4", num: 600, den: 1, code: "00:10:00:00 50"},
		}, "name 0@0s 1@10m0s"},
		{"one file without a code", []part{
			{name: "a1.mp4", num: 600, den: 1, code: "00:00:00:00 25"}, {name: "a2.mp4", num: 600, den: 1},
		}, "name 0@0s 1@10m0s"},

		{"creation times are starts", []part{
			{name: "a.mp4", num: 600, den: 1, created: day0 + "09:00:00Z"}, {name: "b.mp4", num: 600, den: 1, created: day0 + "09:10:00Z"}, {name: "c.mp4", num: 300, den: 1, created: day0 + "09:20:01Z"},
		}, "created 0@0s 1@10m0s 2@20m1s; whole seconds"},
		{"creation times are ends", []part{
			{name: "a.mp4", num: 600, den: 1, created: day0 + "09:10:00Z"}, {name: "b.mp4", num: 600, den: 1, created: day0 + "09:20:00Z"}, {name: "c.mp4", num: 300, den: 1, created: day0 + "09:25:00Z"},
		}, "created 0@0s 1@10m0s 2@20m0s; created is the end; whole seconds"},
		{"creation times over midnight and zones", []part{
			{name: "a.mp4", num: 600, den: 1, created: day0 + "23:55:00Z"}, {name: "b.mp4", num: 300, den: 1, created: "2026-03-02T05:35:00+05:30"},
		}, "created 0@0s 1@10m0s; whole seconds"},
		{"a pause", []part{
			{name: "a.mp4", num: 600, den: 1, created: day0 + "09:00:00Z"}, {name: "b.mp4", num: 900, den: 1, created: day0 + "09:12:00Z"},
		}, "created 0@0s 1@12m0s; 0-1 2m0s 3000 frames; created unclear; whole seconds"},
		{"parts of a second are kept", []part{
			{name: "a.mp4", num: 600, den: 1, created: day0 + "09:00:00.25Z"}, {name: "b.mp4", num: 600, den: 1, created: day0 + "09:10:00.5Z"},
		}, "created 0@0s 1@10m0.25s"},
		{"copies made in a row", []part{
			{name: "op-2.mp4", num: 600, den: 1, created: day0 + "18:00:00Z"}, {name: "op-10.mp4", num: 600, den: 1, created: day0 + "18:00:02Z"}, {name: "op-1.mp4", num: 300, den: 1, created: day0 + "18:00:05Z"},
		}, "name 2@0s 0@5m0s 1@15m0s; created crowded; order differs by list"},
		{"creation times against the names", []part{
			{name: "op-1.mp4", num: 600, den: 1, created: day0 + "09:10:00Z"}, {name: "op-2.mp4", num: 600, den: 1, created: day0 + "09:00:00Z"},
		}, "created 1@0s 0@10m0s; whole seconds; order differs by name; order differs by list"},
		{"timecode against creation times", []part{
			{name: "a.mp4", num: 600, den: 1, code: "01:00:00:00 25", created: day0 + "09:00:00Z"}, {name: "b.mp4", num: 600, den: 1, code: "01:10:00:00 25", created: day0 + "09:12:00Z"},
		}, "code 0@0s 1@10m0s; place differs by created: 1 by 2m0s"},
		{"timecode and creation times agree to the second", []part{
			{name: "a.mp4", num: 600, den: 1, code: "01:00:00:00 25", created: day0 + "09:00:00Z"}, {name: "b.mp4", num: 600, den: 1, code: "01:10:00:00 25", created: day0 + "09:10:01Z"},
		}, "code 0@0s 1@10m0s"},

		// 18000 frames of 1001/30000 s last 600.6 s; three of them are no whole milliseconds
		{"lengths in their own units", []part{
			{name: "op_1.mp4", num: 18001 * 1001, den: 30000}, {name: "op_2.mp4", num: 18001 * 1001, den: 30000}, {name: "op_3.mp4", num: 100, den: 1},
		}, "name 0@0s 1@10m0.633366667s 2@20m1.266733334s"},
		{"names that are not numbered alike", []part{
			{name: "second.mp4", num: 600, den: 1}, {name: "first.mp4", num: 600, den: 1},
		}, "list 0@0s 1@10m0s"},
		{"time stamps that run on from file to file", []part{
			{name: "1.mkv", num: 600, den: 1}, {name: "2.mkv", num: 600, den: 1, shifted: 600 * time.Second},
		}, "name 0@0s 1@10m0s"},
		{"a length that is not known", []part{
			{name: "1.mp4", num: 600, den: 1}, {name: "2.mp4"}, {name: "3.mp4", num: 600, den: 1},
		}, "name 0@0s 1@10m0s 2@?; length unknown 1"},

		{"all stated", []part{
			{name: "1.mp4", num: 600, den: 1, stated: "9h"}, {name: "2.mp4", num: 600, den: 1, stated: "9h10m30s"},
		}, "stated 0@0s 1@10m30s; 0-1 30s 750 frames"},
		{"stated to the second", []part{
			{name: "1.mp4", num: 600, den: 1, stated: "9h"}, {name: "2.mp4", num: 600, den: 1, stated: "9h10m1s"},
		}, "stated 0@0s 1@10m1s"},
		{"stated in another order than listed", []part{
			{name: "1.mp4", num: 600, den: 1, stated: "9h10m"}, {name: "2.mp4", num: 600, den: 1, stated: "9h"},
		}, "stated 1@0s 0@10m0s; order differs by name; order differs by list"},
		{"one stated, the next follows", []part{
			{name: "1.mp4", num: 600, den: 1}, {name: "2.mp4", num: 600, den: 1, stated: "9h10m"}, {name: "3.mp4", num: 600, den: 1},
		}, "name 0@0s 1@10m0s 2@20m0s"},
		{"the first and the last stated", []part{
			{name: "1.mp4", num: 600, den: 1, stated: "9h"}, {name: "2.mp4", num: 600, den: 1}, {name: "3.mp4", num: 600, den: 1, stated: "9h25m"},
		}, "name 0@0s 1@10m0s 2@25m0s; 1-2 5m0s 7500 frames"},
		{"a statement helps where the length is unknown", []part{
			{name: "1.mp4"}, {name: "2.mp4", num: 600, den: 1, stated: "9h10m"}, {name: "3.mp4", num: 600, den: 1},
		}, "name 0@? 1@0s 2@10m0s"},
		{"stated against the timecode", []part{
			{name: "a.mp4", num: 600, den: 1, code: "01:00:00:00 25", stated: "9h"}, {name: "b.mp4", num: 600, den: 1, code: "01:10:00:00 25", stated: "9h11m"},
		}, "stated 0@0s 1@11m0s; 0-1 1m0s 1500 frames; place differs by code: 1 by -1m0s"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			parts := joinParts(t, tt.parts)
			before := slices.Clone(parts)
			got := media.Join(parts)
			if text := joined(got); text != tt.want {
				t.Errorf("Join = %s\nwant   %s", text, tt.want)
			}
			if diff := cmp.Diff(before, parts); diff != "" {
				t.Errorf("Join changed its argument (-before +after):\n%s", diff)
			}
		})
	}
}

// What the clock said at recording zero follows from any one statement.
func TestJoinZero(t *testing.T) {
	for _, tt := range []struct {
		name  string
		parts []part
		want  string
	}{
		{"none", []part{{name: "1.mp4", num: 600, den: 1}}, "-"},
		{"first", []part{{name: "1.mp4", num: 600, den: 1, stated: "9h"}, {name: "2.mp4", num: 600, den: 1}}, "9h0m0s"},
		{"second", []part{{name: "1.mp4", num: 600, den: 1}, {name: "2.mp4", num: 600, den: 1, stated: "9h10m"}}, "9h0m0s"},
		{"no way to the first", []part{{name: "1.mp4"}, {name: "2.mp4", num: 600, den: 1, stated: "9h10m"}}, "9h10m0s"},
	} {
		got := "-"
		if z := media.Join(joinParts(t, tt.parts)).Zero; z != nil {
			got = z.String()
		}
		if got != tt.want {
			t.Errorf("%s: Join zero = %s, want %s", tt.name, got, tt.want)
		}
	}
}

// Parts given in any order are put in the same one, whatever they rest on.
func TestJoinIsTheSameInAnyOrder(t *testing.T) {
	parts := []part{
		{name: "op-1.mp4", num: 600, den: 1, code: "23:50:00:00 25"}, {name: "op-2.mp4", num: 599, den: 1, code: "00:00:00:00 25"},
		{name: "op-3.mp4", num: 600, den: 1, code: "00:10:00:00 25"}, {name: "op-10.mp4", num: 60, den: 1, code: "00:20:00:00 25"},
	}
	for _, kind := range []string{"code", "created", "name"} {
		list := slices.Clone(parts)
		for i := range list {
			if kind != "code" {
				list[i].code = ""
			}
			if kind == "created" {
				list[i].created = fmt.Sprintf("%s09:%02d:00Z", day0, i*10)
			}
		}
		want := ""
		for turn := range 24 {
			order := []int{0, 1, 2, 3}
			for i, n := range []int{turn / 6, turn / 2 % 3, turn % 2} {
				order[i], order[i+n] = order[i+n], order[i]
			}
			var in []part
			for _, i := range order {
				in = append(in, list[i])
			}
			got := media.Join(joinParts(t, in))
			text := basisWords[got.Basis]
			for _, p := range got.Parts {
				text += fmt.Sprintf(" %s@%v", in[p.Part].name, p.Offset)
			}
			if want == "" {
				want = text
			}
			if text != want {
				t.Errorf("Join of order %v = %s, want %s", order, text, want)
			}
		}
		if !strings.HasPrefix(want, kind) {
			t.Errorf("Join = %s, want it by %s", want, kind)
		}
	}
}

// FuzzJoin: whatever files say, every part comes out once, the first one or the first
// with a statement has a place, and a gap is what the places leave.
func FuzzJoin(f *testing.F) {
	f.Add([]byte{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11})
	f.Add([]byte{250, 10, 250, 0, 200, 10, 250, 3, 100, 10, 0, 255})
	f.Add([]byte("a recording of several parts"))
	f.Fuzz(func(t *testing.T, raw []byte) {
		var list []part
		for i := 0; i+4 <= len(raw) && i < 64; i += 4 {
			p := part{name: fmt.Sprintf("op-%d.mp4", raw[i]%16), num: int64(raw[i+1]) * 10, den: 1, starts: time.Duration(raw[i+2]) * time.Millisecond}
			if raw[i+3]&1 != 0 {
				p.code = fmt.Sprintf("%02d:%02d:00:00 25", raw[i]%24, raw[i+2]%60)
			}
			if raw[i+3]&2 != 0 {
				p.created = fmt.Sprintf("%s%02d:%02d:00Z", day0, raw[i]%24, raw[i+2]%60)
			}
			if raw[i+3]&4 != 0 {
				p.stated = fmt.Sprintf("%dm", raw[i+2])
			}
			list = append(list, p)
		}
		parts := joinParts(t, list)
		got := media.Join(parts)
		var seen []int
		places := map[int]media.Placed{}
		known := len(got.Parts) == 0
		for _, p := range got.Parts {
			seen, places[p.Part], known = append(seen, p.Part), p, known || p.Known
		}
		slices.Sort(seen)
		for i, p := range seen {
			if p != i {
				t.Fatalf("parts = %v, want each of %d once", seen, len(parts))
			}
		}
		if len(seen) != len(parts) || !known {
			t.Fatalf("Join = %s of %d parts, want all and one with a place", joined(got), len(parts))
		}
		for _, x := range got.Joints {
			a, b := places[x.Before], places[x.After]
			if !a.Known || !b.Known || b.Offset-a.Offset-a.Length > x.Gap {
				t.Errorf("joint %+v between %+v and %+v", x, a, b)
			}
		}
	})
}
