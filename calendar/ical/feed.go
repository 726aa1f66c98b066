package ical

import (
	"bytes"
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	ics "github.com/arran4/golang-ical"

	"treewhen/calendar"
	"treewhen/calendar/icslint"
	"treewhen/calendar/outing"
	"treewhen/calendar/phrase"
	"treewhen/calendar/words"
	"treewhen/phenology/civil"
)

// Feed is an iCalendar file that calendar programs subscribe to: RFC 5545 and 7986.
//
// An entry becomes one event, its window. The days are dates without a clock or a zone, so that they stay the same days
// wherever they are read. An outing of one day that has hours becomes an event at these hours of its site's zone, which
// the feed defines for the years of its events. Nothing in a feed but its events depends on AsOf: what was not revised is not
// rewritten.
//
// There is no METHOD, which would make the file a message that needs an organizer (RFC 5546 section 3.2.1). RFC 5545
// section 3.6 wants at least one component in a calendar. One in which nothing is due has the zone Etc/UTC and no event,
// the "only a VTIMEZONE" form of that section: programs show an empty calendar, where an event that says 'nothing to do'
// would stand among real ones, on a day that means nothing.
type Feed struct {
	UID         string // a UUID: see [CalendarUID]
	Name        string
	Description string            // what the feed holds; must not change from day to day. May be ""
	Color       string            // a color name of CSS3; may be ""
	URL         string            // a page for people that shows the same; may be ""
	Source      string            // where this feed can be fetched; may be ""
	Refresh     time.Duration     // how often to fetch it, whole seconds; 0 leaves that to the program
	AsOf        civil.Date        // the day taken as today
	Entries     []*calendar.Entry // in any order
	Days        calendar.FeedDays // how work of many days stands in it; "" is FeedWindows
	Previous    *Previous         // the feed as last published; nil if it never was
}

// Changes counts what a feed does to the one published before it.
type Changes struct {
	Added     int // events that were not there
	Revised   int // events whose dates or text are new, those that came back from being cancelled among them
	Cancelled int // events no longer expected
	Dropped   int // events left out for good: past ones after a year, cancelled ones after two weeks
	Kept      int // events left as they were, byte for byte
}

// WriteICS writes the feed f: see [RenderICS]. It writes nothing if there is an error in f. A feed that was never published
// is written event by event, so that it takes no more memory than its entries.
func WriteICS(w io.Writer, f Feed) error {
	if f.Previous == nil {
		return f.write(w)
	}
	data, _, err := RenderICS(f)
	if err != nil {
		return err
	}
	_, err = w.Write(data)
	return err
}

// RenderICS returns the feed f as bytes, and how it differs from f.Previous. When nothing changed, the bytes are those
// of f.Previous. Its errors name what in f cannot stand in a feed.
func RenderICS(f Feed) ([]byte, Changes, error) {
	f.Entries = standing(f.Days, f.Entries)
	if err := f.check(); err != nil {
		return nil, Changes{}, err
	}
	events, changes, err := f.revise()
	if err != nil {
		return nil, Changes{}, err
	}
	slices.SortFunc(events, comparePublished)
	if f.Previous == nil {
		data, err := f.render(events, newest(midnight(f.AsOf), events))
		return data, changes, err
	}
	data, err := f.render(events, f.Previous.modified)
	if err != nil || bytes.Equal(data, f.Previous.data) {
		return data, changes, err
	}
	data, err = f.render(events, newest(later(f.AsOf, f.Previous.modified), events))
	return data, changes, err
}

// comparePublished puts events in the order in which they stand in a feed.
func comparePublished(a, b publishedEvent) int {
	return cmp.Or(cmp.Compare(a.window.First, b.window.First), cmp.Compare(a.window.Last, b.window.Last), strings.Compare(a.uid, b.uid))
}

