package build_test

import (
	"maps"
	"slices"
	"strings"
	"testing"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/ical/icaltest"
	"treewhen/calendar/tapping"
	"treewhen/phenology/civil"
)

// subscriber reads a feed every morning as a program does, with a parser that shares no code with what wrote it, and
// holds it to what people rely on: what is promised rings, once, and while it is true; what is settled stays.
type subscriber struct {
	t       testing.TB
	events  map[string]*subscribed // by UID
	revised int
	parts   int // runs that became part of others
	byTask  map[calendar.Task]int
	rings   []ring

	made, back, cancelled map[calendar.Task]int // events that were made, that came back, and that were cancelled
}

func newSubscriber(t testing.TB) *subscriber {
	return &subscriber{t: t, events: map[string]*subscribed{}, byTask: map[calendar.Task]int{},
		made: map[calendar.Task]int{}, back: map[calendar.Task]int{}, cancelled: map[calendar.Task]int{}}
}

// subscribed is an event as it stands with the subscriber.
type subscribed struct {
	task      calendar.Task
	window    civil.Span
	sequence  string
	told      map[string]string // the facts in X-TREEWHEN-FACTS
	cancelled bool
	back      int                   // how many times it was brought back after it was cancelled
	rang      map[string]civil.Date // by what it rings for
}

// ring is an alarm that rang.
type ring struct {
	on      civil.Date
	kind    string
	uid     string
	task    calendar.Task
	site    string
	species string // the entry's first
	window  civil.Span
}

// read reads the feed of a bush on a morning; its entries are those that it was made from.
func (s *subscriber) read(asOf civil.Date, data []byte, entries []*calendar.Entry) {
	byUID := map[string]*calendar.Entry{}
	for _, e := range entries {
		byUID[e.UID] = e
	}
	events := icaltest.Read(s.t, data).Events()
	for _, event := range events {
		heard(s.t, asOf, event)
		if icaltest.RingsFor(event) != "" {
			continue // it is looked at with the event that it rings for
		}
		value := func(name string) string { return event.Props.Get(name).Value }
		day := func(name string) civil.Date {
			d, err := time.Parse("20060102", value(name))
			if err != nil {
				s.t.Fatalf("%s: %s: %v", asOf, name, err)
			}
			return civil.FromTime(d)
		}
		uid := value("UID")
		now := &subscribed{
			window: civil.Span{First: day("DTSTART"), Last: day("DTEND") - 1}, sequence: value("SEQUENCE"),
			told: map[string]string{}, cancelled: value("STATUS") == "CANCELLED", rang: map[string]civil.Date{},
		}
		for _, part := range strings.Split(value("X-TREEWHEN-FACTS"), "|") {
			name, v, _ := strings.Cut(part, "=")
			now.told[name] = v
		}
		e := byUID[uid]
		if old := s.events[uid]; old != nil {
			now.rang, now.back, now.task = old.rang, old.back, old.task
			s.moved(asOf, e, old, now)
			if now.cancelled && !old.cancelled && now.task == calendar.TaskRun {
				s.partOf(asOf, old.window, value("DESCRIPTION"), entries)
			}
		} else if e != nil {
			now.task = e.Task
			s.made[e.Task]++
		}
		s.events[uid] = now
		kinds := strings.Split(now.told["rings"], "+")
		for _, alarm := range icaltest.AlarmsIn(s.t, events, uid) {
			if alarm.Late {
				s.t.Errorf("%s %s: found an alarm at %v after the start of its event", asOf, uid, alarm.At)
			}
			if civil.FromTime(alarm.At) != asOf {
				continue
			}
			n := slices.IndexFunc(kinds, func(kind string) bool {
				name, err := calendar.AlarmUID(uid, slices.Index(kinds, kind))
				return err == nil && name == alarm.UID
			})
			if n < 0 {
				s.t.Errorf("%s %s: found an alarm that is none of %v", asOf, uid, kinds)
				continue
			}
			s.ring(asOf, uid, kinds[n], e, now)
		}
	}
	for _, e := range entries {
		s.owed(asOf, e)
	}
}

// partOf holds what is said of a run that is called off to whether its days are another's now.
func (s *subscriber) partOf(asOf civil.Date, was civil.Span, said string, entries []*calendar.Entry) {
	was.First = max(was.First, asOf)
	part := slices.ContainsFunc(entries, func(e *calendar.Entry) bool {
		return e.Task == calendar.TaskRun && e.Window.Overlaps(was)
	})
	if part {
		s.parts++
	}
	if strings.HasPrefix(said, "Part of the run of ") != part {
		s.t.Errorf("%s: found a run of %s called off, part of another %v: %s", asOf, was, part, said)
	}
}

// moved looks at what has become of an event since the morning before.
func (s *subscriber) moved(asOf civil.Date, e *calendar.Entry, old, now *subscribed) {
	switch {
	case old.cancelled && !now.cancelled:
		now.back++
		s.back[old.task]++
	case now.cancelled && !old.cancelled:
		s.cancelled[old.task]++
	}
	if now.cancelled || old.sequence == now.sequence {
		return
	}
	s.revised++
	if e != nil {
		s.byTask[e.Task]++
		s.t.Logf("%s %s: %v %v -> %v %v", asOf, e.Task, old.window, old.told, now.window, now.told)
	}
	if old.told["settled"] == "yes" && (old.window != now.window || old.told["best"] != now.told["best"]) {
		s.t.Errorf("%s: found %v on %s moved to %v on %s after it was settled",
			asOf, old.window, old.told["best"], now.window, now.told["best"])
	}
}

