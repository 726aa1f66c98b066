package main

import (
	"bufio"
	"context"
	"crypto/rand"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/pflag"

	"treewhen/calendar"
)

var checkCommand = command{
	name: "check", args: "[PLAN] [options]",
	summary: "reads everything, computes nothing, reports what was read and what is doubtful with it",
	setup: func(fs *pflag.FlagSet) action {
		var o inputOptions
		o.addTo(fs)
		return func(_ context.Context, p *program, args []string) error {
			in, err := p.load(args, &o)
			if err != nil {
				return err
			}
			w := bufio.NewWriter(p.stdout)
			in.report(w)
			if err := w.Flush(); err != nil {
				return err
			}
			if in.plan.FeedID == nil && !in.isDemo {
				p.say("hint: the plan sets no feed_id. Identifiers in its calendars are derived from it; without one of its own,")
				p.say("hint: anybody can guess them from the sites' names. Put this line into %s once, and keep it:", in.plan.File)
				p.say("hint: feed_id: %s", newUUID())
			}
			return nil
		}
	},
}

// newUUID makes a random UUID, RFC 9562 version 4, for a user to keep.
func newUUID() calendar.UUID {
	var u calendar.UUID
	rand.Read(u[:]) // never fails: the program ends if the system has no randomness
	u[6] = u[6]&0x0f | 0x40
	u[8] = u[8]&0x3f | 0x80
	return u
}

// report writes what was read and what is doubtful: the sites, then what they share, each thing once.
func (in *inputs) report(out io.Writer) {
	w := &reportWriter{out}
	w.line(0, "plan %s: %s, as of %s, %s, %d species in the library", in.plan.File, in.plan.Title, in.asOf,
		plural(len(in.places), "site"), in.library.Len())
	if in.plan.Observations != nil {
		w.line(0, "observations: %s up to the as-of day", plural(len(in.sightings), "sighting"))
	}
	in.reportSites(w)
	in.reportCalendars(w)
	in.reportTemperatures(w)
	in.reportDoubts(w)
	notes := in.library.Notes()
	if len(notes) > 0 {
		w.line(0, "")
		w.line(0, "species profiles:")
		for _, n := range notes {
			w.line(2, "%s", n.Error())
		}
	}
}

// reportWriter writes lines that are wrapped to the width of help, their continuations indented by two more.
type reportWriter struct{ w io.Writer }

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

// reportSites writes where the sites are and what is done there. Sites of which the same is to be said are told together.
func (in *inputs) reportSites(w *reportWriter) {
	details := map[*place]string{}
	for _, pl := range in.places {
		var b strings.Builder
		own := &reportWriter{&b}
		own.line(2, "species: %d; activities: %d", len(pl.species), len(pl.site.Activities))
		in.reportStands(own, pl)
		details[pl] = b.String()
	}
	for _, group := range grouped(in.places, func(pl *place) string { return details[pl] }) {
		w.line(0, "")
		if len(group) > mostListed {
			w.line(0, "%s: %s", siteNames(group), extent(group))
		} else {
			for _, pl := range group {
				s := pl.site
				w.line(0, "%s (%s): %.4g, %.4g, %.0f m, %s", s.ID, s.Name, s.Latitude, s.Longitude, s.Elevation, s.Zone)
			}
		}
		io.WriteString(w.w, details[group[0]])
	}
}

// siteNames names the sites of a group, the first of them if they are many.
func siteNames(group []*place) string {
	const most = 3
	ids := make([]string, 0, most)
	for _, pl := range group {
		if len(ids) == most && len(group) > most+1 {
			return fmt.Sprintf("%s and %d more", strings.Join(ids, ", "), len(group)-most)
		}
		ids = append(ids, pl.site.ID)
	}
	if n := len(ids); n > 1 {
		return strings.Join(ids[:n-1], ", ") + " and " + ids[n-1]
	}
	return ids[0]
}

// extent says how far a group of sites reaches.
func extent(group []*place) string {
	span := func(of func(*place) float64, verb string) string {
		least, most := of(group[0]), of(group[0])
		for _, pl := range group {
			least, most = min(least, of(pl)), max(most, of(pl))
		}
		a, b := fmt.Sprintf(verb, least), fmt.Sprintf(verb, most)
		if a == b {
			return a
		}
		return a + " to " + b
	}
	zones := map[string]bool{}
	for _, pl := range group {
		zones[pl.site.Zone.String()] = true
	}
	zone := group[0].site.Zone.String()
	if len(zones) > 1 {
		zone = plural(len(zones), "time zone")
	}
	return fmt.Sprintf("%s, %s, %s m, %s",
		span(func(pl *place) float64 { return pl.site.Latitude }, "%.4g"), span(func(pl *place) float64 { return pl.site.Longitude }, "%.4g"),
		span(func(pl *place) float64 { return pl.site.Elevation }, "%.0f"), zone)
}

func plural(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
