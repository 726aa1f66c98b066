package phenology

// Model dates a phase in one season. The models are [ThermalTime] and [Lag].
type Model interface {
	// Kind is the model's name in a profile.
	Kind() string
}

// ForcingMethod is how a day's warmth above a base is reckoned from its minimum and maximum.
type ForcingMethod string

// The ways of reckoning a day's warmth.
const (
	SineForcing    ForcingMethod = "sine"    // integrate a sine through minimum and maximum over the base
	AverageForcing ForcingMethod = "average" // mean of minimum and maximum, less the base, not below 0
)

// ThermalTime is the thermal-time model: the phase comes when degree-days summed from a start day reach a requirement.
// With DayLengthExponent k above 0 each day's degree-days are weighted by (day length / 12 h)^k.
type ThermalTime struct {
	Start             int     // day of the growing year on which summing begins; 1 is 1 January in the north
	Base              float64 // degrees Celsius
	Method            ForcingMethod
	DayLengthExponent float64
	Requirement       float64 // degree-days
}

// Kind returns "thermal-time".
func (ThermalTime) Kind() string { return "thermal-time" }

// Lag is a number of days after another phase.
type Lag struct {
	After  Phase
	Days   float64
	Spread float64 // standard deviation, days
}

// Kind returns "lag".
func (Lag) Kind() string { return "lag" }
