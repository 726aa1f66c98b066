package phrase

// Speech is how a plan speaks to people: in which units and which language. It changes words alone: no date, no
// identifier and nothing that is decided or written for programs to read. The zero Speech is English, with temperatures
// in degrees Celsius and other measures in the units that the trade gives them in, both where it gives both.
type Speech struct {
	Units
	Language
}

// Language is one that a plan can be told in, by its code in ISO 639-1. The zero Language is English.
type Language string

// The languages.
const (
	English Language = "en"
	French  Language = "fr"
)
