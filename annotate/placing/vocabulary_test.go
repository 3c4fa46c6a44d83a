package placing_test

import (
	"sideport/annotate/placing"
	"sideport/annotate/taxonomy"
)

// The taxonomy answers what placing asks, without an adapter.
var _ placing.Vocabulary = (*taxonomy.Procedure)(nil)
