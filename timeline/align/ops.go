package align

// Op is one operation of an alignment of a list X with a list Y.
type Op byte

// The operations. Pair takes the next element of both lists, SkipX leaves the
// next element of X alone, SkipY the next of Y.
const (
	Pair  Op = '.'
	SkipX Op = 'X'
	SkipY Op = 'Y'
)

// Ops is a whole alignment, in order: it holds as many Pair and SkipX as X has
// elements and as many Pair and SkipY as Y has.
type Ops []Op

// String writes one letter an operation: "..X.Y".
func (o Ops) String() string {
	b := make([]byte, len(o))
	for i, op := range o {
		b[i] = byte(op)
	}
	return string(b)
}

// Pairs returns the matched indices [x, y], strictly increasing in both.
func (o Ops) Pairs() [][2]int {
	var out [][2]int
	i, j := 0, 0
	for _, op := range o {
		switch op {
		case Pair:
			out = append(out, [2]int{i, j})
			i, j = i+1, j+1
		case SkipX:
			i++
		case SkipY:
			j++
		}
	}
	return out
}
