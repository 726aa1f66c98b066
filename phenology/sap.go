package phenology

// Sap is whether and how a species is tapped.
type Sap struct {
	Tapped       TapPractice
	Note         string
	SugarPercent *Quantity // of fresh sap, percent by weight
	Run          *RunRule  // nil if it is not tapped for freeze and thaw sap
	Source       Source
}

// TapPractice says whether a species is tapped.
type TapPractice string

// How far a species is tapped.
const (
	TappedCommonly  TapPractice = "commonly"
	TappedSometimes TapPractice = "sometimes"
	TappedNever     TapPractice = "no"
)

// RunRule is what makes sap run: a freeze, then a thaw. A day counts fully when the night before falls well below
// MinBelow and the day rises well above MaxAbove.
type RunRule struct {
	MinBelow float64 // degrees Celsius
	MaxAbove float64 // degrees Celsius
	Source   Source
}
