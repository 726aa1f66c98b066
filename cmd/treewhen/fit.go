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

	"treewhen/calendar/inputs"
	"treewhen/calendar/phrase"
	"treewhen/calendar/regular"
	"treewhen/calendar/staging"
	"treewhen/phenology"
	"treewhen/phenology/fit"
	"treewhen/phenology/problem"
	"treewhen/profiles"
	"treewhen/profiles/ownfit"
)

var fitCommand = command{
	name: "fit", args: "[PLAN] --species NAME [options]",
	summary: "finds the models that what was seen supports, and prints a profile to use",
	about: "The profile goes to standard output: the one in use, with the dating of every phase that could\n" +
		"be fitted. Put it into a folder of your own and name that with --profiles. What was tried, how\n" +
		"well each did, and why one was chosen goes to standard error; of many species, the outcome.\n\n" +
		"Every error is of years left out: for each year, base, start and all else are chosen and the\n" +
		"requirement is set without it, so what choosing costs is in the error. A model takes the place of\n" +
		"a simpler one only if it is better by more than the standard error of the difference. The\n" +
		"simplest is the mean date; then the panel, four thermal times whose dates are averaged, in which\n" +
		"nothing is chosen; then models whose base and start all species seen at the site share; then\n" +
		"models of the species' own. With ten or twenty years the panel mostly stays: what would have\n" +
		"fitted better follows the noise. Ripe fruit is tried by days and by degree-days from flowering,\n" +
		"as that was seen or follows from temperatures, and by thermal time.",
	setup: func(fs *pflag.FlagSet) action {
		var o inputOptions
		var models, out, into string
		o.addTo(fs)
		addWord(fs, &models, "models", "search",
			"`search`: every form of model, with its bases and starts; or panel: four thermal times, nothing chosen",
			"search", "panel")
		fs.StringVar(&out, "out", "", "write the profile to this `FILE` instead of standard output")
		fs.StringVar(&into, "into", "", "write a profile for every species that could be fitted into this `DIR`")
		return func(ctx context.Context, p *program, args []string) error {
			if out != "" && into != "" {
				return problem.Usagef("found --out and --into, want one of them")
			}
			if o.Season != 0 {
				return problem.Usagef("fit uses all seasons; --season says nothing to it")
			}
			in, err := p.load(ctx, args, &o)
			if err != nil {
				return err
			}
			f := &fitter{in: in, p: p, search: models == "search"}
			if o.Profiles != "" {
				f.folder = regular.Folder(o.Profiles)
			}
			return f.run(ctx, out, into)
		}
	},
}

// fitter fits the species of a plan.
type fitter struct {
	in     *inputs.Inputs
	p      *program
	search bool
	folder fs.FS
}

// fitted is a species with what its phases gave at a site.
type fitted struct {
	fit.SpeciesFit
	place *inputs.Place
}

func (f *fitter) run(ctx context.Context, out, into string) error {
	list, err := f.fitAll(ctx)
	if err != nil {
		return err
	}
	if len(list) == 0 {
		return fmt.Errorf("nothing to fit: the plan's observations have no phase of a chosen species at a site with " +
			"temperatures")
	}
	f.tell(list)
	list = slices.DeleteFunc(list, func(one fitted) bool {
		return !slices.ContainsFunc(one.Phases, func(ph fit.PhaseFit) bool { return ph.Result != nil })
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
			names = append(names, one.Species.ID+" at "+one.place.Site.ID)
		}
		return problem.Usage{
			Text: fmt.Sprintf("found %d fits (%s), want one: a profile describes one species", len(list),
				problem.Names(names, 6)),
			Hint: "choose with --species and --site, or write all with --into DIR",
		}
	}
	return f.p.output(ctx, out, f.in.Files, func(w io.Writer) error {
		text, err := f.profile(list[0])
		if err != nil {
			return err
		}
		_, err = io.WriteString(w, text)
		return err
	})
}

// profile returns a species' profile with what was fitted in the place of what it had.
func (f *fitter) profile(one fitted) (string, error) {
	return ownfit.Profile(f.folder, one.SpeciesFit, one.place.Site.Site, f.in.Demo)
}

// fitAll fits what was seen at every site.
func (f *fitter) fitAll(ctx context.Context) (all []fitted, err error) {
	for _, pl := range f.in.Places {
		if len(pl.Sightings) == 0 {
			continue
		}
		watch := f.p.progress(pl.Site.ID + ": fit: series of dates")
		list, err := fit.AtSite(ctx, f.in.Outlook(pl), pl.Species, f.search, watch.update)
		watch.end()
		if err == nil {
			err = f.in.Err()
		}
		if err != nil {
			return nil, err
		}
		for _, one := range list {
			all = append(all, fitted{one, pl})
		}
	}
	return all, nil
}

