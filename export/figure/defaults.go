package figure

// Proportions the drawing falls back on where a case is silent. What is drawn
// from one of them is dotted and called assumed.
const (
	// Mean white-to-white distance 11.71 ± 0.42 mm. Source: Rüfer, Schröder, Erb,
	// Cornea 2005;24:259-61.
	defaultWhiteToWhiteMM = 11.7

	// A dilated pupil; 6 mm and more counts as well dilated. Source: the limits
	// <= 5 small and >= 6 mm well dilated come from the literature on small pupils
	// in cataract surgery; 7 mm itself is common practice, no source.
	defaultPupilMM = 7.0

	// Distance of a scleral incision behind the limbus. Source: Singh, Saluja, Ten
	// pearls for mastering small incision cataract surgery, eOphtha 2021 (2 mm).
	defaultFromLimbusMM = 2.0

	// Rise of a frown or chevron as a share of its chord. No published figure was
	// found for it; a quarter is a drawing convention (assumption).
	riseOfChord = 0.25

	// Width of a side port. Source: 1.0-1.5 mm is common practice, no source.
	defaultSidePortMM = 1.0

	// Overall diameter of an implant for the capsular bag. Source: 12.0-12.5 mm
	// fits the bag, Nagamoto, Eguchi, J Cataract Refract Surg 1997;23:1254-9.
	defaultOverallMM = 12.5

	// Length of the short cut at each end of a straight incision with side cuts
	// (assumption, for the drawing only).
	sideCutMM = 1.0

	// How much wider the inner opening is than the incision when only the tunnel's
	// length is recorded: 1 mm on each side. Source: as defaultFromLimbusMM.
	innerWiderMM = 2.0

	// Notches drawn for a can-opener opening whose nicks were not counted
	// (assumption, for the drawing only).
	defaultNicks = 60

	maxPorts   = 6
	maxNicks   = 200
	maxSutures = 8
)
