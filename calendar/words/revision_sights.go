package words

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/phenology"
)

// isToSee says for which sights an outing is published now, which feeds name with signs of plus between them.
func isToSee(slugs string) string {
	var see []string
	for slug := range strings.SplitSeq(slugs, "+") {
		see = append(see, sight(sightNamed(slug)))
	}
	return "is to see " + phrase.Join(see)
}

// sightNamed returns a sight by its name in feeds.
func sightNamed(slug string) calendar.Sight {
	see, err := calendar.ParseSight(slug)
	if err != nil {
		see.Organ, see.Name, _ = strings.Cut(slug, "-")
	}
	return see
}

const (
	mostSights = 2 // of so many chances of sights a revision tells, those that changed most
	littleNews = 5 // hundredths of an event's chance, below which it is not why the event was revised
)

// revisedSights says which chances that a species shows a sight became others.
func revisedSights(was, is map[string]string, species []*phenology.Species) (said []string) {
	now := maps.Clone(is)
	for fact := range was {
		now[fact] = is[fact]
	}
	by := func(fact string) int { return hundredths(is[fact]) - hundredths(was[fact]) }
	facts := slices.SortedFunc(maps.Keys(now), func(a, b string) int {
		return cmp.Or(max(by(b), -by(b))-max(by(a), -by(a)), strings.Compare(a, b))
	})
	for _, fact := range facts {
		for _, sp := range species {
			slug, of := strings.CutSuffix(fact, "-"+sp.ID)
			if of && by(fact) != 0 && len(said) < mostSights {
				said = append(said, fmt.Sprintf("chance of %s was %s, is %s", sightOf(sightNamed(slug), sp),
					chanceTold(was[fact]), chanceTold(is[fact])))
			}
		}
	}
	return said
}

// seldom is the least chance of a sight that events name, in hundredths; what is not named is smaller.
const seldom = 20

func chanceTold(value string) string {
	if value == "" {
		return fmt.Sprintf("under %d %%", seldom)
	}
	return fmt.Sprintf("%d %%", hundredths(value))
}

func hundredths(value string) int {
	n, err := strconv.Atoi(strings.TrimSuffix(value, "%"))
	if err != nil {
		return seldom - 1
	}
	return n
}
