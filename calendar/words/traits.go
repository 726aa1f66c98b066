package words

import (
	"fmt"
	"slices"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/outing"
	"treewhen/calendar/phrase"
	"treewhen/phenology"
	"treewhen/phenology/traits"
)

// phaseSights are what follows a phase, as a heading and as one reads it after a species: "red maple in flower".
var phaseSights = map[phenology.Phase]struct{ what, of string }{
	phenology.SapStart:  {"running sap", "with its sap running"},
	phenology.BudSwell:  {"swelling buds", "with swelling buds"},
	phenology.Flowering: {"flowers", "in flower"},
	phenology.BudBreak:  {"leaves just open", "with leaves just open"},
	phenology.LeafOut:   {"leaves", "in full leaf"},
	phenology.FruitRipe: {"seed ripe", "with its seed ripe"},
	phenology.SeedFall:  {"falling seed", "shedding seed"},
	phenology.LeafColor: {"autumn color", "in autumn color"},
	phenology.LeafFall:  {"bare twigs", "bare, with its winter buds"},
}

// sight says a sight as a heading does: flowers, autumn color.
func sight(s calendar.Sight) string {
	if s.IsTrait() {
		return character(&phenology.Trait{Organ: s.Organ, Name: s.Name})
	}
	return phaseSights[s.Phase].what
}

// sightOf says the sight of a species: "red maple in flower", "the fruit angle of Norway maple".
func sightOf(s calendar.Sight, sp *phenology.Species) string {
	if s.IsTrait() {
		return fmt.Sprintf("the %s of %s", sight(s), sp.Name())
	}
	return sp.Name() + " " + phaseSights[s.Phase].of
}

// character names a character with the part of the tree that it is of: "twig color", "end bud size".
func character(t *phenology.Trait) string {
	name := strings.ReplaceAll(t.Name, "-", " ")
	for word := range strings.FieldsSeq(name) {
		if strings.TrimSuffix(word, "s") == t.Organ {
			return name
		}
	}
	return t.Organ + " " + name
}

// Trait says a trait in its profile's words, and names the part of the tree where they do not; or, where the profile
// has none, in the words of its character and its states.
func Trait(t *phenology.Trait, as phrase.Speech) string {
	return as.Measures(trait(t))
}

func trait(t *phenology.Trait) string {
	c := traits.CharacterOf(t.Organ, t.Name)
	switch {
	case t.Text == "" && c != nil && c.Says != "":
		return fmt.Sprintf(c.Says, states(t))
	case t.Text == "":
		return character(t) + ": " + states(t)
	case t.Organ == "habit" && t.Name == "ground":
		return "grows: " + t.Text
	case t.Organ == "habit" || t.Organ == "sap" || t.Organ == "pith":
		return t.Text
	}
	text := strings.ToLower(t.Text)
	named := func(word string) bool { return strings.Contains(text, word) }
	if named(t.Organ) || slices.ContainsFunc(partsNamed[t.Organ], named) {
		return t.Text
	}
	return t.Organ + ": " + t.Text
}

// partsNamed are what names the part of a tree beside its own name. A text that has one of them needs no heading.
var partsNamed = map[string][]string{
	"leaf": {"leaves", "lobe", "needle", "edge"},
	"fruit": {"samara", "wing", "acorn", "nut", "cone", "berr", "seed", "pod", "capsule", "drupe", "catkin", "ball",
		"cherr", "pome", "husk", "cup"},
	"flower": {"catkin", "sepal", "petal", "spike"},
	"bud":    {"scale"},
	"twig":   {"scar"},
}

// states says the states of a trait, or what is measured.
func states(t *phenology.Trait) string {
	if len(t.States) == 0 {
		unit := t.Unit
		if t.Low == 1 && t.High == 1 {
			unit = strings.TrimSuffix(unit, "s")
		}
		return phrase.Range(t.Low, t.High, 0) + " " + unit
	}
	c := traits.CharacterOf(t.Organ, t.Name)
	said := each(t.States, c.StateSays)
	if n := len(said); n > 2 {
		return strings.Join(said[:n-1], ", ") + " or " + said[n-1]
	}
	return strings.Join(said, " or ")
}

