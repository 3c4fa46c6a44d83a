package ranges

import "sideport/timeline/source"

// Load reads the embedded data afresh.
func Load(report source.Report) *Table { return load(report) }

// Holds evaluates a condition.
func (c Condition) Holds(facts Facts) Truth { return c.holds(facts) }

// Key identifies a row.
func (r *Row) Key() string { return r.key() }

// Count is how specific a row is.
func (r *Row) Count() int { return r.count() }
