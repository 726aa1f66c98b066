package awayfromhome

import (
	"fmt"
	"io"
	"math"
	"slices"

	"treewhen/phenology"
	"treewhen/phenology/climate"
	"treewhen/profiles"
)

// parts is into how many parts the sites are divided, each of which is left out in turn.
const parts = 10

// partOf deals the sites of some rows out to the parts.
func partOf(rows []row) map[string]int {
	part := map[string]int{}
	for _, r := range rows {
		if _, known := part[r.site.ID]; !known {
			part[r.site.ID] = len(part) % parts
		}
	}
	return part
}

// ofSpring returns the rows of bud break and flowering that a method dates.
func ofSpring(rows []row, m int) []row {
	return slices.DeleteFunc(slices.Clone(rows), func(r row) bool {
		return r.said[m] == nil || r.phase != phenology.BudBreak && r.phase != phenology.Flowering
	})
}

// without parts rows into those of other parts and those of one part.
func without(rows []row, part map[string]int, k int) (others, out []row) {
	for _, r := range rows {
		if part[r.site.ID] == k {
			out = append(out, r)
		} else {
			others = append(others, r)
		}
	}
	return others, out
}

// allow moves the first colored and the first falling leaves to our own, half of them, by the median of what lies
// between at the sites of the other parts: where nothing else is off, what is left is not of definitions.
func allow(rows []row) {
	part := partOf(rows)
	for _, phase := range []phenology.Phase{phenology.LeafColor, phenology.LeafFall} {
		of := slices.DeleteFunc(slices.Clone(rows), func(r row) bool { return r.phase != phase || r.said[2] == nil })
		lag := map[int]float64{}
		for k := range parts {
			if others, _ := without(of, part, k); len(others) > 0 {
				lag[k], _, _, _ = errorsOf(others, 2)
			}
		}
		for i := range rows {
			if r := &rows[i]; r.phase == phase {
				r.day -= lag[part[r.site.ID]]
			}
		}
	}
}

// leaveOut leaves out each part of the sites in turn: by what factor the spread should have been drawn out for the
// others, for eight in ten of them to be inside, and how many of those left out are inside with it.
func leaveOut(w io.Writer, rows []row) {
	const wanted = 0.8
	part := partOf(rows)
	fmt.Fprintf(w, "\nbud break and flowering, each tenth of the sites left out: factors of the spread that eight "+
		"in ten of the others\nask for, and the share inside of those left out, with the factor\n%-8s %-12s", "method",
		"factors")
	for _, region := range regions {
		fmt.Fprintf(w, " %11s", region)
	}
	fmt.Fprintln(w)
	for m, method := range methods {
		least, most := math.Inf(1), 0.0
		in, n := map[string]float64{}, map[string]float64{}
		for k := range parts {
			others, out := without(ofSpring(rows, m), part, k)
			factor := 0.5
			for factor < 3 && inside(others, m, factor) < wanted {
				factor += 0.02
			}
			least, most = min(least, factor), max(most, factor)
			for _, region := range regions {
				of := slices.DeleteFunc(slices.Clone(out), func(r row) bool { return !r.in(region) })
				if len(of) > 0 {
					in[region] += inside(of, m, factor) * float64(len(of))
					n[region] += float64(len(of))
				}
			}
		}
		fmt.Fprintf(w, "%-8s %.2f to %.2f", method, least, most)
		for _, region := range regions {
			fmt.Fprintf(w, " %11.2f", in[region]/n[region])
		}
		fmt.Fprintf(w, "\n%-8s %-12s", "", "as they are")
		for _, region := range regions {
			of := slices.DeleteFunc(ofSpring(rows, m), func(r row) bool { return !r.in(region) })
			fmt.Fprintf(w, " %11.2f", inside(of, m, 1))
		}
		fmt.Fprintln(w)
	}
}

// perDegree are the days that are tried for [phenology.StartPerDegree].
var perDegree = []float64{0, 1, 2, 3, 4, 5}

