package words

import (
	"cmp"
	"maps"
	"slices"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/calendar/tapping"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// Revision says what became of a published event: what it was, and what it is. Of an outing, the species are those that
// it may show.
func Revision(title string, was, is calendar.Memory, as phrase.Speech, species ...*phenology.Species) string {
	l := tongue{as}
	wasOn, isOn := l.spanAndBest(was.Window, was.BestTold()), l.spanAndBest(is.Window, is.BestTold())
	var parts []string
	switch {
	case is.PartOf != (civil.Span{}):
		return l.say("%s: part of the run of %s, was %s", "%s\u00a0: fait partie de la coulée %s, était %s", title,
			l.span(is.PartOf), wasOn)
	case is.Cancelled:
		return l.say("%s: no longer expected, was %s", "%s\u00a0: on ne l'attend plus, était %s", title, wasOn)
	case was.Cancelled:
		return l.say("%s: expected again, %s", "%s\u00a0: on l'attend de nouveau, %s", title, isOn)
	case wasOn != isOn:
		parts = append(parts, l.say("was %s, is %s", "était %s, est %s", wasOn, isOn))
	}
	if is.State != was.State && was.State != "" {
		parts = append(parts, l.became("state", was.State, is.State)...)
	}
	if is.Hours != was.Hours && was.Hours != (calendar.Hours{}) && is.Hours != (calendar.Hours{}) {
		parts = append(parts, l.say("hours were %s, are %s", "heures\u00a0: %s, maintenant %s", Hours(was.Hours),
			Hours(is.Hours)))
	}
	if was.Told == nil { // an event of before facts were told: nothing is known to be another
		is.Told = nil
	}
	for _, fact := range slices.Sorted(maps.Keys(is.Told)) {
		parts = append(parts, l.became(fact, was.Told[fact], is.Told[fact])...)
	}
	for _, fact := range slices.Sorted(maps.Keys(was.Told)) {
		if is.Told[fact] == "" {
			parts = append(parts, l.became(fact, was.Told[fact], "")...)
		}
	}
	points := max(was.Chance-is.Chance, is.Chance-was.Chance)
	if len(parts) == 0 && points < littleNews {
		parts = revisedSights(was.Told, is.Told, species)
	}
	_, run := is.Told["size"]
	_, spell := is.Told["begun"]
	switch {
	case points == 0, was.Chance < 0, is.Chance < 0, was.Chance == 99 && is.Chance == 100 && !run && !spell:
	case (run || spell) && is.Chance == 100: // no chance is told of what has happened
		if begun := in(as, "has begun", "a commencé"); !slices.Contains(parts, begun) {
			parts = append(parts, begun)
		}
	default:
		parts = append(parts, l.say("chance was %d %%, is %d %%",
			"chances\u00a0: %d\u00a0%%, maintenant %d\u00a0%%", was.Chance, is.Chance))
	}
	if wasOn == isOn {
		title += ", " + isOn
	}
	if len(parts) == 0 {
		parts = []string{in(as, "its details changed", "détails changés")}
	}
	return title + l.colon() + strings.Join(parts, "; ")
}

// became says what a fact of an event became, in the names and values of feeds; nothing where it is the same, or where
// nobody has a use for it.
func (l tongue) became(fact, was, is string) []string {
	say, known := becomes[fact+"="+is]
	name, named := toldNames[fact]
	switch {
	case was == is:
	case known:
		return []string{in(l.Speech, say[0], cmp.Or(say[1], say[0]))}
	case named && was == "":
		return []string{l.say("%s is %s", "%s\u00a0: %s", in(l.Speech, name[0], name[1]), l.told(is))}
	case named && is != "":
		return []string{l.say("%s was %s, is %s", "%s\u00a0: %s, maintenant %s", in(l.Speech, name[0], name[1]),
			l.told(was), l.told(is))}
	case fact == "for":
		return []string{isToSee(is)}
	}
	return nil
}

// toldNames are facts that are told by their values, in English and in French where tapping has them.
var toldNames = map[string][2]string{
	"advice": {"advice", "conseil"}, "size": {"size", "ampleur"},
	"since": {"day first advised", "premier jour conseillé"},
	"crop":  {"crop"}, "rain": {"rain date"}, "trip": {"the trip's day"}, "number": {"number in its school year"},
	"step": {"step"},
}

// becomes says what a fact of a value means.
var becomes = map[string][2]string{
	"state=open": {"is still to be done", "est encore à faire"}, "state=done": {"is done", "est fait"},
	"state=booked": {"its day is fixed", "son jour est fixé"}, "state=observed": {"was measured", "est mesuré"},
	"begun=yes": {"has begun", "a commencé"},

	"holes-end-it=yes": {"holes run dry before the season ends", "les entailles tarissent avant la fin de la saison"},
	"holes-end-it=no":  {"holes last to the season's end", "les entailles durent jusqu'à la fin de la saison"},

	"visits=one": {"one visit will do"}, "visits=one-checked": {"let the ripeness checks set its day"},
	"visits=as-checks-decide": {"one visit is not to be relied on"},

	"crop=": {"its crop is not known"}, "may-forbid=yes": {"law may forbid it"},
	"may-forbid=": {"law is not known to forbid it"},
	"how=at-once": {"is sown fresh"}, "how=for-winter": {"is sown for a winter in the bed"},
	"how=in-spring": {"is sown in spring"}, "how=sprouted": {"is sown since it has roots"},
	"wintered=yes": {"it was sown in autumn"}, "wintered=": {"it was sown in spring"}, "rain=": {"has no rain date"},
	"put-off=days": {"sowing is put off by days"}, "put-off=to-another-spring": {"sowing is put off to another spring"},
	"put-off=": {"sowing is not put off"},
}

// told says a value that an essence tells.
func (l tongue) told(value string) string {
	if said, ok := frenchTold[value]; ok && isFrench(l.Speech) {
		return said
	}
	day, dated := calendar.Memory{Told: map[string]string{"day": value}}.Day("day").Get()
	switch {
	case dated:
		return l.day(day)
	case isFrench(l.Speech):
		return phrase.OneLine(value)
	case value == string(tapping.TapNow):
		return "tap"
	case value == string(tapping.SizeMiddling):
		return "medium"
	}
	return strings.ReplaceAll(value, "-", " ")
}

var frenchTold = map[string]string{
	"tap-now": "entaillez", "wait": "attendez", "wait-again": "attendez de nouveau", "tapped": "entaillé",
	"taken-done": "supposé fait", "too-late": "trop tard", "over": "fini", "no-record": "sans relevés",
	"small": "petite", "middling": "moyenne", "large": "grosse", "unknown": "inconnue",
}
