package serve

import (
	"os"
	"path/filepath"
	"testing"

	"treewhen/calendar/inputs"
	"treewhen/phenology/civil"
)

// Another file that fits a pattern of the plan is another state of the inputs; one that fits none is not.
func TestStampKnowsPatterns(t *testing.T) {
	dir := t.TempDir()
	write := func(name, text string) {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	write("plan.yaml", `title: A plan
sites:
  - {id: ridge, latitude: 44.2, longitude: -72.6, elevation: 300 m, timezone: America/New_York, temperatures: ["day-*.csv"]}
`)
	write("day-1.csv", "date,tmin_c,tmax_c\n2026-03-01,-4,5\n")
	in, err := inputs.Read(t.Context(), &inputs.Options{Plan: filepath.Join(dir, "plan.yaml"), Today: civil.Of(2027, 3, 12)})
	if err != nil {
		t.Fatal(err)
	}
	s := &Server{good: in}
	before := s.stamp()
	write("other.csv", "")
	if s.stamp() != before {
		t.Error("a file that fits no pattern changes the inputs")
	}
	write("day-2.csv", "")
	if s.stamp() == before {
		t.Error("another file that fits changes nothing")
	}
}
