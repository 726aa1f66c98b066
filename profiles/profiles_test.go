package profiles_test

import (
	"testing"

	"treewhen/profiles"
)

func TestBuiltinProfilesAreClean(t *testing.T) {
	l := profiles.Builtin() // panics if one of them does not decode or check
	for _, note := range l.Notes() {
		t.Errorf("%v", note)
	}
	if len(l.All()) == 0 {
		t.Error("no profile is embedded")
	}
}