// ring is told of an alarm, and asks whether it is the first for what it is for, and whether that is so on this day.
func (s *subscriber) ring(asOf civil.Date, uid, kind string, e *calendar.Entry, event *subscribed) {
	if e == nil || event.cancelled {
		s.t.Errorf("%s: found %q to ring for an event that is not expected", asOf, kind)
		return
	}
	if before, ok := event.rang[kind]; ok {
		s.t.Errorf("%s %s: found %q to ring again after %s", asOf, e.Task, kind, before)
	}
	event.rang[kind] = asOf
	r := ring{on: asOf, kind: kind, uid: uid, task: e.Task, site: e.Site.ID, species: e.Species[0].ID,
		window: event.window}
	for _, before := range s.rings {
		// A day may be off, so that two runs share one; and one that a cold day has broken in two is two.
		is := s.events[before.uid].window
		shared := min(is.Last, r.window.Last) - max(is.First, r.window.First) + 1
		// What is told days ahead of the first run is a notice, which the run's own alarm follows.
		if e.Task == calendar.TaskRun && before.task == r.task && before.site == r.site && shared > 1 &&
			before.kind != tapping.RingFirst &&
			(before.uid != uid || before.kind == tapping.RingLargeRun) {
			s.t.Errorf("%s: found %q of the run of %v to ring after %q of that of %v on %s",
				asOf, kind, r.window, before.kind, before.window, before.on)
		}
	}
	s.rings = append(s.rings, r)
	best, _ := civil.Parse(event.told["best"][:4] + "-" + event.told["best"][4:6] + "-" + event.told["best"][6:])
	ahead := best - asOf
	notice := civil.Date(calendar.DefaultOptions().Tapping.Notice)
	sized := event.told["size"] == "middling" || event.told["size"] == "large"
	so := map[string]bool{
		tapping.RingSoon:     event.told["advice"] == "wait" && ahead >= 1 && ahead <= notice,
		tapping.RingNow:      event.told["advice"] == "tap-now" && event.told["times"] == "1",
		tapping.RingAgain:    event.told["advice"] == "tap-now" && event.told["times"] == "2",
		tapping.RingRun:      e.State == calendar.Open && asOf <= event.window.First && event.window.First <= asOf+1,
		tapping.RingLargeRun: e.State == calendar.Open && asOf <= event.window.Last && sized,
		tapping.RingFirst:    e.State == calendar.Open && asOf >= event.window.First-3 && asOf <= event.window.First-2,
		tapping.RingWarm:     e.State == calendar.Open && asOf >= event.window.First-1 && event.window.Last >= asOf,
		tapping.RingFreeze:   e.State == calendar.Open && asOf >= event.window.First-1 && asOf <= event.window.First,
		tapping.RingLast:     event.window.Contains(asOf),
		tapping.RingPull:     ahead <= 0 && event.window.Contains(asOf),
	}
	if !so[kind] {
		s.t.Errorf("%s %s: found %q to ring on a day on which it is not so: %v, %v",
			asOf, e.Task, kind, event.window, event.told)
	}
	s.t.Logf("%s %s %s %s: rings %q", asOf, r.site, r.species, e.Task, kind)
}

// owed asks whether what is known on a morning has rung by now.
func (s *subscriber) owed(asOf civil.Date, e *calendar.Entry) {
	rang := s.events[e.UID].rang
	want := func(kind string) {
		if _, ok := rang[kind]; !ok {
			s.t.Errorf("%s %s %s: found %q not to have rung, but %v: %v",
				asOf, e.Site.ID, e.Task, kind, slices.Sorted(maps.Keys(rang)), e.Window)
		}
	}
	switch f := e.Facts.(type) {
	case *tapping.RunFacts:
		// The morning before it, where the forecast had it; else the first morning on which it was one.
		sized := f.Size == tapping.SizeMiddling || f.Size == tapping.SizeLarge
		if sized && !f.Over && asOf >= e.Window.First-1 {
			want(tapping.RingLargeRun)
		}
	case *tapping.TapFacts:
		switch notice := civil.Date(calendar.DefaultOptions().Tapping.Notice); f.Advice {
		case tapping.PlanAhead, tapping.Wait, tapping.TapOrWait:
			if e.Best-asOf <= notice {
				want(tapping.RingSoon)
			}
		case tapping.TapNow:
			if f.Times == 1 {
				want(tapping.RingNow)
			} else if f.Times == 2 {
				want(tapping.RingAgain)
			}
		}
	case *tapping.SeasonFacts:
		if e.Task == calendar.TaskLast && e.Window.Contains(asOf) {
			want(tapping.RingLast)
		}
		if e.Task == calendar.TaskPull && asOf >= e.Best && e.Window.Contains(asOf) {
			want(tapping.RingPull)
		}
	}
}
