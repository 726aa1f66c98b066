package ical

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	ics "github.com/arran4/golang-ical"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/calendar/words"
	"treewhen/phenology/civil"
)

// event is what this package puts into a VEVENT.
type event struct {
	uid         string
	window      civil.Span
	hours       calendar.Hours // of a window of one day; zero: whole days
	zone        string         // of the hours, an IANA name; "" if they are UTC
	status      ics.ObjectStatus
	summary     string
	description string
	url         string
	location    string
	geo         string
	categories  []string
	color       string
	after       []string
	facts       *facts // nil where the event tells none
	alarms      []alarm
	calledOff   []*event // short events that no longer ring: see rings.go
	sequence    int
	stamp       time.Time // of the last revision, UTC
}

type alarm struct {
	uid, trigger, text string
	own                *event // the short event that it stands in; nil where it stands in the event itself
}

// timed reports whether the event is an outing at hours of one day, and not days on which work can be done.
func (e *event) timed() bool { return e.hours != (calendar.Hours{}) }

// render writes e, and behind it its short events.
func (e *event) render() ([]byte, error) {
	raw, err := e.renderAlone()
	for s := range e.shorts() {
		short := *s
		if short.stamp.IsZero() { // else it stays as it was
			short.sequence, short.stamp = e.sequence, e.stamp
		}
		more, wrong := short.renderAlone()
		raw, err = append(raw, more...), errors.Join(err, wrong)
	}
	return raw, err
}

// renderAlone writes e with CRLF and folds. The order of the properties is part of what makes an unchanged event
// unchanged.
func (e *event) renderAlone() ([]byte, error) {
	v := ics.NewEvent(e.uid)
	v.SetDtStampTime(e.stamp)
	// Without METHOD, DTSTAMP is the time of the last revision, as LAST-MODIFIED is: RFC 5545 section 3.8.7.2.
	v.SetLastModifiedAt(e.stamp)
	v.SetSequence(e.sequence)
	v.SetStatus(e.status)
	if !e.timed() {
		v.SetAllDayStartAt(e.window.First.Time())
		v.SetAllDayEndAt((e.window.Last + 1).Time()) // the end is not part of the event: section 3.8.2.2
	} else {
		// The library would write what the clocks of UTC show.
		v.SetProperty(ics.ComponentPropertyDtStart, e.clock(e.hours.Start), e.zoneParameter()...)
		v.SetProperty(ics.ComponentPropertyDtEnd, e.clock(e.hours.End), e.zoneParameter()...)
	}
	known := func(property ics.ComponentProperty, value string) {
		if value != "" {
			v.SetProperty(property, value)
		}
	}
	v.SetSummary(e.summary)
	known(ics.ComponentPropertyLocation, e.location)
	known(ics.ComponentPropertyGeo, e.geo)
	for _, c := range e.categories {
		v.AddCategory(c) // one a property: the library would escape the comma between two
	}
	known(ics.ComponentPropertyColor, e.color)
	v.SetTimeTransparency(ics.TransparencyTransparent) // days on which work is possible leave their owner free
	for _, uid := range e.after {
		v.AddProperty(ics.ComponentPropertyRelatedTo, uid)
	}
	known(ics.ComponentPropertyDescription, e.description)
	known(ics.ComponentPropertyUrl, e.url)
	if e.facts != nil {
		v.AddProperty(factsProperty, e.facts.String())
	}
	for _, a := range e.alarms {
		if a.own != nil {
			continue
		}
		w := v.AddAlarm()
		w.SetProperty(ics.ComponentPropertyUniqueId, a.uid)
		w.SetAction(ics.ActionDisplay)
		w.SetTrigger(a.trigger)
		w.SetDescription(a.text)
	}
	var b bytes.Buffer
	err := v.SerializeTo(&b, &ics.SerializationConfiguration{MaxLength: 75, PropertyMaxLength: 75, NewLine: "\r\n"})
	return b.Bytes(), err
}

// voice is who speaks in a feed.
type voice struct {
	say    func(*calendar.Entry) words.Text
	labels *words.Labels
	looks  map[string]Look
	page   string
	mark   uint32 // of the labels: see facts.said
}

// voice returns who speaks in f: package words in English, unless it is somebody else.
func (f *Feed) voice() voice {
	v := voice{say: f.Say, labels: f.Labels, looks: f.Looks, page: f.Page}
	if v.say == nil {
		v.say = words.Say
	}
	if v.labels == nil {
		v.labels = &words.English
	}
	v.mark = markOf(noMark, fmt.Sprint(*v.labels)) // fmt writes maps in the order of their keys
	return v
}

