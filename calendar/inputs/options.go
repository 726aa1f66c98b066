package inputs

import (
	"io"
	"io/fs"

	"treewhen/calendar/fetch"
	"treewhen/phenology/civil"
	"treewhen/phenology/problem"
)

// Options say where the inputs are, and what of them is wanted. The zero value of a field leaves nothing out.
type Options struct {
	Plan  string    // the plan's file; what it names is relative to its folder. "-" is standard input
	Demo  fs.FS     // if set, Plan and all that it names are in here, and invented: every output says so
	Stdin io.Reader // nil where it cannot be read, since all is read again and again

	// Say is told what the user should know beside the results, as in [fmt.Printf]; nil if nobody listens.
	Say func(format string, args ...any)

	Today      civil.Date  // on which the plan is read
	AsOf       *civil.Date // pretend that today is this day; nil: the plan's own, else Today
	From, To   *civil.Date // the days to schedule, both included: see [Options.Days]
	Season     int         // a growing year alone; 0: no one in particular
	Sites      []string    // the ids of sites; none: all
	Species    []string    // any of their names; none: all that the sites have
	Activities []string    // none: all that the sites have
	Profiles   string      // a folder of one's own species, beside or over the built-in ones; "": none
	Cache      string      // a folder for copies of what is fetched over the web; "": none

	// Web asks weather services and keeps what they gave; nil: a client for this reading, with its copies in Cache.
	Web     *fetch.Client
	Contact string                           // whom a service may turn to; "": the plan's
	Offline bool                             // no service is asked, no address fetched: copies have to do
	Log     func(format string, args ...any) // is told what came of services; it may hold their bytes. nil: Say is
}

// Days returns the days that are asked for: from and to, or a season, or the 366 days from the as-of day on. A season
// of a plan with a southern site lasts to the end of the June after it. Errors are of type [problem.Usage].
func (o *Options) Days(in *Inputs) (civil.Span, error) {
	s := civil.Span{First: in.AsOf, Last: in.AsOf + 365}
	if o.Season != 0 {
		if err := o.CheckSeason(); err != nil {
			return s, err
		}
		s = civil.Span{First: civil.Of(o.Season, 1, 1), Last: civil.Of(o.Season, 12, 31)}
		for _, pl := range in.Places {
			if pl.Site.Southern() {
				s.Last = civil.Of(o.Season+1, 6, 30)
			}
		}
	}
	if o.From != nil {
		s.First = *o.From
		if o.To == nil && o.Season == 0 {
			s.Last = s.First + 365
		}
	}
	if o.To != nil {
		s.Last = *o.To
	}
	if s.Empty() {
		return s, problem.Usagef("found days from %s to %s, want the last day after the first", s.First, s.Last)
	}
	if s.Days() > MostDays {
		return s, problem.Usagef("found %d days, want ten years at most", s.Days())
	}
	return s, nil
}

// MostDays is how many days can be worked out at a time: ten years.
const MostDays = 3660

// CheckSeason refuses a season that is no year of our time, with a [problem.Usage].
func (o *Options) CheckSeason() error {
	if o.Season != 0 && (o.Season < 1800 || o.Season > 2200) {
		return problem.Usagef("--season: found %d, want a year from 1800 to 2200", o.Season)
	}
	return nil
}

func (o *Options) say(format string, args ...any) {
	if o.Say != nil {
		o.Say(format, args...)
	}
}
