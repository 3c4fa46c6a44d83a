package format_test

import (
	"testing"

	"sideport/timeline"
	"sideport/timeline/format"
	"sideport/timeline/source"
	"sideport/timeline/timecode"
)

// checkEdit fails when an edit breaks what its type promises.
func checkEdit(t *testing.T, src *source.Source, e timeline.Edit) {
	t.Helper()
	for i, ev := range e.Events {
		checkPlaces(t, src, ev.Pos)
		if ev.Record.From < 0 || ev.Record.Len() <= 0 || ev.Source.Len() < 0 || ev.Speed.Den <= 0 {
			t.Fatalf("event %d: %+v", i, ev)
		}
		if i > 0 && ev.Record.From < e.Events[i-1].Record.To {
			t.Fatalf("event %d begins at %v, the one before it ends at %v", i, ev.Record.From, e.Events[i-1].Record.To)
		}
		if (ev.Shows == timeline.Clip) != (ev.Speed.Num > 0) {
			t.Fatalf("event %d shows %v at speed %v", i, ev.Shows, ev.Speed)
		}
	}
	for _, p := range e.Map(asWritten).Pieces {
		if p.Recording.Len() <= 0 || p.Video.Len() <= 0 {
			t.Fatalf("piece %v", p)
		}
	}
}

func fuzzEdit(f *testing.F, name string) {
	seedLists(f, name)
	rates := []timecode.Rate{{Num: 25, Den: 1}, {Num: 30000, Den: 1001, Drop: true}, {}, {Num: 60, Den: 1}}
	f.Fuzz(func(t *testing.T, extension string, raw []byte) {
		src := source.Decode("cuts"+extension, raw, func(source.Finding) {})
		for _, r := range rates {
			checkEdit(t, src, reader(t, name).Edit(src, r, func(found source.Finding) {
				checkPlaces(t, src, found.Pos)
				for _, r := range found.Related {
					checkPlaces(t, src, r.Pos)
				}
			}))
		}
		format.For(format.Cuts, src)
	})
}

func FuzzEDL(f *testing.F)  { fuzzEdit(f, "edl") }
func FuzzOTIO(f *testing.F) { fuzzEdit(f, "otio") }
