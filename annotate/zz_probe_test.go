package annotate_test

import (
	"fmt"
	"testing"
	"strings"
)

func TestZZProbe(t *testing.T) {
	show := func(name string, files map[string]string) {
		c := resolve(t, files)
		fmt.Println("==", name)
		fmt.Println("  ", strings.Join(stepLines(c), "\n   "))
		fmt.Println("  F", strings.Join(printed(c.Findings, ""), "\n   F "))
		for _, p := range c.Proposals {
			fmt.Println("  P", p.Kind, p.Heard, p.Parameter, p.Event, p.Step, p.Nth, p.Quote, p.Quantity.String(), secs(p.Recording), secs(p.Video))
		}
		for _, e := range c.Events { fmt.Println("  E", e.ID, secs(e.Recording), secs(e.Video)) }
		for _, s := range c.Speech { fmt.Println("  S", s.From, s.To, s.Text) }
	}
	y := func(k string) map[string]string { return map[string]string{"case.yaml": head + k} }
	with := func(m map[string]string, kv ...string) map[string]string { for i := 0; i < len(kv); i += 2 { m[kv[i]] = kv[i+1] }; return m }
	show("nth untimed reversed", y("steps: [{step: capsulotomy, nth: 2}, {step: capsulotomy}]\n"))
	show("nth twice untimed", y("steps: [{step: capsulotomy, nth: 2}, {step: capsulotomy, nth: 2}]\n"))
	show("nth reversed at", with(y("steps: [{step: capsulotomy, nth: 2, at: \"0:05\"}]\n"), "recording.txt", "0:10 rhexis\n0:20 hydro\n"))
	show("at reverses", with(y("steps: [{step: capsulotomy, at: \"1:00\"}, {step: capsulotomy}]\n"), "recording.txt", "0:10 rhexis\n0:20 hydrodissection\n0:40 rhexis\n"))
	show("identity, chapters only, events", with(y("recording: {clock: elapsed}\nvideo: {shows: recording, duration: \"3:00\"}\nevents: [{event: pc-rupture, at: \"0:20\"}]\nsteps: [{step: capsulotomy, readings: [{at: \"0:40\", bottle-height: 60 cm}]}]\n"), "chapters.vtt", "WEBVTT\n\n00:10.000 --> 00:25.000\nGroove\n\n00:30.000 --> 01:00.000\nRhexis\n"))
	show("identity, no material, at", y("video: {shows: recording, duration: \"3:00\"}\nsteps: [{step: capsulotomy, at: \"0:40\"}]\nevents: [{event: pc-rupture, at: \"0:50\"}]\n"))
	show("edit list", with(y(""), "recording.txt", "0:10 rhexis\n", "cuts.edl", "TITLE: a\n"))
	show("length chapter end", with(y(""), "chapters.vtt", "WEBVTT\n\n00:10.000 --> 00:14.000\nGroove\n"))
	show("notes", with(y(""), "recording.txt", "0:10 rhexis 5.5 mm\n0:30 hydro, PC rent\n0:40 no PC rent\n0:50 cortex vacuum 280 mmHg, PC rupture seen\n1:00 PC rupture\n1:10 vitreous loss\n1:20 zonular dialysis? \n"))
	show("spoken", with(y("video: {duration: \"1:00\"}\n"), "chapters.vtt", "WEBVTT\n\n00:00.000 --> 00:30.000\nRhexis 5.5\n\n00:30.000 --> 01:00.000\nCortex, no PC rupture\n", "narration.srt", "1\n00:00:01,000 --> 00:00:05,000\nRhexis of six millimetres.\n\n2\n00:00:32,000 --> 00:00:35,000\nNo posterior capsule rupture here. Vitreous loss.\n"))
	show("conversion title", map[string]string{"case.yaml": phacoHead + "video: {duration: \"3:00\"}\nsteps: [{step: nucleus-delivery}]\n", "chapters.vtt": "WEBVTT\n\n00:10.000 --> 00:25.000\nRhexis\n\n00:30.000 --> 01:00.000\nConverted to SICS\n\n01:00.000 --> 02:00.000\nNucleus delivery\n"})
	show("conversion capital", map[string]string{"case.yaml": phacoHead + "events: [{event: Conversion}]\nsteps: [{step: nucleus-delivery}, {step: hydroprocedure}, {step: hydrodissection, nth: 2}]\n"})
	show("msics hydros", y("steps: [{step: hydrodissection}, {step: hydrodelineation}]\n"))
	show("narration rec", with(y("recording: {clock: elapsed}\nvideo: {duration: \"1:10\"}\nnarration: {clock: recording}\n"), "recording.txt", "0:10 rhexis\n0:30 hydrodissection\n4:30 cortex\n5:00 IOL in\n",
		"chapters.vtt", "WEBVTT\n\n00:00.000 --> 00:20.000\nRhexis\n\n00:20.000 --> 00:40.000\nHydrodissection\n\n00:40.000 --> 01:10.000\nCortex\n\n01:10.000 --> 01:20.000\nIOL\n",
		"narration.srt", "1\n00:00:08,000 --> 00:00:12,000\nacross start\n\n2\n00:00:49,000 --> 00:00:56,000\nacross cut\n\n3\n00:02:00,000 --> 00:02:05,000\nremoved 5.5 mm rhexis\n\n4\n00:04:40,000 --> 00:04:45,000\nkept\n"))
	show("entry spoken", with(y("video: {duration: \"1:10\"}\nsteps: [{step: capsulotomy}, {step: hydroprocedure}]\n"), "narration.srt", "1\n00:00:08,000 --> 00:00:12,000\nWe will do the rhexis later.\n\n2\n00:00:20,000 --> 00:00:22,000\nNow the rhexis.\n\n"))
	show("entry spoken rec", with(y("narration: {clock: recording}\nsteps: [{step: capsulotomy}, {step: hydroprocedure}]\n"), "narration.srt", "1\n00:00:08,000 --> 00:00:12,000\nNot the rhexis.\n\n2\n00:00:20,000 --> 00:00:22,000\nNow the rhexis.\n\n"))
}
