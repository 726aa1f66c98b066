package weather

import (
	"math"

	"treewhen/phenology/civil"
)

// What the forms of GHCN-Daily have in common: the Global Historical Climatology Network - Daily of NOAA's National
// Centers for Environmental Information, as its file readme.txt describes it (Menne, M. J. and others, version 3;
// written here from memory). TMAX and TMIN are in tenths of a degree Celsius and -9999 is missing. Each value has a
// measurement flag, a quality flag and a source flag; a value that failed a check of its publisher has a quality flag.

const ghcnMissing = -9999

// ghcnChecks names the quality flags (readme.txt, section III, QFLAG; from memory).
var ghcnChecks = map[byte]string{
	'D': "duplicate check", 'G': "gap check", 'I': "internal consistency check", 'K': "streak or frequent-value check",
	'L': "check on the length of multi-day periods", 'M': "mega-consistency check", 'N': "naught check",
	'O': "climatological outlier check", 'R': "lagged range check", 'S': "spatial consistency check",
	'T': "temporal consistency check", 'W': "check on being too warm for snow", 'X': "bounds check",
	'Z': "publisher's own investigation",
}

// ghcnLagged is the measurement flag of a temperature that seems to lag its hour of observation.
const ghcnLagged = 'L'

// ghcnValue looks at a value's flags: NaN if its publisher failed it. A blank or 0 flag is none.
func (f *file) ghcnValue(d civil.Date, line int, isMax bool, v float64, measurement, quality byte) (float64, Flags) {
	if quality != ' ' && quality != 0 {
		check := ghcnChecks[quality]
		if check == "" {
			check = "check with flag " + string(rune(quality))
		}
		f.notes.add(NoteDropped, line, "%s of %v (%s in the file) failed the publisher's %s and was left out",
			f.days.name(isMax), d, number(v), check)
		return math.NaN(), 0
	}
	if measurement == ghcnLagged {
		return v, Suspect
	}
	return v, 0
}

// ghcnPut takes a value that stands alone.
func (f *file) ghcnPut(d civil.Date, line int, isMax bool, v float64, measurement, quality byte) {
	if v, flags := f.ghcnValue(d, line, isMax, v, measurement, quality); !math.IsNaN(v) {
		f.days.putOne(f, d, line, isMax, v, flags)
	}
}

// stationID reports whether a cell looks like an identifier of GHCN-Daily: two letters of a country, a network's
// letter or digit and eight more.
func stationID(cell []byte) bool {
	if len(cell) != 11 {
		return false
	}
	for i, c := range cell {
		letter := 'A' <= c && c <= 'Z'
		if i < 2 && !letter || !letter && (c < '0' || c > '9') && c != '_' && c != '-' {
			return false
		}
	}
	return true
}

func isElement(cell []byte) bool {
	if len(cell) != 4 {
		return false
	}
	for i, c := range cell {
		if (c < 'A' || c > 'Z') && (i == 0 || c < '0' || c > '9') {
			return false
		}
	}
	return true
}
