package weather

import (
	"bytes"
	"errors"
	"flag"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"treewhen/phenology/problem"
)

// Whatever the bytes: no panic; an error that names a line, or speaks of the file where none is to blame; a series in
// order, without empty ends, within the bounds of air; and written and read again, the same series.
func FuzzRead(f *testing.F) {
	flag.Set("test.fuzzminimizetime", "10x") // by default, a minute goes into each find and stops all else
	for _, e := range oneOfEach {
		f.Add([]byte(e.text), "")
		f.Add([]byte(gz(e.text)), "C")
	}
	f.Add([]byte(wide(`250,,120,`, `86,,68,`, `8.5,,-2.5,`)), "F")
	f.Add([]byte("\ufeffsite,date,tmin,tmax\n\"a\",2027-03-09,\"1\",2\n"), "C")
	bad, _ := filepath.Glob(filepath.Join(badFolder, "*"))
	for _, name := range bad {
		if b, err := os.ReadFile(name); err == nil && len(b) < 4096 {
			f.Add(b, "")
		}
	}
	f.Add([]byte("date,tmin_c,t\r\r\rmax_c\n2027-03-09,\"-4,5\",\"6,0\""), "") // line breaks in a column's name
	f.Fuzz(func(t *testing.T, text []byte, unit string) {
		opts := Options{Unit: Unit(unit)}
		if unit != "C" && unit != "F" {
			opts.Unit = UnitUnknown
		}
		r, err := read(bytes.NewReader(text), "a.csv", opts, 1<<20)
		if err != nil {
			var l problem.List
			if r != nil || !errors.As(err, &l) || len(l) == 0 || len(l) > maxProblems+1 {
				t.Fatalf("error %T %v with a record %v", err, err, r)
			}
			for _, p := range l {
				if p.File != "a.csv" || p.Text == "" || p.Line <= 0 && !strings.HasPrefix(p.Text, "the file ") {
					t.Errorf("problem %#v blames neither a line nor the file", p)
				}
				if p.Line > bytes.Count(text, []byte("\n"))+1 && !bytes.HasPrefix(text, []byte("\x1f\x8b")) {
					t.Errorf("problem %v is on a line that the file does not have", p)
				}
				if strings.ContainsAny(p.Error(), "\n\r\x00") {
					t.Errorf("problem %q is not one line", p.Error())
				}
			}
			return
		}
		s := r.Series
		if len(r.Notes) > 8*(maxNotes+1) {
			t.Errorf("%d notes", len(r.Notes))
		}
		if len(s.Days) == 0 {
			return
		}
		if diff := cmp.Diff(withoutEmptyEnds(s), s, cmpopts.EquateNaNs()); diff != "" {
			t.Errorf("series has empty ends: %s", diff)
		}
		if s.First < earliest || s.Last() > latest {
			t.Errorf("series covers %v", s.Span())
		}
		for i, d := range s.Days {
			for _, v := range []float64{d.Min, d.Max} {
				if !math.IsNaN(v) && (v < coldestAir-1e-9 || v > hottestAir+1e-9) {
					t.Errorf("day %d is %v", i, d)
				}
			}
			if d.Min > d.Max && d.Flags&Suspect == 0 {
				t.Errorf("day %d is %v and not suspect", i, d)
			}
		}
		var b bytes.Buffer
		if err := WritePlain(&b, s); err != nil {
			t.Fatal(err)
		}
		again, err := Read(&b, "a.csv", Options{})
		if err != nil {
			t.Fatalf("written and read again: %v", err)
		}
		if diff := cmp.Diff(s, again.Series, cmpopts.EquateNaNs()); diff != "" {
			t.Errorf("written and read again (-first +second):\n%s", diff)
		}
	})
}
