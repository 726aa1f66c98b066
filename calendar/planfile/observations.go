package planfile

import (
	"io"
	"slices"
	"strings"

	"treewhen/calendar"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// MaxObservations is how large an observations file may be, in bytes.
const MaxObservations = 64 << 20

// Observation is a row of an observations file: the site and the species are as the user wrote them.
type Observation struct {
	Line          int
	Date          civil.Date
	Site, Species string
	Phase         phenology.Phase
	HasPhase      bool            // a row that has a crop may have no phase
	Undated       bool            // the phase came before, has not come yet, or nobody looked: it tells no date
	Stage         phenology.Stage // "" if the row has none
	Crop          calendar.Crop   // "" if the row has none
	Note          string
}

var observationsTable = csvTable{
	what: "an observations file", largest: MaxObservations, must: 4,
	columns: []string{"date", "site", "species", "phase", "stage", "crop", "note", "seen"},
	wants:   "date,site,species,phase", optional: " and if wanted note",
}

// ReadObservations reads an observations file of [MaxObservations] bytes at most. Everything wrong with it comes back
// at once, as a [problem.List].
func ReadObservations(r io.Reader, name string) (list []Observation, err error) {
	f := observationsTable.open(r, name)
	for f.next() {
		list = append(list, readObservation(f))
	}
	return list, f.err()
}

// readObservation reads a row.
func readObservation(f *csvFile) Observation {
	f.required("date", "site", "species")
	if f.of("crop") == "" {
		f.required("phase")
	}
	o := Observation{
		Line: f.line, Date: f.date(), Site: strings.Clone(f.of("site")), Species: strings.Clone(f.of("species")),
		Note: strings.Clone(f.of("note")),
	}
	if text := f.of("phase"); text != "" {
		var err error
		if o.Phase, err = phenology.ParsePhase(text); err != nil {
			f.bad("phase", "%v", err)
		}
		o.HasPhase = err == nil
	}
	if text := f.of("stage"); text != "" {
		o.Stage = phenology.Stage(strings.ToLower(text))
		switch {
		case !slices.Contains(phenology.Stages(), o.Stage):
			f.bad("stage", "found %q, want first-bud, first-leaf or half", text)
		case o.Stage != phenology.StageHalf && o.HasPhase && o.Phase != phenology.BudBreak:
			f.bad("stage", "found %q with %s, want it with %s alone", text, o.Phase, phenology.BudBreak)
		}
	}
	// Under seen stands what was found of a phase that was looked for on the day. Without it the date is the day on
	// which the phase came.
	switch text := strings.ToLower(f.of("seen")); text {
	case "", "just": // it came on that day, or a day or two before
	case "before", "not-yet", "?": // it came earlier, has not come yet, or nobody has looked
		o.Undated = true
	default:
		f.bad("seen", "found %q, want just (it came within a day or two), before, not-yet or ?", text)
	}
	if text := f.of("crop"); text != "" {
		o.Crop = calendar.Crop(strings.ToLower(text))
		if !slices.Contains(calendar.Crops(), o.Crop) {
			f.bad("crop", "found %q, want none, light, good or bumper", text)
		}
	}
	return o
}
