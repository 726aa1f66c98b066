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

// ReadObservations reads an observations file of [MaxObservations] bytes at most. Everything wrong with it comes back
// at once, as a [problem.List].
func ReadObservations(r io.Reader, name string) ([]Observation, error) {
	var list []Observation
	err := observationsTable.read(r, name, func(c cells) {
		o := Observation{Line: c.line}
		for _, column := range columns[:4] {
			if c.of(column) == "" && !(column == "phase" && c.of("crop") != "") {
				c.wrong(column, "found nothing, want a value in every row")
			}
		}
		var err error
		if text := c.of("date"); text != "" {
			if o.Date, err = civil.Parse(text); err != nil {
				c.wrong("date", "%v", err)
			}
		}
		if text := c.of("phase"); text != "" {
			if o.Phase, err = phenology.ParsePhase(text); err != nil {
				c.wrong("phase", "%v", err)
			}
			o.HasPhase = err == nil
		}
		if text := c.of("stage"); text != "" {
			o.Stage = phenology.Stage(strings.ToLower(text))
			switch {
			case !slices.Contains(phenology.Stages(), o.Stage):
				c.wrong("stage", "found %q, want first-bud, first-leaf or half", text)
			case o.Stage != phenology.StageHalf && o.HasPhase && o.Phase != phenology.BudBreak:
				c.wrong("stage", "found %q with %s, want it with %s alone", text, o.Phase, phenology.BudBreak)
			}
		}
		switch text := strings.ToLower(c.of("seen")); text {
		case "", SeenJust:
		case SeenBefore, SeenNotYet, SeenUnknown:
			o.Undated = true
		default:
			c.wrong("seen", "found %q, want just (it came within a day or two), before, not-yet or ?", text)
		}
		if text := c.of("crop"); text != "" {
			o.Crop = calendar.Crop(strings.ToLower(text))
			if !slices.Contains(calendar.Crops(), o.Crop) {
				c.wrong("crop", "found %q, want none, light, good or bumper", text)
			}
		}
		o.Site, o.Species, o.Note = strings.Clone(c.of("site")), strings.Clone(c.of("species")),
			strings.Clone(c.of("note"))
		list = append(list, o)
	})
	if err != nil {
		return nil, err
	}
	return list, nil
}

var observationsTable = csvTable{what: "an observations file", columns: columns, wanted: 4, largest: MaxObservations,
	wants: "date,site,species,phase", optional: " and if wanted note"}

var columns = []string{"date", "site", "species", "phase", "stage", "crop", "note", "seen"}

// What a row may say under seen, for a phase that was looked for on a day and not for the day on which it came. Without
// it the date is the day on which the phase came.
const (
	SeenJust    = "just"    // it came on that day, or a day or two before
	SeenBefore  = "before"  // it came earlier, nobody knows when
	SeenNotYet  = "not-yet" // it has not come yet
	SeenUnknown = "?"       // nobody has looked
)