// chooseStarts leaves out each part of the sites in turn: by how many days for a degree of spring models should start
// earlier, by the others' root mean square of sites' medians, and what that comes to at those left out, against starts
// that are the same everywhere. Dates are those by normals alone.
func chooseStarts(w io.Writer, seen []sighting) error {
	var tried [][]row
	for _, days := range perDegree {
		rows, err := byNormals(seen, days)
		if err != nil {
			return err
		}
		tried = append(tried, rows)
	}
	fmt.Fprintln(w, "\nby how many days models start earlier for each degree that spring is warmer: root mean square of "+
		"sites' medians\ndays       rms")
	part := partOf(tried[0])
	var fixed, chosen []float64
	picked := map[float64]int{}
	for i, days := range perDegree {
		_, _, rms, _ := errorsOf(tried[i], 1)
		fmt.Fprintf(w, "%-8.0f %5.2f\n", days, rms)
	}
	for k := range parts {
		best, least := 0, math.Inf(1)
		for i := range perDegree {
			others, _ := without(tried[i], part, k)
			if _, _, rms, _ := errorsOf(others, 1); rms < least {
				best, least = i, rms
			}
		}
		picked[perDegree[best]]++
		for i, list := range []*[]float64{&fixed, &chosen} {
			_, out := without(tried[i*best], part, k)
			_, _, rms, sites := errorsOf(out, 1)
			*list = append(*list, rms*rms*float64(sites))
		}
	}
	for _, days := range perDegree {
		if n := picked[days]; n > 0 {
			fmt.Fprintf(w, "%d of %d parts left out choose %.0f\n", n, parts, days)
		}
	}
	n := float64(len(part))
	fmt.Fprintf(w, "left out: %.2f, with the same starts everywhere %.2f\n", math.Sqrt(sum(chosen)/n),
		math.Sqrt(sum(fixed)/n))
	return nil
}

func sum(list []float64) (total float64) {
	for _, x := range list {
		total += x
	}
	return total
}

// byNormals dates bud break and flowering by normals alone, with models that start so many days earlier for each degree
// by which spring is warmer than where they were fitted.
func byNormals(seen []sighting, days float64) (rows []row, err error) {
	type key struct{ site, species string }
	known := map[key]phenology.Estimates{}
	library := profiles.Builtin()
	for _, s := range seen {
		temps, ok := normalsAt(s.site)
		if !ok || s.phase != phenology.BudBreak && s.phase != phenology.Flowering {
			continue
		}
		k := key{s.site.ID, s.species}
		if _, ok := known[k]; !ok {
			sp, err := library.Find(s.species)
			if err != nil {
				return nil, err
			}
			known[k] = (&phenology.Outlook{Site: s.site, Temps: temps}).Estimate(starting(sp, s.site, days), season)
		}
		if e := known[k].Get(s.phase); e.Basis == phenology.BasisNormals {
			rows = append(rows, row{sighting: s, region: regionOf(s.site), said: [3]*said{1: say(e.Dist)}})
		}
	}
	return rows, nil
}

// starting returns a species whose models start so many days earlier for each degree, without places of reference, by
// which dates would be weighed and starts moved.
func starting(sp *phenology.Species, site phenology.Site, days float64) *phenology.Species {
	changed := *sp
	changed.Phases = nil
	for _, r := range sp.Phases {
		one := *r
		if r.Model != nil && len(r.References) > 0 {
			model := *r.Model
			model.Models = slices.Clone(model.Models)
			warmer := springAt(site) - springAt(phenology.Site{Latitude: r.References[0].Latitude,
				Longitude: r.References[0].Longitude, Elevation: r.References[0].Elevation})
			earlier := phenology.SeasonDay(math.Round(days * warmer))
			for i, m := range model.Models {
				if t, ok := m.(phenology.ThermalTime); ok && t.Start > 1 {
					t.Start = max(1, t.Start-earlier)
					model.Models[i] = t
				}
			}
			one.Model = &model
		}
		one.References = nil
		changed.Phases = append(changed.Phases, &one)
	}
	return &changed
}

// springAt is the mean temperature of February to May by the built-in climate.
func springAt(s phenology.Site) (mean float64) {
	c, _ := climate.At(s.Latitude, s.Longitude)
	c = c.MovedTo(s.Elevation)
	for month := 1; month <= 4; month++ {
		mean += c.Mean(month) / 4
	}
	return mean
}
