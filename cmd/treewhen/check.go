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
	"treewhen/phenology"
	"treewhen/phenology/weather"
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

// report writes what was read and what is doubtful.
func (in *inputs) report(w io.Writer) {
	fmt.Fprintf(w, "plan %s: %s, as of %s, %s, %d species in the library\n", in.plan.File, in.plan.Title, in.asOf,
		plural(len(in.places), "site"), len(in.library.All()))
	if in.plan.Observations != nil {
		fmt.Fprintf(w, "observations: %s up to the as-of day\n", plural(len(in.sightings), "sighting"))
	}
	for _, pl := range in.places {
		s := pl.site
		fmt.Fprintf(w, "\n%s (%s): %.4g, %.4g, %.0f m, %s\n", s.ID, s.Name, s.Latitude, s.Longitude, s.Elevation, s.Zone)
		fmt.Fprintf(w, "  species: %d; activities: %d\n", len(pl.species), len(s.Activities))
		in.reportStands(w, pl)
		reportCalendars(w, pl)
		for _, rec := range pl.records {
			reportRecord(w, rec)
		}
		if len(pl.records) > 0 {
			reportJoin(w, in.join(pl))
		}
		temps := in.temperatures(pl)
		switch {
		case temps != nil && temps.Drawn():
			fmt.Fprintf(w, "  temperatures used: 30 years drawn from monthly normals%s\n", normalsText(pl))
			if text := in.join(pl).climbText(temps); text != "" {
				fmt.Fprintf(w, "  height: %s\n", text)
			}
		case temps != nil:
			span := temps.Series().Span()
			fmt.Fprintf(w, "  temperatures used: %s to %s, observed to %s\n", span.First, span.Last, temps.Observed())
			if text := in.join(pl).climbText(temps); text != "" {
				fmt.Fprintf(w, "  height: %s\n", text)
			}
		default:
			fmt.Fprintf(w, "  temperatures: none; dates rest on the place alone. A daily record of ten years or more would narrow them; without one, twelve monthly means (normals) help.\n")
		}
	}
	notes := in.library.Notes()
	if len(notes) > 0 {
		fmt.Fprintln(w, "\nspecies profiles:")
		for _, n := range notes {
			fmt.Fprintf(w, "  %s\n", n.Error())
		}
	}
}

// normalsText says where a site's normals are from, and how far off that is.
func normalsText(pl *place) string {
	src, n := pl.site.NormalsFrom, pl.site.Normals
	if src == nil {
		return ""
	}
	text := " of " + src.Path.Path
	var parts []string
	if n.Station.Name != "" {
		parts = append(parts, "station "+n.Station.Name)
	}
	if n.Years > 0 {
		parts = append(parts, plural(n.Years, "year")+" or more")
	}
	if lat, lon := n.Station.Latitude, n.Station.Longitude; lat != nil && lon != nil {
		parts = append(parts, fmt.Sprintf("%.0f km off", phenology.Distance(pl.site.Latitude, pl.site.Longitude, *lat, *lon)))
	}
	if len(parts) > 0 {
		text += " (" + strings.Join(parts, ", ") + ")"
	}
	return text
}

// reportRecord writes what a temperature file held.
func reportRecord(w io.Writer, rec *weather.Record) {
	span := rec.Series.Span()
	missing := 0
	for _, d := range rec.Series.Days {
		if !d.Complete() {
			missing++
		}
	}
	fmt.Fprintf(w, "  %s: %s, degrees %s", rec.Name, rec.Format, rec.Unit)
	if rec.Station.Name != "" {
		fmt.Fprintf(w, ", station %s", rec.Station.Name)
	}
	if span.Empty() {
		fmt.Fprint(w, ", no day with a temperature\n")
	} else {
		fmt.Fprintf(w, ", %s to %s, %s, %d without both values\n", span.First, span.Last, plural(span.Days(), "day"), missing)
	}
	for _, n := range rec.Notes {
		if n.Line > 0 {
			fmt.Fprintf(w, "    line %d: %s: %s\n", n.Line, n.Kind, n.Text)
		} else {
			fmt.Fprintf(w, "    %s: %s\n", n.Kind, n.Text)
		}
	}
}

// reportJoin writes how a site's files were joined, what is doubtful about them, and the plan's words that would mend it.
func reportJoin(w io.Writer, j *joined) {
	for _, text := range j.told {
		fmt.Fprintf(w, "  used of %s\n", text)
	}
	for _, f := range weather.Check(j.sources) {
		fmt.Fprintf(w, "  doubt: %s\n", f)
		if f.Suggest != "" {
			way := "to mend it"
			if f.Kind == weather.FindingOffset { // nothing needs mending: the files are joined at one level already
				way = "if one figure for all the year is wanted instead"
			}
			fmt.Fprintf(w, "    %s, set in the plan beside the file: %s\n", way, f.Suggest)
		}
	}
}

func plural(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
