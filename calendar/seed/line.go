package seed

import "treewhen/calendar"

// What a line of text shows is the same for most entries of a task, and is kept once: half a million entries have it.
var (
	lineCollection = &Collection{}
	lineScout      = &Scout{Of: lineCollection}
	lineChecks     = [...]*Check{{Number: 1, Of: lineCollection}, {Number: 2, Of: lineCollection}}
)

// Line returns what a line of text shows: what law says.
func (f *Collection) Line() calendar.Facts {
	if f.Law == nil {
		return lineCollection
	}
	return &Collection{MayForbid: f.MayForbid, Law: f.Law}
}

// Line returns what a line of text shows: that the crop is looked at.
func (f *Scout) Line() calendar.Facts { return lineScout }

// Line returns what a line of text shows: which check it is.
func (f *Check) Line() calendar.Facts { return lineChecks[f.Number-1] }
