package placing

import (
	"cmp"
	"slices"

	"sideport/timeline/align"
	"sideport/timeline/source"
	"sideport/timeline/timecode"
)

// soundPins returns the indices of the pins that can hold together: the longest
// set that increases on both clocks, of equal ones the earliest in the video.
func (p *placer) soundPins() []int {
	var inside []int
	for k, pin := range p.opt.Pins {
		if p.inVideo(pin.Video) {
			inside = append(inside, k)
			continue
		}
		p.say(aboutPin(k), source.Caution, "time/past-end", "", "a pin at video %s lies past the end of the video, %s",
			timecode.Format(pin.Video), timecode.Format(p.opt.VideoLength))
	}
	slices.SortStableFunc(inside, func(a, b int) int { return cmp.Compare(p.opt.Pins[a].Video, p.opt.Pins[b].Video) })
	free := func(int) float64 { return 0 }
	chain := align.Chain(len(inside), align.ChainCosts{
		Start: free, End: free,
		Node: func(int) float64 { return -1 },
		Step: func(k, l int) float64 {
			a, b := p.opt.Pins[inside[k]], p.opt.Pins[inside[l]]
			return blocked(b.Recording <= a.Recording || b.Video <= a.Video)
		},
	})
	var sound []int
	for _, k := range chain.Nodes() {
		sound = append(sound, inside[k])
	}
	for _, k := range inside {
		if pin := p.opt.Pins[k]; !slices.Contains(sound, k) {
			p.say(aboutPin(k), source.Caution, "time/pin-order", "", "the pin recording %s, video %s is not in order with the others; it is left out",
				timecode.Format(pin.Recording), timecode.Format(pin.Video))
		}
	}
	return sound
}
