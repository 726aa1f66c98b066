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

	"treewhen/calendar/staging"
	"treewhen/phenology"
	"treewhen/phenology/fit"
	"treewhen/phenology/hindcast"
	"treewhen/phenology/problem"
	"treewhen/profiles"
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
		"fitted better follows the noise.",
	setup: func(fs *pflag.FlagSet) action {
		var o inputOptions
		var models, out, into string
		o.addTo(fs)
		fs.StringVar(&models, "models", "search", "`search`: every form of model, with its bases and starts; or panel: four thermal times, nothing chosen")
		fs.StringVar(&out, "out", "", "write the profile to this `FILE` instead of standard output")
		fs.StringVar(&into, "into", "", "write a profile for every species that could be fitted into this `DIR`")
		return func(ctx context.Context, p *program, args []string) error {
			if err := oneOf("--models", models, "search", "panel"); err != nil {
				return err
			}
			if out != "" && into != "" {
				return problem.Usagef("found --out and --into, want one of them")
			}
			if o.season != 0 {
				return problem.Usagef("fit uses all seasons; --season says nothing to it")
			}
			in, err := p.load(args, &o)
			if err != nil {
				return err
			}
			f := &fitter{in: in, p: p, search: models == "search"}
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
	search bool
	folder fs.FS
}

// fitted is a species with what its phases gave.
type fitted struct {
	species *phenology.Species
	place   *place
	phases  []fittedPhase
}

type fittedPhase struct {
	record     *phenology.PhaseRecord
	result     *fit.Result // nil where it could not be fitted
	err        error
	fittedHere bool // the profile's models rest on dates of this place
}

// meanDate reports whether no model came out better than the mean date.
func (ph fittedPhase) meanDate() bool { return ph.result != nil && len(ph.result.Models) == 0 }

func (f *fitter) run(ctx context.Context, out, into string) error {
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
		return problem.Usage{Text: fmt.Sprintf("found %d fits (%s), want one: a profile describes one species", len(list), listNames(names)),
			Hint: "choose with --species and --site, or write all with --into DIR"}
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

// seenSeries is a phase of a species with the years in which it was seen at a place.
type seenSeries struct {
	species *phenology.Species
	record  *phenology.PhaseRecord
	years   []fit.Year
	chosen  bool // it is to be fitted, and not only for others to learn from
}

// series returns what was seen at a place of a phase, of all species: those that are not to be fitted are there for others to
// learn from.
func (f *fitter) series(outlook *phenology.Outlook, pl *place, phase phenology.Phase) (list []seenSeries) {
	wanted := false
	for _, sp := range outlook.Known {
		r := sp.Phase(phase)
		if r == nil {
			continue
		}
		s := seenSeries{species: sp, record: r, chosen: slices.Contains(pl.species, sp)}
		for _, season := range outlook.SeenSeasons(sp, r) {
			if day, ok := outlook.SeenOn(sp, r, season); ok {
				s.years = append(s.years, fit.Year{Season: season, Day: day})
			}
		}
		if len(s.years) > 0 && (s.chosen || f.search) {
			list = append(list, s)
			wanted = wanted || s.chosen
		}
	}
	if !wanted {
		return nil
	}
	return list
}

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
		var work [][]seenSeries
		total := 0
		for _, phase := range phenology.Phases() {
			if list := f.series(outlook, pl, phase); list != nil {
				work, total = append(work, list), total+len(list)
			}
		}
		watch := f.p.progress(pl.site.ID + ": fit: series of dates")
		phases := map[*phenology.Species][]fittedPhase{}
		done := 0
		for _, list := range work {
			results, err := f.fitPhase(ctx, pl.site.Site, outlook.Temps, list, func() {
				done++
				watch.update(done, total)
			})
			if err != nil {
				return nil, err
			}
			for i, s := range list {
				if s.chosen {
					phases[s.species] = append(phases[s.species], results[i])
				}
			}
		}
		watch.end()
		for _, sp := range pl.species {
			if got := phases[sp]; len(got) > 0 {
				all = append(all, fitted{sp, pl, got})
			}
		}
	}
	return all, nil
}

