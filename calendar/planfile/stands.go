package planfile

import (
	"fmt"
	"maps"

	"treewhen/calendar"
	"treewhen/phenology/civil"
	"treewhen/profiles/strictyaml"
)

// Stand is a part of a site where seed is collected.
type Stand struct {
	ID, Name  string
	Line      int
	Elevation *float64 // metres; nil: the site's
	Offset    float64  // days by which spring is later than the elevation makes it
	SeedZone  string
	Permit    string
	Landowner string
	Species   []Word // empty: the site's
}

// readStands reads the stands of a site.
func readStands(m *strictyaml.Map) []*Stand {
	list, _ := m.Maps("stands")
	if v, ok := m.Get("stands"); ok && v.IsList() && len(list) == 0 {
		v.Report("found no stand, want at least one; leave the key out for the site as a whole")
	}
	seen := map[string]int{}
	var stands []*Stand
	for _, sm := range list {
		st := readStand(sm)
		if first, dup := seen[st.ID]; dup && st.ID != "" {
			sm.ReportKey("id", "found %q, which the stand on line %d has already; want another", st.ID, first)
		}
		seen[st.ID] = st.Line
		stands = append(stands, st)
	}
	return stands
}

func readStand(m *strictyaml.Map) *Stand {
	m.Required("id")
	s := &Stand{Line: m.Line(), ID: readID(m, "flood-bank")}
	s.Name = s.ID
	set(&s.Name)(m.Name("name"))
	setNew(&s.Elevation)(readElevation(m))
	if d, ok := m.Quantity("offset", strictyaml.Days); ok {
		if d < -30 || d > 30 {
			m.ReportKey("offset", "found %g days, want -30 to 30; more than a month is another place", d)
		}
		s.Offset = d
	}
	s.SeedZone, _ = m.Name("seed_zone")
	s.Permit, _ = m.Name("permit")
	s.Landowner, _ = m.Name("landowner")
	const none = "found none, want at least one; leave the key out for all of the site's"
	s.Species, _ = listOf(m, "species", none, readWord)
	m.Done()
	return s
}

// ZoneOf returns the seed zone of one of a site's stands, "" for none.
func (s *Site) ZoneOf(stand string) string {
	for _, st := range s.Stands {
		if st.ID == stand {
			return st.SeedZone
		}
	}
	return ""
}

// lastFrost is the sowing date that is worked out.
const lastFrost = "last-frost"

// defaultFrostRisk is how likely a frost may still come after sowing by the last frost, where the plan does not say.
const defaultFrostRisk = 0.1

// readSowing reads when seed is sown: a day, or by the site's last frost; and what differs by species.
func readSowing(m *strictyaml.Map, o *calendar.SeedOptions) {
	if v, ok := m.Get("sowing"); ok {
		if text, isText := v.Text(); isText && text == lastFrost {
			o.FrostRisk, o.SowingSet = defaultFrostRisk, false
		} else if d, ok := strictyaml.As(v, parseSowing); ok {
			o.Sowing, o.SowingSet, o.SowingLine, o.FrostRisk = d, true, v.Line(), 0
		}
	}
	if r, ok := m.FloatIn("frost_risk", 0.01, 0.9); ok {
		if o.FrostRisk == 0 {
			m.ReportKey("frost_risk", "found a risk of frost without sowing: %s, want both or neither", lastFrost)
		}
		o.FrostRisk = r
	}
	if of, ok := m.Map("sowing_of"); ok {
		own := map[string]calendar.SowingRule{}
		maps.Copy(own, o.SowingOf) // the plan's own, shared by its sites
		o.SowingOf = own
		for name, v := range of.All() {
			if rule, ok := strictyaml.As(v, parseSowingRule); ok {
				rule.Line = v.Line()
				o.SowingOf[name] = rule
			}
		}
		of.Done()
	}
}

func parseSowing(text string) (civil.MonthDay, error) {
	d, err := civil.ParseMonthDay(text)
	if err != nil {
		err = fmt.Errorf("found %q, want a month and a day such as 05-01, or %s", text, lastFrost)
	}
	return d, err
}

func parseSowingRule(text string) (calendar.SowingRule, error) {
	if text == "second-spring" {
		return calendar.SowingRule{Second: true}, nil
	}
	d, err := civil.ParseMonthDay(text)
	if err != nil {
		err = fmt.Errorf("found %q, want a month and a day such as 10-15, or second-spring", text)
	}
	return calendar.SowingRule{On: d}, err
}

// readWork reads how much work tasks are, in people-days, and how much a week holds.
func readWork(m *strictyaml.Map, o *calendar.SeedOptions) {
	if wm, ok := m.Map("work"); ok {
		own := map[calendar.Task]float64{}
		maps.Copy(own, o.Work) // the plan's own, shared by its sites
		o.Work = own
		for _, task := range calendar.SeedTasks() {
			if d, ok := wm.FloatIn(string(task), 0, 1000); ok {
				o.Work[task] = d
			}
		}
		wm.Done()
	}
	readCrew(m, o)
	readTargets(m, o)
}

// maxTargets is how many targets a plan may have.
const maxTargets = 2000

// readTargets reads how many seedlings are wanted.
func readTargets(m *strictyaml.Map, o *calendar.SeedOptions) {
	if x, ok := m.FloatIn("survive", 1, 100); ok {
		o.Survive = x / 100
	}
	list, ok := m.Maps("targets")
	if !ok {
		return
	}
	o.Targets = nil
	for _, tm := range list {
		tm.Required("species", "seedlings")
		t := calendar.Target{Line: tm.Line()}
		t.Species, _ = tm.Text("species")
		t.SeedZone, _ = tm.Name("seed_zone")
		t.Seedlings, _ = tm.IntIn("seedlings", 1, 100_000_000)
		tm.Done()
		for _, other := range o.Targets {
			if other.Species == t.Species && other.SeedZone == t.SeedZone {
				tm.ReportKey("species", "found %s of the same seed zone as on line %d, want it once", t.Species,
					other.Line)
			}
		}
		o.Targets = append(o.Targets, t)
	}
	if len(list) > maxTargets {
		m.ReportKey("targets", "found %d, want at most %d", len(list), maxTargets)
	}
}

// readCrew reads who does the work, and when: a site that says so itself has a crew of its own.
func readCrew(m *strictyaml.Map, o *calendar.SeedOptions) {
	for _, key := range []string{"people_days_a_week", "weekdays", "terms", "closed", "busy"} {
		if m.Has(key) {
			o.CrewLine = m.Line()
		}
	}
	set(&o.WeekHas)(m.FloatIn("people_days_a_week", 0.1, 10_000))
	set(&o.OneDriveKM)(m.FloatIn("one_drive_km", 0, 500))
	readDays(m, &o.Outings)
}
