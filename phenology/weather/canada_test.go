package weather

import (
	"strings"
	"testing"
)

// The header is the agency's own; the station and its weather are invented.
const canadaHeader = "\ufeff" + `"Longitude (x)","Latitude (y)","Station Name","Climate ID","Date/Time","Year","Month","Day","Data Quality","Max Temp (°C)","Max Temp Flag","Min Temp (°C)","Min Temp Flag","Mean Temp (°C)","Mean Temp Flag"` + "\n"

func canadaRow(day, high, highFlag, low, lowFlag string) string {
	return `"-75.50","46.25","COLD, BROOK","0000001","` + day + `","` + day[:4] + `","` + day[5:7] + `","` + day[8:] + `","","` +
		high + `","` + highFlag + `","` + low + `","` + lowFlag + `","",""` + "\n"
}

func TestCanada(t *testing.T) {
	text := canadaHeader + canadaRow("2027-03-09", "-1.1", "", "-12.2", "E") + canadaRow("2027-03-10", "", "M", "-3.0", "") +
		canadaRow("2027-03-11", "4.0", "^", "-3.0", "") + canadaRow("2027-03-12", "", "", "", "")
	r := mustRead(t, text, Options{})
	if s := r.Station; s.ID != "0000001" || s.Name != "COLD, BROOK" || *s.Latitude != 46.25 || *s.Longitude != -75.5 || s.Elevation != nil {
		t.Errorf("station %+v", s)
	}
	wantSeries(t, r, "2027-03-09", Day{Min: -12.2, Max: -1.1, Flags: Estimated}, Day{Min: -3, Max: nan}, Day{Min: -3, Max: 4, Flags: Suspect})
	wantNotes(t, r, "gap: a.csv:3: 2027-03-10 has no maximum", "gap: a.csv:5: 2027-03-12 has no temperatures")
}

// French column names and decimal commas, in Latin-1 as older files are; columns in another order; lines above.
func TestCanadaOtherShapes(t *testing.T) {
	french := "\"Nom de la Station\",\"Temp min.(\xb0C)\",\"Temp max.(\xb0C)\",\"Temp max. Indicateur\",\"Date/Heure\"\n" +
		"\"RUISSEAU\",\"-12,2\",\"-1,1\",\"E\",\"2027-03-09\"\n"
	old := "\"Station Name\",\"COLD BROOK\"\n\"Province\",\"QUEBEC\"\n\n\"Legend\"\n\"E\",\"Estimated\"\n\n" + strings.TrimPrefix(canadaHeader, "\ufeff") +
		canadaRow("2027-03-09", "-1.1", "E", "-12.2", "")
	for name, text := range map[string]string{"French": french, "lines above": old} {
		r := mustRead(t, text, Options{})
		if r.Format != FormatCanada || r.Station.Name == "" {
			t.Errorf("%s: format %s, station %+v", name, r.Format, r.Station)
		}
		wantSeries(t, r, "2027-03-09", Day{Min: -12.2, Max: -1.1, Flags: Estimated})
	}
}

func TestCanadaErrors(t *testing.T) {
	wantError(t, canadaHeader+canadaRow("2027-02-29", "1", "", "0", "")+"1,2\n", Options{},
		"a.csv:2: Date/Time: found \"2027-02-29\", which is no day of the calendar\na.csv:3: found 2 columns, want the header's 15", "")
	wantError(t, canadaHeader+canadaRow("2027-03-09", "-1.1", "", "cold", ""), Options{},
		`a.csv:2: Min Temp: found "cold", want a number in degrees Celsius such as 12.5, or nothing where it is missing`, "")
	wantError(t, canadaHeader+canadaRow("2027-03-09", "99.1", "", "1", ""), Options{Unit: Fahrenheit},
		"a.csv: the file is in degrees Celsius by its format, but degrees Fahrenheit were asked for\na.csv:2: Max Temp: found 99.1, want -90 to 60 degrees Celsius", "leave the unit out")
	wantError(t, canadaHeader+canadaRow("2027-03-09", "1", "", "0", "")+strings.ReplaceAll(canadaRow("2027-03-10", "1", "", "0", ""), "0000001", "0000002"), Options{},
		`a.csv: the file holds several stations, "0000001" and "0000002", want one`, "name one of them as the station to read, or keep one station a file")
}