// fitPhase fits one phase of several species; it says when each has been looked at.
func (f *fitter) fitPhase(ctx context.Context, site phenology.Site, temps *phenology.Temperatures, list []seenSeries, done func()) ([]fittedPhase, error) {
	type tried struct {
		evidence *fit.Evidence
		result   *fit.Result
		err      error
	}
	work := func(i int) (t tried) {
		s := list[i]
		if f.search {
			t.evidence, t.err = fit.Gather(temps, s.record.Phase, s.years)
			return t
		}
		t.result, t.err = fit.Fit(temps, s.record.Phase, fit.Panel(), s.years)
		if t.err == nil && t.result.RMSE >= t.result.MeanRMSE {
			t.result.Models = nil
		}
		return t
	}
	var all []tried
	var pool []*fit.Evidence
	err := inOrder(ctx, len(list), work, func(t tried) error {
		done()
		all = append(all, t)
		if t.evidence != nil {
			pool = append(pool, t.evidence)
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	together := fit.NewPool(pool)
	var results []fittedPhase
	for i, t := range all {
		ph := fittedPhase{record: list[i].record, result: t.result, err: t.err}
		if d := ph.record.Model; d != nil && d.Score != nil {
			ph.fittedHere = slices.ContainsFunc(ph.record.References, func(r phenology.Reference) bool { return hindcast.Beside(site, r) })
		}
		if t.evidence != nil && list[i].chosen {
			ph.result = t.evidence.Choose(together)
		}
		if ph.result != nil && ph.record.Model != nil {
			ph.result.Profile = fit.Score(temps, ph.record.Model, list[i].years)
		}
		results = append(results, ph)
	}
	return results, nil
}

// mostTables is for how many phases all that was tried is told; of more, the outcome alone.
const mostTables = 8

// tell says on standard error how well each phase did.
func (f *fitter) tell(list []fitted) {
	f.p.say("errors in days, on years left out of all that was chosen and fitted")
	tables := 0
	for _, one := range list {
		tables += len(one.phases)
	}
	for _, one := range list {
		for _, ph := range one.phases {
			name := fmt.Sprintf("%s: %s: %s", one.place.site.ID, one.species.ID, ph.record.Phase)
			if ph.result == nil {
				f.p.say("%s: not fitted: %v", name, ph.err)
				continue
			}
			f.p.say("%s: %s", name, ph.outcome())
			if tables <= mostTables {
				writeCandidates(f.p.stderr, ph.result.Rows)
			}
			for _, d := range slices.Compact(ph.result.Dropped) {
				f.p.say("%s: left out %s", name, d)
			}
		}
	}
	if f.search && tables > mostTables {
		f.p.say("hint: choose one with --species to see all that was tried")
	}
}

// outcome says how well a phase can be dated.
func (ph fittedPhase) outcome() string {
	r := ph.result
	text := fmt.Sprintf("%s: %.1f; the mean date of the other years %.1f", plural(r.Years, "year"), r.RMSE, r.MeanRMSE)
	if ph.meanDate() {
		text = fmt.Sprintf("%s: no model is better than the mean date: %.1f", plural(r.Years, "year"), r.MeanRMSE)
	}
	if !math.IsNaN(r.Profile) {
		text += fmt.Sprintf("; the profile in use, as it is, %.1f", r.Profile)
		switch {
		case ph.fittedHere:
			text += " (it may have been fitted to these very years)"
		case ph.keepsDating() && ph.meanDate():
			text += ", and stays"
		case r.Profile < r.RMSE:
			text += ": nothing is gained by this fit"
		}
	}
	return text
}

// keepsDating reports whether, where the mean date could not be beaten by a fit, the profile's own models stay: they do
// better than the mean date, or what they count from is not known here.
func (ph fittedPhase) keepsDating() bool {
	return ph.record.Model != nil && !(ph.result.Profile >= ph.result.MeanRMSE)
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
		for i, line := range slices.Concat(wrap(name, helpWidth-11), wrap(why, helpWidth-13)) {
			switch {
			case i >= len(wrap(name, helpWidth-11)):
				b.WriteString(strings.Repeat(" ", 13))
			case i > 0:
				b.WriteString(strings.Repeat(" ", 11))
			}
			b.WriteString(line + "\n")
		}
	}
	io.WriteString(w, b.String())
}

// parameters is a model as a profile has it, without its kind.
func parameters(m phenology.Model) string {
	_, text, _ := strings.Cut(profiles.ModelText(m), ", ")
	return text
}

const (
	fitSource    = "own-fit"
	leastWritten = 0.1 // days: a profile has errors to a tenth, and takes none of 0
)

// profile returns a species' profile with what was fitted in the place of what it had.
func (f *fitter) profile(one fitted) (string, error) {
	text, err := profiles.Text(f.folder, one.species.ID)
	if err != nil {
		return "", problem.OfFile(err)
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
		revision := profiles.Revision{
			Phase: ph.record.Phase,
			Reference: &phenology.Reference{Place: site.Name, Latitude: site.Latitude, Longitude: site.Longitude, Elevation: site.Elevation,
				Day: r.Mean, Spread: max(r.Spread, leastWritten), Years: fmt.Sprintf("%d-%d", from, to), Source: source},
		}
		if ph.meanDate() {
			revision.Undate = !ph.keepsDating()
		} else {
			revision.Dating = &phenology.PhaseModel{Models: r.Models, Residual: r.Residual, Source: source, Score: &phenology.Score{
				Years: r.Years, RMSE: max(r.RMSE, leastWritten), MeanRMSE: max(r.MeanRMSE, leastWritten)}}
		}
		revisions = append(revisions, revision)
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
			return problem.Usage{Text: fmt.Sprintf("%s was fitted at several sites, want one", one.species.ID), Hint: "choose with --site"}
		}
		text, err := f.profile(one)
		if err != nil {
			return err
		}
		texts[one.species.ID] = text
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return problem.OfFile(err)
	}
	for _, one := range list {
		if err := staging.Replace(filepath.Join(dir, one.species.ID+".yaml"), []byte(texts[one.species.ID])); err != nil {
			return err
		}
	}
	f.p.say("wrote %s into %s", plural(len(list), "profile"), dir)
	return nil
}
