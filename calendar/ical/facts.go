package ical

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	ics "github.com/arran4/golang-ical"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/phenology/civil"
)

// factsProperty is where an event tells its facts to the feed that is published after it: a non-standard property of
// RFC 5545 section 3.8.8.2. Its value is a version and NAME=VALUE, parted by bars; the essence follows behind two:
//
//	X-TREEWHEN-FACTS:1|best=20270314|state=open|chance=86%|basis=season|name=15|said=5b3f0c1e.88a0d2b7||advice=wait
//
// The window, the hours, the site and what rings stand in the properties that the standard has for them; what else
// there is to remember of alarms is rings= and rang=, of revisions as-of= and moved=: see facts.
const factsProperty ics.ComponentProperty = "X-TREEWHEN-FACTS"

// factsVersion is raised when an essence gets a name that it never had: in a feed of another version, a name that is
// not there says nothing. The form stays for good.
const factsVersion = 1

// facts are what must stay within a leeway for what is published to stay.
type facts struct {
	version int // 0: the event tells none
	best    civil.Maybe
	of      civil.Span // where only the best day stands in the calendar: the days on which work can be done; else zero
	state   string     // of [calendar.State], "" if not told
	settled bool
	follows bool   // there never is a chance: not written
	chance  int    // hundredths, as they are shown; noChance where none is told
	basis   string // no change of it is a change of the event
	hours   string // of the best day of a window

	// How many characters of the title say what it is; the rest says how sure.
	name int
	// Marks of the words that do not follow the season: those that stand as they are however the figures move, and
	// those that need to be right only when an outing's day is near. If one is another, the words were written anew.
	said [2]uint32

	// The day on which the event was last published with other facts, if it was published anew since then.
	asOf civil.Maybe

	moved    *calendar.Moved // how it last came by its days; nil if it never moved
	promises promises        // what the event rings for
	essence  []fact

	ringsFor string // of a short event, its only fact: the UID of the event that it rings for; see rings.go
}

// ringsFor returns the UID of the event that a short event rings for; "" for an event of an entry.
func (e *event) ringsFor() string {
	if e.facts == nil {
		return ""
	}
	return e.facts.ringsFor
}

// fact is a [calendar.Fact] as it is written.
type fact struct{ name, value string }

const noChance = -1

// factsOf returns the facts of an entry that stands in a calendar.
func factsOf(s standing, timed bool) *facts {
	f := &facts{
		version: factsVersion, best: civil.Some(s.Best), of: s.of, state: s.State.String(), settled: s.Settled,
		chance: phrase.WholePercent(s.Probability), basis: s.Rests.Basis.String(), moved: s.Moved,
	}
	if !s.TellsChance() {
		f.chance, f.follows = noChance, !s.State.Over()
	}
	if !timed && s.Hours != (calendar.Hours{}) {
		f.hours = fmt.Sprintf("%d-%d", s.Hours.Start, s.Hours.End)
	}
	if s.Facts != nil {
		essence := s.Facts.Essence()
		f.essence = make([]fact, 0, len(essence))
		for _, e := range essence {
			if v := written(e.Value); v != "" {
				f.essence = append(f.essence, fact{e.Name, v})
			}
		}
	}
	return f
}

// written writes the value of a fact, "" where there is none.
func written(value any) string {
	switch v := value.(type) {
	case civil.Date:
		return v.Format("20060102")
	case civil.Maybe:
		if d, ok := v.Get(); ok {
			return d.Format("20060102")
		}
		return ""
	case calendar.Chance:
		return strconv.Itoa(phrase.WholePercent(float64(v))) + "%"
	case calendar.Amount:
		return strconv.FormatFloat(float64(v), 'f', 1, 64)
	case bool:
		if v {
			return "yes"
		}
		return "no"
	}
	return fmt.Sprint(value) // a string, or a type of one
}

// String returns the value of [factsProperty]. Nothing in it is escaped in a TEXT value: see facts.check.
func (f *facts) String() string {
	if f.ringsFor != "" {
		return "1|rings-for=" + f.ringsFor
	}
	b := strconv.AppendInt(make([]byte, 0, 256), int64(f.version), 10)
	put := func(name, value string) {
		b = append(append(append(append(b, '|'), name...), '='), value...)
	}
	putKnown := func(name, value string) {
		if value != "" {
			put(name, value)
		}
	}
	putKnown("best", written(f.best))
	if f.only() {
		put("from", written(f.of.First))
		put("to", written(f.of.Last))
	}
	put("state", f.state)
	if f.settled {
		put("settled", written(f.settled))
	}
	if f.chance != noChance {
		put("chance", strconv.Itoa(f.chance)+"%")
	}
	put("basis", f.basis)
	putKnown("hours", f.hours)
	putKnown("as-of", written(f.asOf))
	if m := f.moved; m != nil {
		text := written(m.On) + "-" + written(m.Was.First) + "-" + written(m.Was.Last)
		if best, ok := m.WasBest.Get(); ok {
			text += "-" + written(best)
		}
		put("moved", text)
	}
	if !f.promises.plain() {
		put("rings", strings.Join(f.promises.kinds, "+"))
	}
	putKnown("rang", strings.Join(f.promises.rang, "+"))
	put("name", strconv.Itoa(f.name))
	put("said", writtenMark(f.said[0])+"."+writtenMark(f.said[1]))
	for i, e := range f.essence {
		if i == 0 {
			b = append(b, '|')
		}
		put(e.name, e.value)
	}
	return string(b)
}

// writtenMark writes a mark in eight hexadecimal digits.
func writtenMark(m uint32) string {
	const ninth = 1 << 32
	return strconv.FormatUint(ninth|uint64(m), 16)[1:]
}

// check returns what in an essence cannot be written so that it is read back.
func (f *facts) check() error {
	for i, e := range f.essence {
		if slices.ContainsFunc(f.essence[:i], func(b fact) bool { return b.name == e.name }) {
			return fmt.Errorf("found fact %q twice", e.name)
		}
		if e.name == "" || strings.Trim(e.name, slugSigns) != "" || strings.Trim(e.value, valueSigns) != "" {
			return fmt.Errorf("found fact %q with the value %q, want letters a to z, digits and -", e.name, e.value)
		}
	}
	return nil
}

// What names and values are made of. None of it is escaped in a TEXT value.
const (
	slugSigns  = "abcdefghijklmnopqrstuvwxyz0123456789-"
	valueSigns = slugSigns + "+.%"
)

// told returns the value of a fact of the essence, "" if it is not told.
func (f *facts) told(name string) string {
	for _, e := range f.essence {
		if e.name == name {
			return e.value
		}
	}
	return ""
}

// keep puts what is published in place of what is now, so that a difference within the leeway cannot add up unseen.
func (f *facts) keep(published *facts) {
	f.asOf = published.asOf
	if published.version == factsVersion {
		f.essence = published.essence
		return
	}
	for i, e := range f.essence {
		if v := published.told(e.name); v != "" {
			f.essence[i].value = v
		}
	}
}
