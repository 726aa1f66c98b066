package awayfromhome

import (
	"encoding/csv"
	"fmt"
	"io"
	"io/fs"
	"math"
	"strconv"
	"time"

	"treewhen/phenology"
	"treewhen/phenology/weather"
	"treewhen/profiles"
)

// camera is a forest whose canopy a camera sees (PhenoCam) beside a thermometer (AmeriFlux), with those of its trees
// whose bud break has a model here. Their daily extremes are made from means, 5.5 degrees to either side.
type camera struct {
	name, file string
	site       phenology.Site
	species    []string
}

var cameras = []camera{
	{"Bartlett", "bart", forest(44.0646, -71.2881, 272),
		[]string{"acer-saccharum", "acer-rubrum", "fagus-grandifolia", "betula-alleghaniensis"}},
	{"Willow Creek", "willow", forest(45.8059, -90.0799, 520), []string{"acer-saccharum"}},
	{"Morgan-Monroe", "mmsf", forest(39.3231, -86.4131, 275),
		[]string{"acer-saccharum", "quercus-alba", "quercus-rubra"}},
}

func forest(latitude, longitude, elevation float64) phenology.Site {
	return phenology.Site{ID: "forest", Latitude: latitude, Longitude: longitude, Elevation: elevation, Zone: time.UTC}
}

// spring is a year's bud break at a camera: the day of the year on which the canopy's greenness passed a quarter of
// its rise, and what is dated with all temperatures known, as the mean over the trees.
type spring struct {
	green float64
	said  said
}

// watch dates the springs that the cameras saw, by the thermometers beside them.
func watch(folder fs.FS) (map[string][]spring, error) {
	file, err := folder.Open("camera-dates.csv")
	if err != nil {
		return nil, err
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll() // site, rising or falling, year, days for 10, 25 and 50 percent
	if err != nil {
		return nil, fmt.Errorf("camera-dates.csv: %w", err)
	}
	seen := map[string][]spring{}
	for _, c := range cameras {
		temps, err := c.temperatures(folder)
		if err != nil {
			return nil, err
		}
		for i, cells := range rows[1:] {
			if cells[0] != c.file || cells[1] != "rising" {
				continue
			}
			year, err := strconv.Atoi(cells[2])
			if err != nil {
				return nil, fmt.Errorf("camera-dates.csv:%d: %w", i+2, err)
			}
			green, err := strconv.ParseFloat(cells[4], 64)
			if err != nil {
				return nil, fmt.Errorf("camera-dates.csv:%d: %w", i+2, err)
			}
			if s, ok := c.date(temps, year); ok {
				seen[c.name] = append(seen[c.name], spring{green, s})
			}
		}
	}
	return seen, nil
}

func (c camera) temperatures(folder fs.FS) (*phenology.Temperatures, error) {
	name := "temperatures-" + c.file + ".csv"
	f, err := folder.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	rec, err := weather.Read(f, name, weather.Options{Unit: weather.Celsius})
	if err != nil {
		return nil, err
	}
	return phenology.NewTemperatures(c.site, weather.Fill(rec.Series)), nil
}

// date dates a spring; false where the year's own temperatures do not decide all trees.
func (c camera) date(temps *phenology.Temperatures, year int) (s said, ok bool) {
	library, outlook := profiles.Builtin(), phenology.Outlook{Site: c.site, Temps: temps}
	for _, id := range c.species {
		sp, err := library.Find(id)
		if err != nil {
			return said{}, false
		}
		e := outlook.Estimate(sp, year).Get(phenology.BudBreak)
		if e.Basis != phenology.BasisReached {
			return said{}, false
		}
		one, n := say(e.Dist), float64(len(c.species))
		s.p10, s.p50, s.p90 = s.p10+one.p10/n, s.p50+one.p50/n, s.p90+one.p90/n
	}
	return s, true
}

// reportCameras writes, of each camera, by how many days the canopy was later than dated, how far single years are off
// that (root mean square), by how much of a day the dates move for each that the canopy does, and the share inside.
func reportCameras(w io.Writer, seen map[string][]spring) {
	fmt.Fprintf(w, "\nbud break by temperatures, and a canopy's greenness past a quarter of its rise\n"+
		"%-14s %5s %6s %11s %6s %7s\n", "camera", "years", "bias", "single rms", "slope", "inside")
	for _, c := range cameras {
		m := measure(seen[c.name])
		fmt.Fprintf(w, "%-14s %5.0f %+6.1f %11.1f %6.2f %7.2f\n", c.name, m.n, m.bias, m.single, m.slope, m.inside)
	}
}

// measured is what [reportCameras] writes of a camera.
type measured struct{ n, bias, single, slope, inside float64 }

func measure(springs []spring) (m measured) {
	m.n = float64(len(springs))
	var green, dated float64
	for _, s := range springs {
		green, dated = green+s.green/m.n, dated+s.said.p50/m.n
		if s.green >= s.said.p10 && s.green <= s.said.p90 {
			m.inside += 1 / m.n
		}
	}
	m.bias = green - dated
	var square, both, off float64
	for _, s := range springs {
		g, d := s.green-green, s.said.p50-dated
		square, both, off = square+g*g, both+g*d, off+(g-d)*(g-d)
	}
	m.single, m.slope = math.Sqrt(off/m.n), both/square
	return m
}
