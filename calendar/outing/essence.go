package outing

import (
	"slices"
	"strconv"
	"strings"

	"treewhen/calendar"
)

// Essence tells the trip's number, what it is for, the chances of what is named, and the rain date.
func (t *Trip) Essence() []calendar.Fact {
	list := t.Visit.essence(t.Also...)
	if t.Rain != nil {
		list = append(list, calendar.Fact{Name: "rain", Value: t.Rain.To})
	}
	return list
}

// Essence tells the trip's number and day, what it is for and the chances of what is named.
func (r *RainDay) Essence() []calendar.Fact {
	return append(r.Visit.essence(), calendar.Fact{Name: "trip", Value: r.For})
}

// Essence tells nothing: its window, its hours and its best day are all that a survey is.
func (s *Survey) Essence() []calendar.Fact { return nil }

func (v *Visit) essence(also ...calendar.Sight) []calendar.Fact {
	theme := slug(v.Theme)
	for _, see := range also {
		theme += "+" + slug(see)
	}
	list := []calendar.Fact{{Name: "number", Value: strconv.Itoa(v.Number)}, {Name: "for", Value: theme}}
	for _, s := range v.Sights.Named() {
		for _, x := range s.On {
			if !x.AllYear { // nothing can change it
				list = append(list, calendar.Fact{Name: slug(s.See) + "-" + x.Species.ID, Value: calendar.Chance(x.P)})
			}
		}
	}
	// By name, so that the order does not follow the chances.
	slices.SortFunc(list[2:], func(a, b calendar.Fact) int { return strings.Compare(a.Name, b.Name) })
	return list
}

// slug returns a sight as a name of a-z 0-9 and -. Whatever else a profile has in the name of a trait stands in it as a
// number.
func slug(see calendar.Sight) string {
	var b strings.Builder
	for _, r := range see.String() {
		switch {
		case r >= 'a' && r <= 'z', r >= '0' && r <= '9', r == '-':
			b.WriteRune(r)
		case r == ' ':
			b.WriteByte('-')
		default:
			b.WriteString(strconv.FormatInt(int64(r), 16))
		}
	}
	return b.String()
}
