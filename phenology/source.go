package phenology

// Mark says how far a source has been followed.
type Mark string

// The marks a source can have.
const (
	MarkSeen     Mark = "seen"            // read in a copy of the source
	MarkMemory   Mark = "memory"          // recalled; the source was not at hand
	MarkPractice Mark = "common practice" // a fact of the trade without a source
	MarkComputed Mark = "computed"        // worked out from a published formula or from open data
	MarkFitted   Mark = "fitted"          // parameters fitted to open observations
)

// Source is where a figure comes from.
type Source struct {
	Key      string // short name, as profiles refer to it
	Citation string // author, year, title, table or page
	Mark     Mark
}

// The two sources that need no entry in a bibliography.
var (
	FromMemory     = Source{Key: "memory", Citation: "from memory", Mark: MarkMemory}
	CommonPractice = Source{Key: "common-practice", Citation: "common practice, no source", Mark: MarkPractice}
)

// String returns the citation, saying where it was only recalled.
func (s Source) String() string {
	switch {
	case s.Mark == MarkMemory && s.Key != FromMemory.Key:
		return s.Citation + " (from memory)"
	case s.Mark == MarkPractice && s.Key != CommonPractice.Key:
		return s.Citation + " (common practice)"
	}
	return s.Citation
}

// Statement is a sentence with its source.
type Statement struct {
	Text   string
	Source Source
}

// Quantity is a figure or a range of figures with its source. Low equals High where the source gives one figure.
type Quantity struct {
	Low, High float64 // in the unit that stands at the field which holds the quantity
	Source    Source
}