// newest returns the time of the newest event, t if that is newer.
func newest(t time.Time, events []publishedEvent) time.Time {
	for _, e := range events {
		if e.stamp.After(t) {
			t = e.stamp
		}
	}
	return t
}

// productID marks our own feeds, RFC 5545 section 3.7.3. It names no version: a new program is no new feed.
const productID = "-//treewhen//NONSGML treewhen//EN"

// render returns the calendar with its events.
func (f Feed) render(events []publishedEvent, modified time.Time) ([]byte, error) {
	components := make([]ics.Component, len(events))
	for i, e := range events {
		components[i] = rawComponent(e.raw)
	}
	var b bytes.Buffer // never fails, which the library would not always notice
	err := f.serialize(&b, events, components, modified)
	return b.Bytes(), err
}

// serialize writes the calendar around its events, which are given by what is known of them and as what is written.
func (f Feed) serialize(w io.Writer, events []publishedEvent, components []ics.Component, modified time.Time) error {
	c := &ics.Calendar{}
	c.SetVersion("2.0")
	c.SetProductId(productID)
	c.SetCalscale("GREGORIAN")
	property := func(token, value string) {
		if value != "" {
			c.CalendarProperties = append(c.CalendarProperties,
				ics.CalendarProperty{BaseProperty: ics.BaseProperty{IANAToken: token, Value: value}})
		}
	}
	property("UID", f.UID)
	c.SetName(phrase.OneLine(f.Name)) // NAME and, for programs older than that, X-WR-CALNAME
	property("DESCRIPTION", phrase.CleanText(f.Description))
	property("COLOR", f.Color)
	c.SetLastModified(modified)
	property("URL", f.URL)
	property("SOURCE;VALUE=URI", f.Source)
	if f.Refresh > 0 {
		c.SetRefreshInterval(formatDuration(f.Refresh))
	}
	zones, err := zonesOf(events)
	if err != nil {
		return fmt.Errorf("calendar: %w", err)
	}
	c.Components = slices.Concat(c.Components, zones, components)
	if len(events) == 0 {
		utc := c.AddTimezone("Etc/UTC").AddStandard()
		utc.SetProperty(ics.ComponentPropertyDtStart, "19700101T000000")
		utc.SetProperty("TZOFFSETFROM", "+0000")
		utc.SetProperty("TZOFFSETTO", "+0000")
	}
	if err := c.SerializeTo(w, ics.WithNewLineWindows); err != nil {
		return fmt.Errorf("calendar: %w", err)
	}
	return nil
}

// rawComponent is a component that is written already.
type rawComponent []byte

func (r rawComponent) UnknownPropertiesIANAProperties() []ics.IANAProperty { return nil }
func (r rawComponent) SubComponents() []ics.Component                      { return nil }
func (r rawComponent) SerializeTo(w io.Writer, _ *ics.SerializationConfiguration) error {
	_, err := w.Write(r)
	return err
}

// event is what this package puts into a VEVENT.
type event struct {
	uid         string
	window      civil.Span
	hours       calendar.Hours // of a window of one day; zero: whole days
	zone        string         // of the hours, an IANA name; "" if they are UTC
	status      ics.ObjectStatus
	summary     string
	description string
	location    string
	geo         string
	categories  []string
	color       string
	after       []string
	alarms      []alarm
	sequence    int
	stamp       time.Time // of the last revision, UTC
}

type alarm struct {
	uid, trigger, text string
}

