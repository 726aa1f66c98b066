package words

import "treewhen/phenology"

// RangeOf names where a species is at home, by what is known of it.
func RangeOf(sp *phenology.Species) string {
	if sp.HasRangeMap() {
		return "the species' native range, by Little's maps"
	}
	return "the species' range, a rough box"
}

// normals names monthly normals: the built-in climate's, or the site's own.
func normals(builtIn bool) string {
	if builtIn {
		return "the built-in climate"
	}
	return "the monthly normals"
}
