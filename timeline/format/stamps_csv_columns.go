package format

import "sideport/timeline/timecode"

// textWords are the words that the column of what was noted goes by, in lower case.
// Common practice, no source.
var textWords = []string{"text", "note", "notes", "label", "event", "marker", "step", "title", "name", "comment", "remark", "description"}

// csvColumns says which columns hold what; -1 is none.
type csvColumns struct {
	comma  byte
	header bool
	timeColumns
	text, rate int
	stated     timecode.Rate // what the header or a remark says of the rate; zero for nothing
}

// headerColumns reads the column names; time is -1 when the cells are no header.
func headerColumns(cells []csvCell) csvColumns {
	names := columnNames(cells)
	return csvColumns{
		header: true, timeColumns: columnsOfTimes(names), stated: headerRate(names),
		text: columnCalled(names, textWords), rate: columnCalled(names, rateWords),
	}
}
