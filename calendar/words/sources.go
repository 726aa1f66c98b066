package words

import (
	"slices"

	"treewhen/phenology"
)

// citations writes out sources, each citation once.
func citations(sources ...phenology.Source) (list []string) {
	for _, s := range sources {
		list = cite(list, s)
	}
	return list
}

// cite adds the citation of a source that a list does not have yet.
func cite(list []string, s phenology.Source) []string {
	if text := s.String(); text != "" && !slices.Contains(list, text) {
		list = append(list, text)
	}
	return list
}
