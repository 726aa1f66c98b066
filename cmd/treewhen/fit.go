package main

import (
	"context"
	"fmt"
	"io"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"treewhen/phenology"
	"treewhen/phenology/fit"
	"treewhen/profiles"
)

var fitCommand = command{
	name: "fit", args: "[PLAN] --species NAME [options]",
	summary: "fits a species' models to what was seen, and prints a profile to use",
	about: "The profile goes to standard output: the one in use, with the dating of every phase that could\n" +
		"be fitted. Put it into a folder of your own and name that with --profiles. How well it did on\n" +
		"years left out of the fit, against the mean date of the other years and against the profile in\n" +
		"use, goes to standard error.\n\n" +
		"Bases and starts are not chosen on these scores: with ten or twenty years that follows the\n" +
		"noise. Several models are fitted by their requirement alone, and their dates averaged.",
	setup: func(fs *pflag.FlagSet) action {
		var o inputOptions
		var bank, out, into string
		o.addTo(fs)
		fs.StringVar(&bank, "models", "panel", "`panel`: thermal time from four starts; or wide: other bases too,\nand models with chilling")
		fs.StringVar(&out, "out", "", "write the profile to this `FILE` instead of standard output")
		fs.StringVar(&into, "into", "", "write a profile for every species that could be fitted into this `DIR`")
		return func(ctx context.Context, p *program, args []string) error {
			if err := oneOf("--models", bank, "panel", "wide"); err != nil {
				return err
			}
			if out != "" && into != "" {
				return usagef("found --out and --into, want one of them")
			}
			models := fit.Panel()
			if bank == "wide" {
				models = fit.Wide()
			}
			in, err := p.load(args, &o)
			if err != nil {
				return err
			}
			f := &fitter{in: in, p: p, bank: models, season: o.season}
			if o.profiles != "" {
				f.folder = os.DirFS(o.profiles)
			}
			return f.run(ctx, out, into)
		}
	},
}

// fitter fits the species of a plan.
type fitter struct {
	in     *inputs
	p      *program
	bank   fit.Bank
	folder fs.FS
	season int
}

// fitted is a species with what its phases gave.
type fitted struct {
	species *phenology.Species
	place   *place
	phases  []fittedPhase
}

type fittedPhase struct {
	record *phenology.PhaseRecord
	result *fit.Result // nil where it could not be fitted
	err    error
}

func (f *fitter) run(ctx context.Context, out, into string) error {
	if f.season != 0 {
		return usagef("fit uses all seasons; --season says nothing to it")
	}
	list, err := f.fitAll(ctx)
	if err != nil {
		return err
	}
	if len(list) == 0 {
		return fmt.Errorf("nothing to fit: the plan's observations have no phase of a chosen species at a site with temperatures")
	}
	f.tell(list)
	list = slices.DeleteFunc(list, func(one fitted) bool {
		return !slices.ContainsFunc(one.phases, func(ph fittedPhase) bool { return ph.result != nil })
	})
	if len(list) == 0 {
		return fmt.Errorf("no phase could be fitted: the reasons are above")
	}
	if into != "" {
		return f.writeInto(into, list)
	}
	if len(list) > 1 {
		var names []string
		for _, one := range list {
			names = append(names, one.species.ID+" at "+one.place.site.ID)
		}
		return usageError{text: fmt.Sprintf("found %d fits (%s), want one: a profile describes one species", len(list), listNames(names)),
			hint: "choose with --species and --site, or write all with --into DIR"}
	}
	return f.p.output(out, f.in.files, func(w io.Writer) error {
		text, err := f.profile(list[0])
		if err != nil {
			return err
		}
		_, err = io.WriteString(w, text)
		return err
	})
}

func listNames(names []string) string { return list(names, 6) }

func (f *fitter) fitAll(ctx context.Context) ([]fitted, error) {
	var all []fitted
	for _, pl := range f.in.places {
		if len(pl.sightings) == 0 {
			continue
		}
		outlook := f.in.outlook(pl)
		if outlook.Temps == nil {
			continue
		}
		progress := f.p.progress(pl.site.ID + ": fit")
		for i, sp := range pl.species {
			if err := ctx.Err(); err != nil {
				return nil, err
			}
			progress.update(i, len(pl.species))
			one := fitted{species: sp, place: pl}
			for _, r := range sp.Phases {
				var years []fit.Year
				for _, s := range outlook.SeenSeasons(sp, r) {
					if day, ok := outlook.SeenOn(sp, r, s); ok {
						years = append(years, fit.Year{Season: s, Day: day})
					}
				}
				if len(years) == 0 {
					continue
				}
				ph := fittedPhase{record: r}
				ph.result, ph.err = fit.Fit(outlook.Temps, r.Phase, f.bank, years)
				if ph.err == nil && r.Dating != nil {
					ph.result.Profile = fit.Score(outlook.Temps, r.Dating, years)
				}
				if ph.err == nil && ph.result.RMSE >= ph.result.MeanRMSE {
					ph.err = fmt.Errorf("no better than the mean date: %.1f days against %.1f on years left out", ph.result.RMSE, ph.result.MeanRMSE)
					ph.result = nil
				}
				one.phases = append(one.phases, ph)
			}
			if len(one.phases) > 0 {
				all = append(all, one)
			}
		}
		progress.end()
	}
	return all, nil
}

