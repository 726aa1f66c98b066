package profiles_test

import (
	"testing"

	"treewhen/phenology"
	"treewhen/profiles"
)

type months struct {
	from, to int // 0: no source has them, and nor has the profile
	source   string
}

type monthsRow struct {
	id                   string
	flowers, ripe, sheds months
}

const fromMemory = "from memory"

// Months of flowering, ripening and seed fall over a species' whole range, typed from Bonner FT, Karrfalt RP (eds.)
// 2008, The Woody Plant Seed Manual, USDA Forest Service, Agriculture Handbook 727 (chapter, table and page where the
// copy read names them) and from the other sources named, or "from memory" where a cell was seen in none. Where a
// printed cell says "to spring" or "to winter", the last month is April, or January or February, our own coding. The
// five maples of the first table are in TestMonthsOfTheMaplesAgainstTheSeedManual.
func TestMonthsOfEverySpecies(t *testing.T) {
	table := []monthsRow{
		{"abies-balsamea", months{5, 5, "Abies, table of dates"}, months{8, 9, "Abies, table of dates"},
			months{9, 9, "Abies, table of dates"}},
		{"acer-circinatum", months{3, 6, "Acer, table 3, p. 206"}, months{9, 10, "Acer, table 3, p. 206"},
			months{10, 11, "Acer, table 3, p. 206"}},
		{"acer-macrophyllum", months{4, 5, "Acer, table 3, p. 206"}, months{9, 10, "Acer, table 3, p. 206"},
			months{10, 3, "Acer, table 3, p. 206"}},
		{"acer-nigrum", months{4, 5, fromMemory}, months{9, 10, fromMemory}, months{10, 12, fromMemory}},
		{"acer-pensylvanicum", months{5, 6, "Acer, table 3, p. 206"}, months{9, 10, "Acer, table 3, p. 206"},
			months{10, 2, "Acer, table 3, p. 206"}},
		{"acer-spicatum", months{5, 6, "Acer, table 3, p. 206"}, months{9, 10, "Acer, table 3, p. 206"},
			months{10, 12, "Acer, table 3, p. 206"}},
		{"aesculus-flava", months{4, 6, "Aesculus, table of dates"}, months{9, 9, "Aesculus, table of dates"},
			months{9, 9, "Aesculus, table of dates"}},
		{"amelanchier-arborea", months{3, 6, "Amelanchier, table 2"}, months{6, 8, "Amelanchier, table 2"},
			months{6, 8, "Amelanchier, tables 2 and 3"}},
		{"amelanchier-laevis", months{3, 6, "Amelanchier, table 2"}, months{6, 8, "Amelanchier, table 2"},
			months{6, 8, "Amelanchier, tables 2 and 3"}},
		{"betula-alleghaniensis", months{4, 5, "Betula, table 2, p. 305"}, months{8, 10, "Betula, table 2, p. 305"},
			months{9, 4, "Betula, table 2, p. 305"}},
		{"betula-lenta", months{4, 5, "Betula, table 2, p. 305"}, months{8, 9, "Betula, table 2, p. 305"},
			months{9, 11, "Betula, table 2, p. 305"}},
		{"betula-nigra", months{4, 5, "Betula, table 2, p. 305"}, months{5, 6, "Betula, table 2, p. 305"},
			months{5, 6, "Betula, table 2, p. 305"}},
		{"betula-papyrifera", months{4, 6, "Betula, table 2, p. 305"}, months{8, 9, "Betula, table 2, p. 305"},
			months{8, 4, "Betula, table 2, p. 305"}},
		{"betula-populifolia", months{4, 5, "Betula, table 2, p. 305"}, months{9, 10, "Betula, table 2, p. 305"},
			months{10, 1, "Betula, table 2, p. 305"}},
		{"carpinus-caroliniana", months{3, 6, "Carpinus, table of dates"}, months{8, 10, "Carpinus, table of dates"},
			months{11, 4, "Carpinus, table of dates"}},
		{"carya-cordiformis", months{4, 5, "Carya, table 2, p. 334"}, months{9, 10, "Carya, table 2, p. 334"},
			months{9, 12, "Carya, table 2, p. 334"}},
		{"carya-glabra", months{4, 5, "Carya, table 2, p. 334"}, months{9, 10, "Carya, table 2, p. 334"},
			months{9, 10, "Carya, table 2, p. 334"}},
		{"carya-ovata", months{4, 6, "Carya, table 2, p. 334"}, months{9, 10, "Carya, table 2, p. 334"},
			months{9, 10, "Carya, table 2, p. 334"}},
		{"celtis-occidentalis", months{4, 5, "Celtis, table 2"}, months{9, 10, "Celtis, table 2"},
			months{10, 2, "Celtis, table 2"}},
		{"cercis-canadensis", months{3, 5, "Cercis, table of dates"}, months{7, 10, "Cercis, table of dates"},
			months{9, 2, fromMemory}},
		{"cornus-florida", months{3, 5, "Cornus, table 2, p. 430"}, months{9, 10, "Cornus, table 2, p. 430"},
			months{9, 11, "Cornus, table 2, p. 430"}},
		{"cornus-sericea", months{5, 8, "Cornus, table 2, p. 430"}, months{7, 10, "Cornus, table 2, p. 430"},
			months{10, 2, "Cornus, table 2, p. 430"}},
		{"crataegus-crus-galli", months{5, 6, fromMemory}, months{9, 10, fromMemory}, months{10, 1, fromMemory}},
		{"fagus-grandifolia", months{3, 5, "Fagus, table 2, p. 520"}, months{9, 11, "Fagus, table 2, p. 520"},
			months{9, 11, "Fagus, table 2, p. 520"}},
		{"fraxinus-americana", months{4, 5, "Fraxinus, table 2, p. 538"}, months{10, 11, "Fraxinus, table 2, p. 538"},
			months{9, 12, "Fraxinus, table 2, p. 538"}},
		{"fraxinus-nigra", months{5, 6, "Fraxinus, table 2, p. 538"}, months{6, 9, "Fraxinus, table 2, p. 538"},
			months{7, 10, "Fraxinus, table 2, p. 538"}},
		{"fraxinus-pennsylvanica", months{3, 5, "Fraxinus, table 2, p. 538"},
			months{9, 10, "Fraxinus, table 2, p. 538"}, months{10, 4, "Fraxinus, table 2, p. 538"}},
		{"hamamelis-virginiana", months{8, 12, "Britton and Brown 1913, vol. 2"}, months{8, 10, fromMemory},
			months{9, 11, fromMemory}},
		{"juglans-cinerea", months{4, 6, fromMemory}, months{9, 10, fromMemory}, months{9, 10, fromMemory}},
		{"juglans-nigra", months{4, 6, "Yale Nature Walk, black walnut"},
			months{9, 10, "Yale Nature Walk, black walnut"}, months{10, 11, fromMemory}},
		{"juniperus-virginiana", months{3, 5, fromMemory}, months{9, 11, fromMemory}, months{2, 3, fromMemory}},
		{"larix-laricina", months{4, 5, fromMemory}, months{8, 9, fromMemory},
			months{9, 11, "Fire Effects Information System, tamarack"}},
		{"liriodendron-tulipifera", months{4, 6, "Bonner, draft of the chapter Liriodendron"},
			months{8, 10, "Bonner, draft of the chapter Liriodendron"},
			months{10, 3, "Bonner, draft of the chapter Liriodendron"}},
		{"ostrya-virginiana", months{3, 6, "Ostrya, pp. 759-760"}, months{8, 10, "Ostrya, pp. 759-760"},
			months{8, 11, fromMemory}},
		{"picea-glauca", months{5, 5, "Picea, table 2"}, months{8, 8, "Picea, table 2"},
			months{8, 5, "Picea, table 2"}},
		{"picea-rubens", months{4, 5, fromMemory}, months{9, 10, fromMemory}, months{10, 3, fromMemory}},
		{"pinus-resinosa", months{4, 6, "Pinus, table 3, pp. 823-824"}, months{8, 10, "Pinus, table 3, pp. 823-824"},
			months{10, 11, "Pinus, table 3, pp. 823-824"}},
		{"pinus-strobus", months{5, 6, "Pinus, table 3, pp. 823-824"}, months{8, 9, "Pinus, table 3, pp. 823-824"},
			months{8, 9, "Pinus, table 3, pp. 823-824"}},
		{"platanus-occidentalis", months{3, 5, "Platanus, table 2, pp. 850-853"},
			months{9, 11, "Platanus, table 2, pp. 850-853"}, months{1, 4, "Platanus, table 2, pp. 850-853"}},
		{"populus-deltoides", months{3, 5, "Populus, table 2, p. 860"}, months{5, 8, "Populus, table 2, p. 860"},
			months{5, 8, "Populus, table 2, p. 860"}},
		{"populus-tremuloides", months{3, 5, "Populus, table 2, p. 860"}, months{5, 6, "Populus, table 2, p. 860"},
			months{5, 6, "Populus, table 2, p. 860"}},
		{"prunus-serotina", months{4, 6, "Prunus, table 2, p. 879"}, months{6, 9, "Prunus, table 2, p. 879"},
			months{7, 9, "Prunus, table 2, p. 879"}},
		{"prunus-virginiana", months{4, 6, "Prunus, table 2, p. 879"}, months{7, 10, "Prunus, table 2, p. 879"},
			months{7, 10, fromMemory}},
		{"quercus-alba", months{3, 5, fromMemory}, months{9, 11, fromMemory}, months{9, 11, fromMemory}},
		{"quercus-bicolor", months{5, 6, fromMemory}, months{9, 10, fromMemory}, months{9, 10, fromMemory}},
		{"quercus-macrocarpa", months{4, 6, fromMemory}, months{8, 10, fromMemory}, months{8, 11, fromMemory}},
		{"quercus-palustris", months{4, 5, fromMemory}, months{9, 11, fromMemory}, months{9, 12, fromMemory}},
		{"quercus-rubra", months{4, 5, "Cornell forest farming sheet on red oak"},
			months{8, 10, "Cornell forest farming sheet on red oak"}, months{9, 11, fromMemory}},
		{"quercus-velutina", months{4, 5, fromMemory}, months{8, 10, fromMemory}, months{9, 11, fromMemory}},
		{"salix-nigra", months{2, 6, "Salix, table 3"}, months{4, 7, "Salix, table 3"}, months{4, 7, "Salix, table 3"}},
		{"sambucus-canadensis", months{6, 7, "Sambucus, table 2, p. 1014"}, months{7, 9, "Sambucus, table 2, p. 1014"},
			months{8, 10, "Sambucus, table 2, p. 1014"}},
		{"sassafras-albidum", months{3, 5, fromMemory}, months{6, 9, "Sassafras, pp. 1025-1026"},
			months{6, 10, "Sassafras, pp. 1025-1026"}},
		{"thuja-occidentalis", months{4, 5, fromMemory}, months{8, 9, fromMemory}, months{8, 11, fromMemory}},
		{"tilia-americana", months{6, 7, "Tilia, pp. 1113-1118"}, months{9, 10, fromMemory}, months{10, 3, fromMemory}},
		{"tsuga-canadensis", months{4, 6, "Tsuga, tables 2 to 6, pp. 1127-1133"},
			months{9, 10, "Tsuga, tables 2 to 6, pp. 1127-1133"}, months{9, 2, "Tsuga, tables 2 to 6, pp. 1127-1133"}},
		{"ulmus-americana", months{2, 5, "Ulmus, table 2, pp. 1143-1148"},
			months{2, 6, "Ulmus, table 2, pp. 1143-1148"}, months{3, 6, "Ulmus, table 2, pp. 1143-1148"}},
		{"viburnum-lentago", months{5, 6, fromMemory}, months{9, 10, fromMemory}, months{9, 12, fromMemory}},
	}
	done := map[string]bool{}
	for _, tt := range append(table, moreMonths...) {
		s := species(t, tt.id)
		done[tt.id] = true
		for _, c := range []struct {
			phase phenology.Phase
			want  months
		}{{phenology.Flowering, tt.flowers}, {phenology.FruitRipe, tt.ripe}, {phenology.SeedFall, tt.sheds}} {
			r := s.Phase(c.phase)
			if r == nil || r.Months == nil {
				if c.want.from != 0 {
					t.Errorf("%s %s has no months", tt.id, c.phase)
				}
				continue
			}
			if r.Months.From != c.want.from || r.Months.To != c.want.to {
				t.Errorf("%s %s: months %d to %d, want %d to %d (%s)", tt.id, c.phase, r.Months.From, r.Months.To,
					c.want.from, c.want.to, c.want.source)
			}
			// A cell that nobody has seen must not pass for a printed one, nor the other way round.
			recalled := r.Months.Source.Mark == phenology.MarkMemory
			if recalled != (c.want.source == fromMemory) {
				t.Errorf("%s %s: months are marked %s, want %s", tt.id, c.phase, r.Months.Source.Mark, c.want.source)
			}
		}
	}
	maples := map[string]bool{"acer-saccharum": true, "acer-rubrum": true, "acer-saccharinum": true,
		"acer-negundo": true, "acer-platanoides": true}
	for _, s := range profiles.Builtin().All() {
		if !done[s.ID] && !maples[s.ID] {
			t.Errorf("%s has no row in the table", s.ID)
		}
	}
	if n := len(profiles.Builtin().All()); n < 110 {
		t.Errorf("%d species, want at least 110", n)
	}
}
