package placing

// AtMost is the bound that a pair of unknown labels is first held against.
func AtMost(a, b string) float64 {
	x, y := wordsOf(a), wordsOf(b)
	return x.atMost(&y)
}