// event returns the event of an entry that [Feed.check] has passed.
func (v voice) event(s standing) (event, error) {
	said := v.say(s.Entry)
	if s.only() {
		v.labels.AsBestDay(&said, s.of, s.beside)
	}
	wrong := func(err error) (event, error) {
		return event{}, fmt.Errorf("entry %s (%s): %w", s.Task, s.UID, err)
	}
	if phrase.OneLine(said.Summary) == "" {
		return wrong(errors.New("found no summary, want one"))
	}
	title, name := said.Title()
	look := v.looks[s.Site.ID]
	short := ""
	if look.Short != "" {
		short = phrase.OneLine(look.Short) + v.labels.Colon()
		title, name = short+title, utf8.RuneCountInString(short)+name
	}
	e := event{
		uid:         strings.ToLower(s.UID),
		window:      s.Window,
		status:      ics.ObjectStatusTentative,
		summary:     title,
		description: v.labels.Describe(s.Entry, &said),
		location:    phrase.OneLine(s.Site.Name),
		geo:         formatGeo(s.Site.Latitude, s.Site.Longitude),
		color:       cmp.Or(look.Color, colors[s.Activity]),
	}
	if v.page != "" {
		e.url = v.page + "#work-" + e.uid
	}
	if s.Settled || s.State == calendar.Booked {
		e.status = ics.ObjectStatusConfirmed
	}
	if c := v.labels.Category(s.Activity); c != "" {
		e.categories = []string{c}
	}
	if timed(s.Entry) {
		e.setHours(s.Entry)
	}
	for _, uid := range s.After {
		e.after = append(e.after, strings.ToLower(uid))
	}
	e.facts = factsOf(s, e.timed())
	if err := e.facts.check(); err != nil {
		return wrong(err)
	}
	e.facts.name = name
	lasting := []string{said.Care, short, e.color, v.page}
	for _, d := range s.Doubts {
		if d.Grave() { // news as soon as it is so, and as soon as it is so no more
			lasting = append(lasting, words.Doubt(d, s.Speech))
		}
	}
	e.facts.said = [2]uint32{markOf(v.mark, lasting...), markOf(noMark, said.Summary)}
	e.facts.promises = s.promises
	for _, planned := range s.alarms {
		a, err := v.alarm(s, &e, &said, short, planned)
		if err != nil {
			return wrong(err)
		}
		e.alarms = append(e.alarms, a)
	}
	e.calledOff = s.calledOff
	return e, nil
}

// alarm returns an alarm of an event that is being made. Short begins what it says.
func (v voice) alarm(s standing, e *event, said *words.Text, short string, planned plannedAlarm) (alarm, error) {
	if planned.was != nil {
		return *planned.was, nil
	}
	uid, err := calendar.AlarmUID(s.UID, planned.number)
	text := ""
	if planned.reminder < len(said.Reminders) {
		text = phrase.CleanText(said.Reminders[planned.reminder])
	}
	if text == "" {
		text = phrase.OneLine(said.Summary)
	}
	a := alarm{uid: uid, trigger: trigger(s.begins(), planned.at), text: cmp.Or(planned.said, short+text)}
	if planned.short && err == nil {
		a.trigger = trigger(0, 0)
		a.own, err = v.ring(s, e, planned.at, a)
	}
	return a, err
}

// markOf goes on from a mark with some texts, or from noMark: the 32-bit FNV-1a hash of Fowler, Noll and Vo (RFC
// 9923), with an end behind each text and one behind all.
func markOf(mark uint32, texts ...string) uint32 {
	const prime, end = 16777619, 0xff // no byte of UTF-8
	for _, text := range texts {
		for i := range len(text) {
			mark = (mark ^ uint32(text[i])) * prime
		}
		mark = (mark ^ end) * prime
	}
	return (mark ^ end) * prime
}

const noMark = 2166136261

// trigger returns when an alarm rings, from the beginning of its event. An all-day event has no zone and begins at
// midnight of the clock on the wall, wherever the program is. Days are nominal and come before hours (RFC 5545 section
// 3.3.6), so that a change to summer time in between moves nothing: 07:00 eight days before is -P7DT17H. Only an alarm
// at daytime of a first day on which the clocks change is off by that hour.
func trigger(begins, at moment) string { return formatDuration(time.Duration(at-begins) * time.Minute) }

// formatGeo writes a place as RFC 5545 section 3.8.1.6 does. Four decimals are 11 m.
func formatGeo(latitude, longitude float64) string {
	degrees := func(x float64) string {
		x = math.Round(x*1e4)/1e4 + 0 // adding 0 makes -0 into 0
		return strconv.FormatFloat(x, 'f', -1, 64)
	}
	return degrees(latitude) + ";" + degrees(longitude)
}

// content returns the content lines of an event but those that count revisions. Two versions of a library may fold the
// same line differently.
func content(raw []byte) []string {
	unfolded := strings.ReplaceAll(strings.ReplaceAll(string(raw), "\r\n ", ""), "\r\n\t", "")
	return slices.DeleteFunc(strings.Split(unfolded, "\r\n"), func(l string) bool {
		name, _, _ := strings.Cut(l, ":")
		return name == "DTSTAMP" || name == "LAST-MODIFIED" || name == "SEQUENCE"
	})
}