// tell says on standard error how well each phase did.
func (f *fitter) tell(list []fitted) {
	f.p.say("models: %s; errors in days on years left out of the fit", f.bank.About)
	for _, one := range list {
		for _, ph := range one.phases {
			name := fmt.Sprintf("%s: %s: %s", one.place.site.ID, one.species.ID, ph.record.Phase)
			if ph.result == nil {
				f.p.say("%s: not fitted: %v", name, ph.err)
				continue
			}
			r := ph.result
			text := fmt.Sprintf("%.1f; the mean date of the other years %.1f", r.RMSE, r.MeanRMSE)
			if !math.IsNaN(r.Profile) {
				text += fmt.Sprintf("; the profile in use, as it is, %.1f", r.Profile)
				if r.Profile < r.RMSE {
					text += ": nothing is gained by this fit"
				}
			}
			f.p.say("%s: %s: %s", name, plural(r.Years, "year"), text)
			for _, d := range slices.Compact(r.Dropped) {
				f.p.say("%s: left out %s", name, d)
			}
		}
	}
}

const fitSource = "own-fit"

// profile returns a species' profile with what was fitted in the place of what it had.
func (f *fitter) profile(one fitted) (string, error) {
	text, err := profiles.Text(f.folder, one.species.ID)
	if err != nil {
		return "", plain(err)
	}
	site := one.place.site
	var revisions []profiles.Revision
	first, last := math.MaxInt, 0
	for _, ph := range one.phases {
		r := ph.result
		if r == nil {
			continue
		}
		source := phenology.Source{Key: fitSource}
		from, to := r.LeftOut[0].Season.Year, r.LeftOut[len(r.LeftOut)-1].Season.Year
		first, last = min(first, from), max(last, to)
		revisions = append(revisions, profiles.Revision{
			Phase: ph.record.Phase,
			Dating: &phenology.Dating{Models: r.Models, Residual: r.Residual, Source: source,
				Score: &phenology.Score{Years: r.Years, RMSE: r.RMSE, MeanRMSE: r.MeanRMSE}},
			Reference: &phenology.Reference{Place: site.Name, Latitude: site.Latitude, Longitude: site.Longitude, Elevation: site.Elevation,
				Day: r.Mean, Spread: max(r.Spread, 0.1), Years: fmt.Sprintf("%d-%d", from, to), Source: source},
		})
	}
	text = profiles.Revise(text, revisions...)
	citation := fmt.Sprintf("fitted by treewhen to the plan's observations at %s, %d to %d, and its daily temperatures there; errors of each year left out in turn",
		strings.Join(strings.Fields(site.Name), " "), first, last)
	if f.in.isDemo {
		citation += "; all of it invented"
	}
	text = profiles.AddSource(text, phenology.Source{Key: fitSource, Citation: citation, Mark: phenology.MarkFitted})
	if _, err := profiles.Decode(strings.NewReader(text), one.species.ID+".yaml"); err != nil && f.folder == nil {
		return "", fmt.Errorf("the fitted profile does not read: %w", err)
	}
	return text, nil
}

// writeInto writes a profile a species. Several sites' fits of one species cannot stand in one profile.
func (f *fitter) writeInto(dir string, list []fitted) error {
	texts := map[string]string{}
	for _, one := range list {
		if _, twice := texts[one.species.ID]; twice {
			return usageError{text: fmt.Sprintf("%s was fitted at several sites, want one", one.species.ID), hint: "choose with --site"}
		}
		text, err := f.profile(one)
		if err != nil {
			return err
		}
		texts[one.species.ID] = text
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return plain(err)
	}
	for _, one := range list {
		if err := replaceFile(filepath.Join(dir, one.species.ID+".yaml"), []byte(texts[one.species.ID])); err != nil {
			return err
		}
	}
	f.p.say("wrote %s into %s", plural(len(list), "profile"), dir)
	return nil
}
