package planfile

import (
	"time"

	"treewhen/phenology/weather"
	"treewhen/profiles/strictyaml"
)

// What a correction may order: wider ones are slips of the pen.
const (
	mostShift  = 2  // days
	mostOffset = 10 // degrees Celsius
)

// readCorrection reads what is to be done to a source before it is used.
func readCorrection(m *strictyaml.Map) (c weather.Correction) {
	if sm, ok := m.Map("shift"); ok {
		c.ShiftMin, _ = wholeDays(sm, "tmin", -mostShift, mostShift)
		c.ShiftMax, _ = wholeDays(sm, "tmax", -mostShift, mostShift)
		sm.Done()
	}
	if sm, ok := m.Map("offset"); ok {
		c.OffsetMin, c.OffsetMax = readOffset(sm, "tmin"), readOffset(sm, "tmax")
		sm.Done()
	}
	if sm, ok := m.Map("leave_out"); ok {
		c.LeaveOutMin, _ = listOf(sm, "tmin", "", strictyaml.Value.Date)
		c.LeaveOutMax, _ = listOf(sm, "tmax", "", strictyaml.Value.Date)
		sm.Done()
	}
	return c
}

func readOffset(m *strictyaml.Map, key string) float64 {
	d, ok := m.Quantity(key, strictyaml.TemperatureDifference)
	if ok && (d < -mostOffset || d > mostOffset) {
		m.ReportKey(key, "found %.4g C, want -%d to %d degrees Celsius", d, mostOffset, mostOffset)
	}
	return d
}

// readNormalsFile reads where the normals are.
func readNormalsFile(m *strictyaml.Map) *Source {
	s := &Source{}
	setNew(&s.Elevation)(readElevation(m))
	if v, ok := m.Get("file"); ok {
		s.Path.Line = v.Line()
		s.Path.Path, _ = v.Text()
	}
	s.Unit, _ = strictyaml.GetOneOf(m, "unit", weather.Celsius, weather.Fahrenheit)
	s.Station, _ = m.Text("station")
	for _, key := range []string{"tmin", "tmax"} {
		if m.Has(key) {
			m.ReportKey(key, "found numbers beside a file, want one of them")
			m.Get(key)
		}
	}
	m.Done()
	return s
}

func readNormals(m *strictyaml.Map) *weather.Normals {
	m.Required("unit", "tmin", "tmax")
	n := &weather.Normals{}
	unit, _ := strictyaml.GetOneOf(m, "unit", weather.Celsius, weather.Fahrenheit)
	setNew(&n.Station.Elevation)(readElevation(m))
	whole := true // both sides have twelve numbers, so that they can be compared
	for _, side := range []struct {
		key string
		to  *[12]float64
	}{{"tmin", &n.Min}, {"tmax", &n.Max}} {
		values, ok := m.Floats(side.key)
		if !ok {
			whole = false
			continue
		}
		if len(values) != 12 {
			whole = false
			m.ReportKey(side.key, "found %d numbers, want 12, January to December", len(values))
			continue
		}
		for i, v := range values {
			if unit == weather.Fahrenheit {
				v = (v - 32) / 1.8
			}
			side.to[i] = v
			if v < -70 || v > 60 {
				m.ReportKey(side.key, "found %g for %s, want a monthly mean in degrees %s", values[i],
					time.Month(i+1), unit)
				break
			}
		}
	}
	for i := range n.Min {
		if n.Min[i] > n.Max[i] && whole {
			m.ReportKey("tmin", "found a minimum above the maximum in %s", time.Month(i+1))
			break
		}
	}
	m.Done()
	return n
}
