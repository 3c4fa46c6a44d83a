package align

// Prefix is the cost of the best alignment of the first i and the first j
// elements: the matrix a textbook prints.
func (t *Table) Prefix(i, j int) float64 { return t.prefix[t.at(i, j)] }
