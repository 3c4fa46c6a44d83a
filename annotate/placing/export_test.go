package placing

// Likeness is how alike two texts are as they are spelt.
func Likeness(a, b string) float64 {
	x, y := wordsOf(a), wordsOf(b)
	return x.like(&y)
}
