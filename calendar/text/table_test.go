package text

import (
	"strings"
	"testing"

	"treewhen/calendar"
	"treewhen/phenology"
)

// A row for each species has one value a cell, and together the rows say what the row with all species says.
func TestSpeciesCSV(t *testing.T) {
	oak, ash := &phenology.Species{ID: "quercus-alba"}, &phenology.Species{ID: "fraxinus-americana"}
	s := &calendar.Schedule{Entries: []*calendar.Entry{
		{UID: "1", Site: &phenology.Site{ID: "hill"}, Species: []*phenology.Species{oak, ash}, Task: calendar.TaskSurvey},
		{UID: "2", Site: &phenology.Site{ID: "hill"}, Task: calendar.TaskTrip},
	}}
	var whole, rows strings.Builder
	if err := WriteCSV(&whole, s); err != nil {
		t.Fatal(err)
	}
	if err := WriteSpeciesCSV(&rows, s); err != nil {
		t.Fatal(err)
	}
	want := strings.SplitAfter(whole.String(), "\n")
	both := want[1]
	want = append([]string{
		want[0], strings.Replace(both, "quercus-alba fraxinus-americana", "quercus-alba", 1),
		strings.Replace(both, "quercus-alba fraxinus-americana", "fraxinus-americana", 1),
	}, want[2:]...)
	if !strings.Contains(both, "quercus-alba fraxinus-americana") || rows.String() != strings.Join(want, "") {
		t.Errorf("found\n%swant\n%s", rows.String(), strings.Join(want, ""))
	}
}
