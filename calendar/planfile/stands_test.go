package planfile_test

import (
	"reflect"
	"strings"
	"testing"

	"treewhen/calendar"
	"treewhen/calendar/planfile"
	"treewhen/phenology"
)

func TestStandsAndSeedOptions(t *testing.T) {
	p, err := planfile.Read(strings.NewReader(`title: A plan
activities:
  seed-collection:
    sowing: 05-01
    work: {collect-seed: 1.5}
    people_days_a_week: 6
    weekdays: [Mon, Thu]
    targets:
      - {species: black cherry, seed_zone: R 1, seedlings: 10000}
      - {species: red oak, seedlings: 500}
sites:
  - id: here
    latitude: 44.2
    longitude: -72.6
    elevation: 300 m
    timezone: America/New_York
    stands:
      - {id: bank, name: The bank, elevation: 250 ft, offset: -2 days, seed_zone: R 1, permit: asked for, landowner: R. Alder, species: [red maple]}
      - {id: hill}
    activities:
      seed-collection:
        sowing: last-frost
        frost_risk: 0.2
        sowing_of: {white oak: 10-15, nannyberry: second-spring}
        work: {sow: 2}
  - id: there
    latitude: 44.2
    longitude: -72.6
    elevation: 300 m
    timezone: America/New_York
`), "plan.yaml")
	if err != nil {
		t.Fatal(err)
	}
	here, there := p.Sites[0], p.Sites[1]
	bank, hill := here.Stands[0], here.Stands[1]
	if bank.Name != "The bank" || *bank.Elevation != 250*0.3048 || bank.Offset != -2 || bank.SeedZone != "R 1" || bank.Permit != "asked for" ||
		bank.Landowner != "R. Alder" || len(bank.Species) != 1 || bank.Line != 18 {
		t.Errorf("the bank: %+v", bank)
	}
	if hill.Name != "hill" || hill.Elevation != nil || hill.Species != nil {
		t.Errorf("the hill: %+v", hill)
	}
	o := here.Options.Seed
	if o.FrostRisk != 0.2 || o.SowingSet || o.SowingOf["white oak"].On.String() != "10-15" || !o.SowingOf["nannyberry"].Second ||
		o.Work[calendar.TaskSow] != 2 || o.Work[calendar.TaskCollect] != 1.5 || o.WeekHas != 6 {
		t.Errorf("options here: %+v", o)
	}
	cherry := calendar.Target{Species: "black cherry", SeedZone: "R 1", Seedlings: 10_000, Line: 9}
	if len(o.Targets) != 2 || !reflect.DeepEqual(o.Targets[0], cherry) || o.Survive != 0.7 || len(o.Weekdays) != 2 || o.CrewLine != 3 {
		t.Errorf("targets, survival and crew: %+v", o)
	}
	// What one site changes, no other has.
	if o := there.Options.Seed; o.FrostRisk != 0 || !o.SowingSet || o.SowingLine != 4 || len(o.SowingOf) != 0 || len(o.Work) != 1 {
		t.Errorf("options there: %+v", o)
	}
}

func TestCropsInObservations(t *testing.T) {
	list, err := planfile.ReadObservations(strings.NewReader("date,site,species,phase,crop,note\n"+
		"2027-07-20,here/bank,red maple,,Good,south side\n2027-06-01,here,red maple,fruit-ripe,bumper,\n2027-04-20,here,red maple,flowering,,\n"), "seen.csv")
	if err != nil {
		t.Fatal(err)
	}
	if o := list[0]; o.HasPhase || o.Crop != calendar.GoodCrop || o.Site != "here/bank" || o.Note != "south side" {
		t.Errorf("a scouting note: %+v", o)
	}
	if o := list[1]; !o.HasPhase || o.Phase != phenology.FruitRipe || o.Crop != calendar.BumperCrop {
		t.Errorf("a ripe crop: %+v", o)
	}
	if o := list[2]; !o.HasPhase || o.Crop != "" {
		t.Errorf("a sighting: %+v", o)
	}
}
