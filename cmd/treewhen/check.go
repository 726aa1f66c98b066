package main

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"math"
	"strings"

	"github.com/spf13/pflag"

	"treewhen/calendar/doubts"
	"treewhen/calendar/inputs"
	"treewhen/calendar/phrase"
	"treewhen/calendar/seed"
	"treewhen/calendar/starter"
	"treewhen/calendar/words"
)

var checkCommand = command{
	name: "check", args: "[PLAN] [options]",
	summary: "checks the plan and its files and says what looks wrong",
	setup: func(fs *pflag.FlagSet) action {
		var o inputOptions
		var network bool
		o.addTo(fs)
		fs.BoolVar(&network, "network", false,
			"say what is asked over the web, and with which coordinates, and ask nobody")
		return func(ctx context.Context, p *program, args []string) error {
			o.Offline = network
			in, err := p.load(ctx, args, &o)
			if err != nil {
				return err
			}
			if network {
				return p.output(ctx, "", nil, func(w io.Writer) error {
					reportNetwork(&reportWriter{w, in.Plan.Speech}, in)
					return nil
				})
			}
			w := bufio.NewWriter(p.stdout)
			report(w, in)
			if err := in.Err(); err != nil {
				return err
			}
			if err := w.Flush(); err != nil {
				return err
			}
			if in.Plan.FeedID == nil && !in.Demo {
				p.say("hint: the plan sets no feed_id. Identifiers in its calendars are derived from it; without one " +
					"of its own,")
				p.say("hint: anybody can guess them from the sites' names. Put this line into %s once, and keep it:",
					in.Plan.File)
				p.say("hint: feed_id: %s", starter.NewFeedID())
			}
			return nil
		}
	},
}

// report writes what was read and what is doubtful: what is grave, the sites, then what they share, each thing once.
func report(out io.Writer, in *inputs.Inputs) {
	w := &reportWriter{out, in.Plan.Speech}
	reportFirst(w, in)
	w.line(0, "plan %s: %s, as of %s, %s, %d species in the library", in.Plan.File, in.Plan.Title, in.AsOf,
		phrase.Count(len(in.Places), "site"), in.Library.Len())
	if in.Plan.Observations != nil {
		undated := ""
		if in.Undated > 0 {
			undated = fmt.Sprintf("; %s without a date (before, not-yet or ?)", phrase.Count(in.Undated, "row"))
		}
		w.line(0, "observations: %s up to the as-of day%s", phrase.Count(len(in.Sightings), "sighting"), undated)
	}
	reportAlerts(w, in)
	reportSites(w, in)
	reportColors(w, in)
	reportCalendars(w, in)
	reportTemperatures(w, in)
	reportDoubts(w, in)
	reportList(w, "species without dates to collect by:", words.Notes(doubts.Undated(in), w.as))
	reportEarly(w, in)
	reportList(w, "doubtful sightings:", in.DoubtfulSightings())
	reportCredit(w, in)
	reportList(w, "species profiles:", in.Library.Notes())
}

// reportEarly writes which sowing dates of the plan's are too early, and what to write in their place.
func reportEarly(w *reportWriter, in *inputs.Inputs) {
	early := doubts.TooEarly(in)
	var list []string
	for i, n := range early {
		s := n.Says.(seed.Shortfall)
		said := words.Notes(early[i:i+1], w.as)[0]
		list = append(list, fmt.Sprintf("%s:%d: %s; %s", in.Plan.File, s.Line, said, words.SowingHint(&s)))
	}
	reportList(w, "sowing dates that leave too little time:", list)
}

// reportList writes a list under its title, if there is anything on it.
func reportList[T any](w *reportWriter, title string, list []T) {
	if len(list) == 0 {
		return
	}
	w.line(0, "")
	w.line(0, "%s", title)
	for _, item := range list {
		w.line(2, "%v", item)
	}
}

// reportWriter writes lines that are wrapped to the width of help, their continuations indented by two more.
type reportWriter struct {
	w  io.Writer
	as phrase.Speech
}

func (w *reportWriter) line(indent int, format string, args ...any) {
	const hang = 2
	lead := strings.Repeat(" ", indent)
	for i, l := range wrap(fmt.Sprintf(format, args...), helpWidth-indent-hang) {
		if i == 1 {
			lead += strings.Repeat(" ", hang)
		}
		fmt.Fprintln(w.w, strings.TrimRight(lead+l, " "))
	}
}