// common says what several species share: in the words of their profiles, if these are the same.
func common(list []outing.Common, as phrase.Speech) string {
	said := each(list, func(c outing.Common) string {
		shared := *c[0]
		if slices.ContainsFunc(c, func(t *phenology.Trait) bool { return t.Text != c[0].Text }) {
			shared.Text = ""
		}
		return Trait(&shared, as)
	})
	return "All of them: " + phrase.Clauses(said)
}

// pair says how two species can be told apart on the pair's day, and what settles it if that is not enough.
func pair(p *traits.Pair, as phrase.Speech) string {
	text := fmt.Sprintf("%s and %s: ", phrase.Capital(p.A.Name()), p.B.Name())
	switch {
	case p.Ease == traits.NotApart:
		text += "our tables hold nothing that separates them that day"
	case len(p.Close) > 0 && p.Ease == traits.Apart:
		text += fmt.Sprintf("take care, %s is close; %s settles it", split(&p.Close[0]), split(&p.By[0]))
	default:
		by := &p.By[0]
		text += split(by)
		switch by.Doubt {
		case traits.Shade:
			if by.A.Name == "color" {
				text += ", only a shade apart"
			} else {
				text += ", close to each other"
			}
		case traits.Age:
			text += ", on grown trees only"
		case traits.Handling:
			text += ", to be cut, broken, scraped, smelled or held under a lens"
		case traits.Presence:
			text += ", where the tree bears it"
		}
	}
	if s := p.Settle; s != nil {
		text += fmt.Sprintf("; from %s, %s settles it", phrase.ShortDate(s.Span.First), split(&s.Split))
		if s.Doubt == traits.Handling {
			text += " when cut or broken"
		}
	} else if p.Ease != traits.Apart {
		text += "; our tables hold nothing better at another time"
	}
	if p.Ease != traits.Apart && len(p.Hints) > 0 {
		h := &p.Hints[0]
		text += fmt.Sprintf("; where they stand is a hint and no proof (%s against %s)", states(h.A), states(h.B))
	}
	return as.Measures(text + ".")
}

// split names a character and its two states.
func split(s *traits.Split) string {
	return fmt.Sprintf("%s (%s against %s)", character(s.A), states(s.A), states(s.B))
}

// care says how many pairs can be told apart, which of them need care, and how many more do.
func care(n outing.Pairs, list []traits.Pair, more int, as phrase.Speech) (lines []string) {
	if text := pairs(n); text != "" {
		lines = append(lines, text)
	}
	for i := range list {
		lines = append(lines, pair(&list[i], as))
	}
	switch {
	case more == 1:
		lines = append(lines, "1 pair more needs care.")
	case more > 1:
		lines = append(lines, fmt.Sprintf("%d pairs more need care.", more))
	}
	return lines
}

// pairs says how many pairs can be told apart; "" if there are none.
func pairs(p outing.Pairs) string {
	n := p.Total()
	switch {
	case n == 0:
		return ""
	case n == 1 && p.NotByColor == 1:
		return "The two can be told apart, though not by their colors."
	case n == 1 && p.AtAGlance == 1:
		return "The two can be told apart at a glance."
	case p.AtAGlance == n:
		return fmt.Sprintf("All %d pairs can be told apart at a glance.", n)
	case p.NotApart == n:
		return fmt.Sprintf("Of %s, our tables tell none apart that day.", phrase.Count(n, "pair"))
	}
	var parts []string
	verb := "can be told apart "
	for _, x := range []struct {
		n   int
		how string
	}{{p.AtAGlance, "at a glance"}, {p.NotByColor, "by other characters than color"}, {p.WithCare, "only with care"}} {
		if x.n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s%s", x.n, verb, x.how))
			verb = ""
		}
	}
	if p.NotApart > 0 {
		parts = append(parts, fmt.Sprintf("%d by nothing that our tables hold that day", p.NotApart))
	}
	return fmt.Sprintf("Of %s, %s.", phrase.Count(n, "pair"), strings.Join(parts, ", "))
}
