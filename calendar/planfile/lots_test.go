package planfile_test

import (
	"bytes"
	"math"
	"strings"
	"testing"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/planfile"
	"treewhen/phenology/civil"
)

func TestReadLots(t *testing.T) {
	list, err := planfile.ReadLots(strings.NewReader("\xef\xbb\xbfwhat, lot,date,species,site,quantity,unit,note\n"+
		"Collected,BC-29-1,2029-08-20,black cherry,mill-fork,14.5,kg,\"two trees, north side\"\n"+
		"cleaned,BC-29-1,2029-08-24,black cherry,mill-fork,1.8,kg\n"), "lots.csv")
	if err != nil {
		t.Fatal(err)
	}
	want := planfile.LotRow{Site: "mill-fork", Species: "black cherry", LotNote: calendar.LotNote{
		Lot: "BC-29-1", Date: civil.Of(2029, time.August, 20), What: calendar.LotCollected, Quantity: 14.5, Unit: "kg",
		Note: "two trees, north side", Line: 2,
	}}
	if len(list) != 2 || list[0] != want || list[1].What != calendar.LotCleaned || list[1].Line != 3 {
		t.Errorf("found %+v, want %+v first", list, want)
	}
}

// The factors are those of NIST Special Publication 811 (2008), appendix B.8, to the digits that it prints.
func TestLotsInUnitsOfTheUnitedStates(t *testing.T) {
	for _, c := range []struct {
		unit, kept calendar.LotUnit
		has        float64
	}{
		{"lb", "kg", 0.4535924}, {"oz", "kg", 0.02834952},
		{"Gallons", "l", 3.785412}, {"bushels", "l", 35.23907}, {"kg", "kg", 1},
	} {
		list, err := planfile.ReadLots(strings.NewReader("what,lot,date,species,site,quantity,unit\n"+
			"collected,A,2029-08-20,black cherry,here,2,"+string(c.unit)+"\n"), "lots.csv")
		if err != nil || list[0].Unit != c.kept || math.Abs(list[0].Quantity/(2*c.has)-1) > 2e-7 {
			t.Errorf("2 %s: found %+v and %v, want %g %s", c.unit, list, err, 2*c.has, c.kept)
		}
	}
}

func FuzzReadLots(f *testing.F) {
	f.Add([]byte("lot,date,species,site,what\nA,2029-08-20,red maple,here,collected\n"))
	f.Add([]byte("lot,date,species,site,what,quantity,unit\nA,2029-08-20,red maple,here,too-late,1e400,kg\n"))
	f.Add([]byte("lot,lot\n"))
	f.Add([]byte("\""))
	f.Fuzz(func(t *testing.T, data []byte) {
		list, err := planfile.ReadLots(bytes.NewReader(data), "lots.csv")
		if err != nil && err.Error() == "" {
			t.Error("an error without a word")
		}
		for _, r := range list {
			if err == nil && (r.Lot == "" || r.Site == "" || r.Species == "" || r.What == "" || r.Line < 2) {
				t.Errorf("read %+v", r)
			}
		}
	})
}
