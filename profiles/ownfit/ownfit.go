// Package ownfit answers: what does a species' profile say once its models are fitted to one's own dates?
package ownfit

import (
	"fmt"
	"io/fs"
	"math"
	"slices"
	"strings"

	"treewhen/phenology"
	"treewhen/phenology/fit"
	"treewhen/phenology/problem"
	"treewhen/profiles"
)

const (
	sourceKey    = "own-fit"
	leastWritten = 0.1 // days: a profile has errors to a tenth, and takes none of 0
)

// Profile returns the text of a species' profile with what was fitted at a site in the place of what it had. The
// profile is that of a folder of one's own, nil for none, else the built-in one. A phase that no model dates better
// than the mean date keeps the profile's own models where they do. Invented says that the dates fitted to are nobody's.
func Profile(folder fs.FS, one fit.SpeciesFit, site phenology.Site, invented bool) (string, error) {
	text, err := profiles.Text(folder, one.Species.ID)
	if err != nil {
		return "", problem.OfFile(err)
	}
	var revisions []profiles.Revision
	first, last := math.MaxInt, 0
	for _, ph := range one.Phases {
		r := ph.Result
		if r == nil {
			continue
		}
		source := phenology.Source{Key: sourceKey}
		first, last = min(first, r.From), max(last, r.To)
		revision := profiles.Revision{
			Phase: ph.Record.Phase,
			Reference: &phenology.Reference{
				Place: site.Name, Latitude: site.Latitude, Longitude: site.Longitude, Elevation: site.Elevation,
				Day: r.Mean, Spread: max(r.Spread, leastWritten), Years: fmt.Sprintf("%d-%d", r.From, r.To),
				Source: source,
			},
		}
		switch {
		case ph.MeanDate() && ph.KeepsDating():
			// The first place of reference, by which models start, is the site now.
			if here := ph.Record.ModelAt(site); !slices.Equal(here.Models, ph.Record.Model.Models) {
				revision.Dating = here
			}
		case ph.MeanDate():
			revision.Undate = true
		default:
			revision.Dating = &phenology.PhaseModel{
				Models: r.Models, Residual: r.Residual, Source: source,
				Score: &phenology.Score{
					Years: r.Years, RMSE: max(r.RMSE, leastWritten), MeanRMSE: max(r.MeanRMSE, leastWritten),
				},
			}
		}
		revisions = append(revisions, revision)
	}
	text = profiles.Revise(text, revisions...)
	citation := fmt.Sprintf("fitted by treewhen to the plan's observations at %s, %d to %d, and its daily "+
		"temperatures there; errors of each year left out in turn",
		strings.Join(strings.Fields(site.Name), " "), first, last)
	if invented {
		citation += "; all of it invented"
	}
	text = profiles.AddSource(text, phenology.Source{Key: sourceKey, Citation: citation, Mark: phenology.MarkFitted})
	if _, err := profiles.Decode(strings.NewReader(text), one.Species.ID+".yaml"); err != nil && folder == nil {
		return "", fmt.Errorf("the fitted profile does not read: %w", err)
	}
	return text, nil
}