// mostTables is for how many phases all that was tried is told; of more, the outcome alone.
const mostTables = 8

// tell says on standard error how well each phase did.
func (f *fitter) tell(list []fitted) {
	f.p.say("errors in days, on years left out of all that was chosen and fitted")
	tables := 0
	for _, one := range list {
		tables += len(one.Phases)
	}
	for _, one := range list {
		for _, ph := range one.Phases {
			name := fmt.Sprintf("%s: %s: %s", one.place.Site.ID, one.Species.ID, ph.Record.Phase)
			if ph.Result == nil {
				f.p.say("%s: not fitted: %v", name, ph.Err)
				continue
			}
			f.p.say("%s: %s", name, outcome(ph))
			if tables <= mostTables {
				writeCandidates(f.p.stderr, ph.Result.Rows)
			}
			for _, d := range slices.Compact(ph.Result.Dropped) {
				f.p.say("%s: left out %s", name, d)
			}
		}
	}
	if f.search && tables > mostTables {
		f.p.say("hint: choose one with --species to see all that was tried")
	}
}

// outcome says how well a phase can be dated.
func outcome(ph fit.PhaseFit) string {
	r := ph.Result
	text := fmt.Sprintf("%s: %.1f; the mean date of the other years %.1f", phrase.Count(r.Years, "year"), r.RMSE,
		r.MeanRMSE)
	if ph.MeanDate() {
		text = fmt.Sprintf("%s: no model is better than the mean date: %.1f", phrase.Count(r.Years, "year"), r.MeanRMSE)
	}
	if !math.IsNaN(r.Profile) {
		text += fmt.Sprintf("; the profile in use, as it is, %.1f", r.Profile)
		switch {
		case ph.Here:
			text += " (it may have been fitted to these very years)"
		case ph.KeepsDating() && ph.MeanDate():
			text += ", and stays"
		case r.Profile < r.RMSE:
			text += ": nothing is gained by this fit"
		}
	}
	return text
}

// writeCandidates writes what was tried, each with its error, its parameters and why it was chosen or not.
func writeCandidates(w io.Writer, rows []fit.Row) {
	if len(rows) == 0 {
		return
	}
	var b strings.Builder
	b.WriteString("    error  model\n")
	for _, r := range rows {
		mark := " "
		if r.Chosen {
			mark = "*"
		}
		name := r.Name
		if r.Shared > 0 {
			name += fmt.Sprintf(", chosen for %d species together", r.Shared)
		}
		if len(r.Models) == 1 {
			name += ": " + parameters(r.Models[0])
		}
		why := r.Why
		if len(r.Odd) > 0 {
			why += "; an odd choice: " + strings.Join(r.Odd, ", ")
		}
		fmt.Fprintf(&b, "  %s %5s  ", mark, days(r.RMSE))
		b.WriteString(strings.Join(wrap(name, helpWidth-11), "\n"+strings.Repeat(" ", 11)) + "\n")
		for _, line := range wrap(why, helpWidth-13) {
			b.WriteString(strings.Repeat(" ", 13) + line + "\n")
		}
	}
	io.WriteString(w, b.String())
}

// parameters is a model as a profile has it, without its kind.
func parameters(m phenology.Model) string {
	_, text, _ := strings.Cut(profiles.ModelText(m), ", ")
	return text
}

// writeInto writes a profile a species. Several sites' fits of one species cannot stand in one profile.
func (f *fitter) writeInto(dir string, list []fitted) error {
	texts := map[string]string{}
	for _, one := range list {
		if _, twice := texts[one.Species.ID]; twice {
			return problem.Usage{
				Text: fmt.Sprintf("%s was fitted at several sites, want one", one.Species.ID),
				Hint: "choose with --site",
			}
		}
		text, err := f.profile(one)
		if err != nil {
			return err
		}
		texts[one.Species.ID] = text
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return problem.OfFile(err)
	}
	var files staging.Files
	defer files.Drop()
	for _, one := range list {
		if err := files.Add(filepath.Join(dir, one.Species.ID+".yaml"), []byte(texts[one.Species.ID])); err != nil {
			return err
		}
	}
	if err := files.Put(); err != nil {
		return err
	}
	f.p.say("wrote %s into %s", phrase.Count(len(list), "profile"), dir)
	return nil
}