// grouped puts what has the same key together, in the order in which keys first come.
func grouped[T any](list []T, key func(T) string) [][]T {
	var groups [][]T
	at := map[string]int{}
	for _, x := range list {
		k := key(x)
		i, known := at[k]
		if !known {
			i = len(groups)
			at[k] = i
			groups = append(groups, nil)
		}
		groups[i] = append(groups[i], x)
	}
	return groups
}

// mostListed is how many sites that have all in common are listed one by one.
const mostListed = 6

// reportSites writes where the sites are and what is done there. Sites of which the same is to be said are told
// together.
func reportSites(w *reportWriter, in *inputs.Inputs) {
	details := map[*inputs.Place]string{}
	for _, pl := range in.Places {
		var b strings.Builder
		own := &reportWriter{&b, w.as}
		own.line(2, "species: %d; activities: %d", len(pl.Species), len(pl.Site.Activities))
		reportStands(own, in, pl)
		details[pl] = b.String()
	}
	for _, group := range grouped(in.Places, func(pl *inputs.Place) string { return details[pl] }) {
		w.line(0, "")
		if len(group) > mostListed {
			w.line(0, "%s: %s", siteNames(group), extent(group, w.as))
		} else {
			for _, pl := range group {
				s := pl.Site
				w.line(0, "%s (%s): %.4g, %.4g, %s, %s", s.ID, s.Name, s.Latitude, s.Longitude,
					w.as.Height(s.Elevation), s.Zone)
			}
		}
		io.WriteString(w.w, details[group[0]])
	}
}

// reportStands writes what was read of a site's stands and crops.
func reportStands(w *reportWriter, in *inputs.Inputs, pl *inputs.Place) {
	for _, s := range pl.Stands {
		text := fmt.Sprintf("stand %s (%s): %s, %d species", s.ID, s.Name, w.as.Height(pl.Height(s)),
			len(pl.SpeciesOf(s)))
		if s.Offset != 0 {
			text += fmt.Sprintf(", spring %+g days", s.Offset)
		}
		w.line(2, "%s", text)
	}
	if n := len(in.Crops(pl)); n > 0 {
		w.line(2, "crops scouted: %s up to the as-of day", phrase.Count(n, "note"))
	}
	if n := len(in.Lots(pl)); n > 0 {
		w.line(2, "lots of seed: %s up to the as-of day", phrase.Count(n, "row"))
	}
}

// reportColors writes which sites cannot be told apart by their color, while that can be helped: there are a few dozen
// colors that are told apart at all.
func reportColors(w *reportWriter, in *inputs.Inputs) {
	if len(in.Places) > manyColors {
		return
	}
	for _, same := range doubts.SameColors(in) {
		w.line(0, "")
		w.line(0, "doubt: in calendars, %s have the same color, %s; give one another with color: in the plan",
			siteNames(same), same[0].Site.Color)
	}
}

// manyColors is up to how many sites a color each is worth having.
const manyColors = 12

// siteNames names the sites of a group, the first of them if they are many.
func siteNames(group []*inputs.Place) string {
	const most = 3
	ids := make([]string, 0, most)
	for _, pl := range group {
		if len(ids) == most && len(group) > most+1 {
			return fmt.Sprintf("%s and %d more", strings.Join(ids, ", "), len(group)-most)
		}
		ids = append(ids, pl.Site.ID)
	}
	return phrase.Join(ids)
}

// extent says how far a group of sites reaches.
func extent(group []*inputs.Place, as phrase.Speech) string {
	degrees := func(of func(*inputs.Place) float64) string {
		least, most := bounds(group, of)
		a, b := fmt.Sprintf("%.4g", least), fmt.Sprintf("%.4g", most)
		if a == b {
			return a
		}
		return a + " to " + b
	}
	zones := map[string]bool{}
	for _, pl := range group {
		zones[pl.Site.Zone.String()] = true
	}
	zone := group[0].Site.Zone.String()
	if len(zones) > 1 {
		zone = phrase.Count(len(zones), "time zone")
	}
	latitudes := degrees(func(pl *inputs.Place) float64 { return pl.Site.Latitude })
	longitudes := degrees(func(pl *inputs.Place) float64 { return pl.Site.Longitude })
	heights := as.Height(bounds(group, func(pl *inputs.Place) float64 { return pl.Site.Elevation }))
	return fmt.Sprintf("%s, %s, %s, %s", latitudes, longitudes, heights, zone)
}

// bounds returns the least and the most that something is in a group, which is not empty.
func bounds[T any](group []T, of func(T) float64) (least, most float64) {
	least, most = math.Inf(1), math.Inf(-1)
	for _, x := range group {
		least, most = min(least, of(x)), max(most, of(x))
	}
	return least, most
}
