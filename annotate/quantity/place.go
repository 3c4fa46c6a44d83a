package quantity

import (
	"errors"
	"fmt"
	"math"
)

// Meridian is the direction a place names, in degrees [0, 360) of the standard
// axis notation: 0 at the observer's right when facing the patient, counter-
// clockwise, the same for both eyes. It reads degrees, a clock hour (3 o'clock is 0)
// and superior, superotemporal, temporal, inferotemporal, inferior, inferonasal,
// nasal, superonasal; the last eight but superior and inferior need the eye, "right"
// or "left". Of a range the middle counts.
func Meridian(q Quantity, eye string) (float64, error) {
	if q.Kind == Word {
		return namedMeridian(q.Word, eye)
	}
	if q.Low == nil || q.High == nil {
		return 0, errors.New("the place has an open end")
	}
	middle := (*q.Low + *q.High) / 2
	switch {
	case q.Unit == Clock:
		return math.Mod(90-30*middle+360, 360), nil
	case q.Unit != Degree && q.Unit != "":
		return 0, fmt.Errorf("%s is no unit of a place", q.Unit)
	case middle < 0 || middle > 360:
		return 0, fmt.Errorf("%g degrees are outside 0 to 360", middle)
	}
	return math.Mod(middle, 360), nil
}

// namedMeridian turns names: facing the patient the temple of a right eye is at the
// observer's left.
func namedMeridian(word, eye string) (float64, error) {
	right, ok := map[string]float64{
		"superior": 90, "superotemporal": 135, "temporal": 180, "inferotemporal": 225,
		"inferior": 270, "inferonasal": 315, "nasal": 0, "superonasal": 45,
	}[word]
	switch {
	case !ok:
		return 0, fmt.Errorf("%q names no place on the limbus", word)
	case word == "superior" || word == "inferior" || eye == "right":
		return right, nil
	case eye == "left":
		return math.Mod(180-right+360, 360), nil
	}
	return 0, fmt.Errorf("%s lies on different sides in the two eyes and the eye is not known", word)
}
