package figure_test

import (
	"fmt"
	"os"

	"sideport/export/figure"
)

// A frown of 6.5 mm, 2 mm behind the limbus: what the drawing shows and how each
// size is known.
func Example() {
	eye := figure.Eye{
		Side: figure.Left,
		Incision: figure.Incision{
			Shape:      "frown",
			Length:     figure.Length{MM: 6.5, Basis: figure.Measured},
			FromLimbus: figure.Length{MM: 2, Basis: figure.Measured},
			Site:       figure.Angle{Degrees: 90, Basis: figure.Recorded},
		},
		Nucleus: figure.Length{MM: 7.5, Basis: figure.Estimated},
	}
	for _, it := range eye.Parts(figure.Stage{}) {
		fmt.Printf("%d %s: %s, %s\n", it.Number, it.Name, it.Size, it.Basis)
	}
	f, err := os.CreateTemp("", "eye-*.svg")
	if err != nil {
		fmt.Println(err)
		return
	}
	defer os.Remove(f.Name())
	defer f.Close()
	fmt.Println(figure.EyeSVG(f, eye, figure.Options{Width: 640, Standalone: true}))
	// Output:
	// 1 limbus: 11.7 mm white to white, assumed
	// 2 pupil: 7.0 mm, assumed
	// 3 frown incision: 6.5 mm from end to end, 7.53 mm along the cut, 2.0 mm behind the limbus, at 90°, measured
	// 4 nucleus: 7.5 mm across, estimated
	// <nil>
}
