package profiles_test

import (
	"fmt"
	"regexp"
	"testing"

	"treewhen/profiles"
)

// What stands in a profile as a sentence is told as it is: a temperature has its degree sign there.
func TestNoBareDegrees(t *testing.T) {
	bare := regexp.MustCompile(`[0-9] [CF]\b`)
	told := func(id string, what ...any) {
		for _, w := range what {
			if text := fmt.Sprint(w); bare.MatchString(text) {
				t.Errorf("%s: %q", id, text)
			}
		}
	}
	for _, sp := range profiles.Builtin().All() {
		for _, d := range sp.Disputes {
			told(sp.ID, d)
		}
		for _, c := range sp.Cautions {
			told(sp.ID, c)
		}
		if seed := sp.Seed; seed != nil {
			for _, s := range seed.MaturitySigns {
				told(sp.ID, s)
			}
			for _, p := range seed.Pretreatments {
				told(sp.ID, p.Note, p.Source)
			}
			if seed.Keep != nil {
				told(sp.ID, *seed.Keep)
			}
		}
		if sp.Sap.Run != nil {
			told(sp.ID, sp.Sap.Run.Source)
		}
	}
}
