package weather

import (
	"bytes"
	"fmt"
	"strings"
)

// maxStations is how many stations of a file are told apart when none was asked for: more is a whole network's file.
const maxStations = 100

// stations picks one station's rows out of a file.
type stations struct {
	want  string
	ids   []string // in order of appearance
	known map[string]bool
	taken string // the station that is read
	found bool
	last  string // of the row before, and what became of it
	lastT bool
}

// take reports whether rows of this station are to be read. Its name may be nil.
func (s *stations) take(id, name []byte) bool {
	if s.known != nil && string(id) == s.last {
		return s.lastT
	}
	if s.known == nil {
		s.known = make(map[string]bool)
	}
	if len(s.ids) < maxStations && !s.known[string(id)] {
		s.known[string(id)] = true
		s.ids = append(s.ids, string(id))
	}
	taken := s.found && string(id) == s.taken
	if !s.found && (s.want == "" || bytes.EqualFold(id, []byte(s.want)) || bytes.EqualFold(name, []byte(s.want))) {
		s.found, s.taken, taken = true, string(id), true
	}
	s.last, s.lastT = string(id), taken
	return taken
}

// hopeless reports whether reading on can no longer help: no station was asked for and there are ever more.
func (s *stations) hopeless() bool { return s.want == "" && len(s.ids) == maxStations }

// check tells of a file with several stations, or without the one that was asked for, and reports whether one was
// picked.
func (s *stations) check(f *file) bool {
	const most = 5
	names := func(skip string) string {
		var shown []string
		others := 0
		for _, id := range s.ids {
			switch {
			case id == skip:
			case len(shown) < most:
				shown = append(shown, fmt.Sprintf("%q", id))
			default:
				others++
			}
		}
		if others > 0 {
			shown = append(shown, fmt.Sprintf("%d more", others))
			if len(s.ids) == maxStations {
				shown[len(shown)-1] = "many more"
			}
		}
		return list(shown, "and")
	}
	switch {
	case s.want == "" && len(s.ids) > 1:
		f.problems.list, f.problems.more = nil, 0 // nothing else is worth mending first
		f.problems.add(0, "", "name one of them as the station to read, or keep one station a file",
			"the file holds several stations, %s, want one", names(""))
		return false
	case s.want != "" && len(s.ids) == 0:
		if len(f.problems.list) == 0 {
			f.notes.add(NoteStation, 0, "the file does not name its station; it is taken to be %q as asked for",
				s.want)
			f.record.Station.ID = s.want
		}
	case s.want != "" && !s.found:
		f.problems.add(0, "", "", "the file holds no station %q, only %s", s.want, names(""))
		return false
	case s.want != "" && len(s.ids) > 1:
		f.notes.add(NoteStation, 0, "the file holds several stations; %q is read, not %s", s.taken,
			names(s.taken))
	}
	if s.found && f.record.Station.ID == "" {
		f.record.Station.ID = strings.TrimSpace(s.taken)
	}
	return true
}

// describe fills in what a row says of its station, where an earlier row did not.
func (s *Station) describe(name, latitude, longitude, elevation []byte) {
	if s.Name == "" {
		s.Name = string(trim(name))
	}
	set := func(to **float64, cell []byte, least, most float64) {
		if *to != nil || len(cell) == 0 {
			return
		}
		if v, ok := parseNumber(trim(cell)); ok && v >= least && v <= most {
			*to = new(v)
		}
	}
	set(&s.Latitude, latitude, -90, 90)
	set(&s.Longitude, longitude, -180, 180)
	set(&s.Elevation, elevation, -450, 9000) // also the -999.9 of GHCN-Daily for 'unknown' stays out
}
