package gazetteer

import (
	"fmt"
	"slices"
	"strings"

	"treewhen/phenology/problem"
)

// Answer is what the gazetteer has for a name.
type Answer struct {
	Towns []*Town // of that name, the largest first; one: that is it, several: it takes more to tell which
	// where there is none of that name: those it may be a slip for, the likeliest first; in the region asked for
	Near []*Town
	In   string // the region or country asked for, "" for none
}

// mostNear is how many near names are offered.
const mostNear = 6

// Find looks up "TOWN", "TOWN, STATE" or "TOWN, STATE, COUNTRY"; states and provinces by name or by code, the comma
// before the last word or two may be missing. Case, accents, apostrophes and the usual shortenings (St., Ft., Mt.) do
// not count. A region or country that is named is obeyed: no town of another is found, nor offered. An error says that
// the words behind a comma name no state, province or country.
func Find(text string) (Answer, error) { return all().find(text) }

func (t *table) find(text string) (Answer, error) {
	parts := strings.Split(text, ",")
	name := Fold(parts[0])
	if name == "" {
		return Answer{}, fmt.Errorf("found %q, want a town, best with its state or province: Stowe, Vermont", text)
	}
	var where area
	for _, word := range parts[1:] {
		if strings.TrimSpace(word) == "" {
			continue
		}
		if err := where.narrow(word); err != nil {
			return Answer{}, err
		}
	}
	if found := t.named(name, where); len(found) > 0 {
		return Answer{Towns: found}, nil
	}
	if len(parts) == 1 {
		found, rest, region := t.namedWithRegion(name)
		if len(found) > 0 {
			return Answer{Towns: found}, nil
		}
		if len(region.regions) > 0 {
			name, where = rest, region
		}
	}
	return Answer{Near: t.near(name, where), In: where.String()}, nil
}

// area is where to look: all three countries, one, or one region of it.
type area struct {
	country string    // "" for all
	regions []*Region // empty for all of the country
}

func (a area) has(t *Town) bool {
	return (a.country == "" || t.Region.Country == a.country) &&
		(len(a.regions) == 0 || slices.Contains(a.regions, t.Region))
}

// String names the area: "Vermont", "Mexico".
func (a area) String() string {
	var names []string
	for _, r := range a.regions {
		if a.country == "" || a.country == r.Country {
			names = append(names, r.Name)
		}
	}
	if len(names) == 0 {
		return map[string]string{"US": "the United States", "CA": "Canada", "MX": "Mexico"}[a.country]
	}
	return strings.Join(names, " or ")
}

// narrow keeps what a word names: a region, or a country. CA is both California and Canada: alone it is the state.
func (a *area) narrow(word string) error {
	folded := Fold(word)
	if regions := regionsNamed(folded); len(regions) > 0 && len(a.regions) == 0 {
		a.regions = regions
		return nil
	}
	if c, ok := countries[folded]; ok {
		a.country = c
		return nil
	}
	var near []string
	for i := range regions {
		if problem.Distance(folded, Fold(regions[i].Name), 2) <= 2 {
			near = append(near, regions[i].Name)
		}
	}
	err := fmt.Errorf("found %q, want a state or province such as Vermont, VT, Québec or QC", strings.TrimSpace(word))
	if len(near) > 0 {
		err = fmt.Errorf("%w; did you mean %s?", err, strings.Join(near, " or "))
	}
	return err
}

// regionsNamed returns the regions of a folded name or code. A code may be of two countries.
func regionsNamed(folded string) []*Region {
	var found []*Region
	for i := range regions {
		r := &regions[i]
		if Fold(r.Code) == folded || Fold(r.Name) == folded {
			found = append(found, r)
		}
	}
	return found
}

// named returns the towns of a folded name, the largest first. Where none has it, one with or without the word for its
// kind will do: New York is New York City.
func (t *table) named(name string, where area) []*Town {
	var same, kind []*Town
	for i, folded := range t.folded {
		town := &t.towns[i]
		if !where.has(town) {
			continue
		}
		if folded == name {
			same = append(same, town)
		} else if WithoutKind(folded) == WithoutKind(name) {
			kind = append(kind, town)
		}
	}
	if len(same) == 0 {
		same = kind
	}
	slices.SortFunc(same, byPeople)
	return same
}

// namedWithRegion reads a folded name whose last words are a region's: "stowe vt", "keene new hampshire". Where no town
// is of that name, it returns the name without its region, and the region: that of the most words, if there is one.
func (t *table) namedWithRegion(name string) (found []*Town, rest string, where area) {
	words := strings.Fields(name)
	for n := 1; n < len(words); n++ {
		regions := regionsNamed(strings.Join(words[n:], " "))
		if len(regions) == 0 {
			continue
		}
		at := area{regions: regions}
		if found := t.named(strings.Join(words[:n], " "), at); len(found) > 0 {
			return found, "", at
		}
		if rest == "" {
			rest, where = strings.Join(words[:n], " "), at
		}
	}
	return nil, rest, where
}

// near returns what a folded name may be a slip for, where it was asked for: a name that begins so, a slip of the pen,
// and last a name that is part of it: Beauport for Lac-Beauport.
func (t *table) near(name string, where area) []*Town {
	type candidate struct {
		town *Town
		off  int
	}
	var list []candidate
	most := min(2, max(1, len(name)/4))
	const leastPart, last = 5, 4 // letters; behind a slip of two letters
	for i, folded := range t.folded {
		town := &t.towns[i]
		switch {
		case !where.has(town):
		case strings.HasPrefix(folded, name+" "):
			list = append(list, candidate{town, 1})
		case len(folded) >= leastPart && (strings.HasPrefix(name, folded+" ") || strings.HasSuffix(name, " "+folded)):
			list = append(list, candidate{town, last})
		default:
			if d := problem.Distance(name, folded, most); d <= most {
				list = append(list, candidate{town, 2*d - 1})
			}
		}
	}
	slices.SortFunc(list, func(a, b candidate) int {
		if a.off != b.off {
			return a.off - b.off
		}
		return byPeople(a.town, b.town)
	})
	var found []*Town
	for _, c := range list[:min(len(list), mostNear)] {
		found = append(found, c.town)
	}
	return found
}