// render writes e with CRLF and folds. The order of the properties is part of what makes an unchanged event unchanged.
func (e event) render() ([]byte, error) {
	v := ics.NewEvent(e.uid)
	v.SetDtStampTime(e.stamp)
	// Without METHOD, DTSTAMP is the time of the last revision, as LAST-MODIFIED is: RFC 5545 section 3.8.7.2.
	v.SetLastModifiedAt(e.stamp)
	v.SetSequence(e.sequence)
	v.SetStatus(e.status)
	if e.hours == (calendar.Hours{}) {
		v.SetAllDayStartAt(e.window.First.Time())
		v.SetAllDayEndAt((e.window.Last + 1).Time()) // the end is not part of the event: section 3.8.2.2
	} else {
		// The library would write what the clocks of UTC show.
		v.SetProperty(ics.ComponentPropertyDtStart, e.clock(e.hours.Start), e.zoneParameter()...)
		v.SetProperty(ics.ComponentPropertyDtEnd, e.clock(e.hours.End), e.zoneParameter()...)
	}
	v.SetSummary(e.summary)
	if e.location != "" {
		v.SetLocation(e.location)
	}
	if e.geo != "" {
		v.SetProperty(ics.ComponentPropertyGeo, e.geo)
	}
	for _, c := range e.categories {
		v.AddCategory(c) // one a property: the library would escape the comma between two
	}
	if e.color != "" {
		v.SetColor(e.color)
	}
	v.SetTimeTransparency(ics.TransparencyTransparent) // days on which work is possible leave their owner free
	for _, uid := range e.after {
		v.AddProperty(ics.ComponentPropertyRelatedTo, uid)
	}
	if e.description != "" {
		v.SetDescription(e.description)
	}
	for _, a := range e.alarms {
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

// activityWords are what calendars call an activity, and the color of its events.
var activityWords = map[calendar.Activity]struct{ category, color string }{
	calendar.Tapping:        {"Tapping", "chocolate"},
	calendar.SeedCollection: {"Seed collection", "olivedrab"},
	calendar.TwigSurvey:     {"Twig survey", "slateblue"},
	calendar.FieldTrip:      {"Field trip", "teal"},
}

// eventOf returns the event of an entry that [Feed.check] has passed.
func eventOf(e *calendar.Entry) (event, error) {
	status := ics.ObjectStatusTentative
	if e.Settled || e.Booked {
		status = ics.ObjectStatusConfirmed
	}
	said := words.Say(e)
	v := event{
		uid:         strings.ToLower(e.UID),
		window:      e.Window,
		status:      status,
		summary:     phrase.OneLine(said.Summary) + " (" + phrase.OneLine(said.Sure()) + ")",
		description: describe(e, &said),
		location:    phrase.OneLine(e.Site.Name),
		geo:         formatGeo(e.Site.Latitude, e.Site.Longitude),
		color:       activityWords[e.Activity].color,
	}
	if c := activityWords[e.Activity].category; c != "" {
		v.categories = []string{c}
	} else if e.Activity != "" {
		v.categories = []string{phrase.OneLine(string(e.Activity))}
	}
	if timed(e) {
		v.setHours(e)
	}
	for _, uid := range e.After {
		v.after = append(v.after, strings.ToLower(uid))
	}
	for n, r := range e.Reminders {
		uid, err := calendar.AlarmUID(e.UID, n)
		if err != nil {
			return event{}, err
		}
		text := phrase.CleanText(said.Reminders[n])
		if text == "" {
			text = phrase.OneLine(said.Summary)
		}
		v.alarms = append(v.alarms, alarm{uid: uid, trigger: trigger(e.Window.First, v.beginsAt(e), r), text: text})
	}
	return v, nil
}

// The headings of a description. What stands above the first of lastingHeadings follows the season; what stands below
// lasts as long as the species' profile does.
const headingWhy = "Why these days:"

var lastingHeadings = []string{"Look for:", "Bring:", "Take care:", "Sources:"}

// bestDayLabel begins the line of a description that names the best day; bestDayLayout is how it is written.
const (
	bestDayLabel  = "Best day: "
	bestDayLayout = "Monday 2 January 2006"
)

// describe writes an entry as plain text, a line a statement.
func describe(e *calendar.Entry, said *words.Text) string {
	var b strings.Builder
	line := func(label, text string) {
		if text = phrase.OneLine(text); text != "" {
			b.WriteString(label + fullStop(text) + "\n")
		}
	}
	list := func(heading string, items []string) {
		first := true
		for _, item := range items {
			if item = phrase.OneLine(item); item != "" {
				if first {
					b.WriteString("\n" + heading + "\n")
					first = false
				}
				b.WriteString("- " + fullStop(item) + "\n")
			}
		}
	}
	line(bestDayLabel, e.Best.Format(bestDayLayout))
	if e.Hours != (calendar.Hours{}) {
		line("Hours: ", e.Hours.String())
	}
	sure := said.Sure()
	switch {
	case said.ChanceOf == "":
	case said.Fact != "":
		sure += ": " + said.ChanceOf
	default:
		sure += ", " + said.ChanceOf
	}
	line("How sure, on that day: ", sure)
	basis := said.Basis
	if basis == "" {
		basis = e.Rests.Basis.String()
	}
	line("Basis: ", basis)
	switch {
	case e.Booked:
		line("", "This day is booked: it stays, whatever the season does")
	case e.Settled:
		line("", "These dates are settled: nothing still to come can move them")
	default:
		line("", "These dates can still move; this entry moves with them")
	}
	if rain := outing.RainDate(e); rain != nil && e.Task == calendar.TaskTrip {
		line("Rain date: ", rain.Format(bestDayLayout))
	}
	line("Site: ", e.Site.Name)
	list(headingWhy, said.Reasons)
	list(lastingHeadings[0], said.LookFor)
	list(lastingHeadings[1], said.Kit)
	list(lastingHeadings[2], said.Cautions)
	list(lastingHeadings[3], said.Sources)
	return strings.TrimSpace(b.String())
}

// fullStop ends s with a full stop unless it has an end already.
func fullStop(s string) string {
	if strings.HasSuffix(s, ".") || strings.HasSuffix(s, "!") || strings.HasSuffix(s, "?") || strings.HasSuffix(s, "…") {
		return s
	}
	return s + "."
}

// trigger returns when a reminder rings, from midnight at the start of the event's first day. An all-day event has no
// zone, so that is midnight of the clock on the wall, wherever the program is. Days are nominal and come before hours
// (RFC 5545 section 3.3.6), so that a change to summer time in between moves nothing: 07:00 eight days before is
// -P7DT17H. Only a reminder at daytime of a first day on which the clocks change is off by that hour. An event with hours
// begins so many minutes after midnight, and its reminder is that much longer before it.
func trigger(first civil.Date, begins int, r calendar.Reminder) string {
	const day = 24 * 60
	minutes := int(r.On-first)*day - r.Before*day + r.Minute - begins
	return formatDuration(time.Duration(minutes) * time.Minute)
}

// formatDuration writes d as RFC 5545 section 3.3.6 does, in days, hours, minutes and seconds.
func formatDuration(d time.Duration) string {
	sign := ""
	if d < 0 {
		sign, d = "-", -d
	}
	seconds := int64(d / time.Second)
	days, h, m, s := seconds/86400, seconds/3600%24, seconds/60%60, seconds%60
	out := sign + "P"
	if days > 0 {
		out += strconv.FormatInt(days, 10) + "D"
	}
	clock := ""
	// The grammar lets no unit be skipped between two: PT1H0M5S.
	if h > 0 {
		clock += strconv.FormatInt(h, 10) + "H"
	}
	if m > 0 || h > 0 && s > 0 {
		clock += strconv.FormatInt(m, 10) + "M"
	}
	if s > 0 || days == 0 && h == 0 && m == 0 {
		clock += strconv.FormatInt(s, 10) + "S"
	}
	if clock != "" {
		out += "T" + clock
	}
	return out
}

// formatGeo writes a place as RFC 5545 section 3.8.1.6 does. Four decimals are 11 m.
func formatGeo(latitude, longitude float64) string {
	degrees := func(x float64) string {
		x = math.Round(x*1e4)/1e4 + 0 // adding 0 makes -0 into 0
		return strconv.FormatFloat(x, 'f', -1, 64)
	}
	return degrees(latitude) + ";" + degrees(longitude)
}

// midnight returns the beginning of d in UTC: feeds carry days, and stamps must be moments.
func midnight(d civil.Date) time.Time { return d.Time() }

// check returns what in f cannot stand in a feed.
func (f Feed) check() error {
	wrong := func(format string, args ...any) error {
		return fmt.Errorf("feed "+strconv.Quote(f.Name)+": "+format, args...)
	}
	if _, err := calendar.ParseUUID(f.UID); err != nil {
		return wrong("identifier: %w", err)
	}
	if phrase.OneLine(f.Name) == "" {
		return wrong("found no name, want one")
	}
	if f.Color != "" && !icslint.IsColor(f.Color) {
		return wrong("found color %q, want a color name of CSS such as forestgreen", f.Color)
	}
	for _, address := range []string{f.URL, f.Source} {
		if address != "" && !calendar.IsWebAddress(address) {
			return wrong("found address %q, want one such as https://example.org/feeds/ridge.ics", address)
		}
	}
	if f.Refresh < 0 || f.Refresh%time.Second != 0 || f.Refresh > 1000*24*time.Hour {
		return wrong("found refresh interval %v, want whole seconds, at most 1000 days", f.Refresh)
	}
	if !writable(f.AsOf) {
		return wrong("found as-of date %v, want a year from 1 to 9998", f.AsOf)
	}
	seen := make(map[string]bool, len(f.Entries))
	for _, e := range f.Entries {
		if err := checkEntry(e); err != nil {
			return wrong("entry %q: %w", e.Summary, err)
		}
		if uid := strings.ToLower(e.UID); seen[uid] {
			return wrong("entry %q: found identifier %s twice", e.Summary, uid)
		} else {
			seen[uid] = true
		}
	}
	return nil
}

// writable reports whether d has a year of four digits, and some days to spare.
func writable(d civil.Date) bool {
	return d >= civil.MinDate && d < civil.MaxDate.AddYears(-1)
}

// checkEntry returns what in e cannot stand in a feed.
func checkEntry(e *calendar.Entry) error {
	if _, err := calendar.ParseUUID(e.UID); err != nil {
		return fmt.Errorf("identifier: %w", err)
	}
	for _, uid := range e.After {
		if _, err := calendar.ParseUUID(uid); err != nil {
			return fmt.Errorf("identifier of an earlier entry: %w", err)
		}
	}
	switch {
	case e.Facts == nil && phrase.OneLine(e.Summary) == "":
		return fmt.Errorf("found no summary, want one")
	case e.Window.Empty() || !writable(e.Window.First) || !writable(e.Window.Last):
		return fmt.Errorf("found window %v, want a first day that is not after the last, in the years 1 to 9998", e.Window)
	case !e.Window.Contains(e.Best):
		return fmt.Errorf("found best day %v, want one within %v", e.Best, e.Window)
	case e.Hours.Start < 0 || e.Hours.End > 24*60 || e.Hours.End < e.Hours.Start:
		return fmt.Errorf("found hours from minute %d to %d, want two of a day in order", e.Hours.Start, e.Hours.End)
	case !(e.Probability >= 0 && e.Probability <= 1):
		return fmt.Errorf("found probability %v, want one from 0 to 1", e.Probability)
	case e.Site == nil:
		return fmt.Errorf("found no site, want one")
	}
	for _, r := range e.Reminders {
		if r.Before < 0 || r.Before > 3660 || r.Minute < 0 || r.Minute >= 24*60 || !e.Window.Contains(r.On) {
			return fmt.Errorf("found reminder %d days before %v at minute %d, want a day of the window and a minute of a day",
				r.Before, r.On, r.Minute)
		}
	}
	return e.Site.Check()
}
