package weather

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"treewhen/phenology/civil"
)

// FindingKind says what a [Finding] is about.
type FindingKind string

// What the checks look for.
const (
	FindingReversed FindingKind = "reversed" // minima above maxima
	FindingSpike    FindingKind = "spike"    // a value off the days on both sides that the season does not explain
	FindingStuck    FindingKind = "stuck"    // the same value for more days running than chance gives
	FindingUnit     FindingKind = "unit"     // values that fit the record only in another unit
	FindingRounded  FindingKind = "rounded"  // whole degrees
	FindingGap      FindingKind = "gap"      // days without values
	FindingShift    FindingKind = "shift"    // values dated a day off
	FindingOffset   FindingKind = "offset"   // a source warmer or colder than a more trusted one
)

// Finding is one thing that [Check] found doubtful in a source. It changes nothing: what it suggests, the user orders.
type Finding struct {
	Kind       FindingKind
	Source     int // which of the sources checked, from 0
	File       string
	Span       civil.Span // from the first to the last day it is about
	Days       int        // how many days of Span it is about
	Text       string     // what was found, with its numbers
	Suggest    string     // the keys of the plan file that order the correction; "" where there is none
	Correction Correction // what those keys order
}

// String gives "file: text".
func (f Finding) String() string { return f.File + ": " + f.Text }

// suggest sets the correction and the words that order it.
func (f *Finding) suggest(c Correction) { f.Correction, f.Suggest = c, c.String() }

// Check looks at each source by itself and at each together with every more trusted one that it shares days with.
// Sources come in order of trust, the most trusted first. The findings are in order of source.
//
// The bounds are set so that a clean record has no findings; each stands beside its reason.
func Check(sources []Source) []Finding {
	var all []Finding
	dates := make([]ownDating, len(sources))
	for i, s := range sources {
		for _, f := range checkOne(s.Series) {
			f.Source = i
			all = append(all, f)
		}
		dates[i] = dateAlone(s.Series)
	}
	type telling struct {
		source int
		kind   FindingKind
		isMax  bool
	}
	told := map[telling]bool{} // against the most trusted source that shows it, not against each
	tell := func(f Finding, isMax bool) {
		if t := (telling{f.Source, f.Kind, isMax}); !told[t] {
			told[t] = true
			all = append(all, f)
		}
	}
	for j := range sources {
		for i := range j {
			c := compare(sources[i].Series, sources[j].Series)
			if f, ok := c.unit(sources[i].Name); ok {
				f.Source = j
				tell(f, false)
				continue // nothing else can be said of the two
			}
			for _, p := range []*pair{&c.min, &c.max} {
				if f, ok := p.shift(sources, i, j, dates); ok {
					tell(f, p.isMax)
				}
			}
			if f, ok := c.offset(sources[i].Name); ok {
				f.Source = j
				tell(f, false)
			}
		}
	}
	for i := range sources {
		if f, ok := dates[i].finding(); ok && !told[telling{i, FindingShift, false}] &&
			!told[telling{i, FindingShift, true}] {
			f.Source, f.Span = i, sources[i].Series.Span()
			all = append(all, f)
		}
	}
	for i := range all {
		all[i].File = sources[all[i].Source].Name
	}
	slices.SortStableFunc(all, func(a, b Finding) int { return cmp.Compare(a.Source, b.Source) })
	return all
}

// some lists the first few of many dates.
func some(dates []civil.Date) string {
	const most = 5
	words := make([]string, 0, most+1)
	for i, d := range dates {
		if i == most {
			words = append(words, fmt.Sprintf("%d more", len(dates)-most))
			break
		}
		words = append(words, d.String())
	}
	return list(words, "and")
}

func degrees(v float64) string { return fmt.Sprintf("%.1f C", v) }

func joinNonEmpty(parts []string, sep string) string {
	return strings.Join(slices.DeleteFunc(parts, func(s string) bool { return s == "" }), sep)
}
