package profiles_test

import (
	"testing"

	"treewhen/phenology"
)

// Figures of seed typed from the tables of Bonner FT, Karrfalt RP (eds.) 2008, The Woody Plant Seed Manual, USDA
// Forest Service, Agriculture Handbook 727, in a machine-read copy: cleaned seeds a kilogram, kilograms of seed in a
// hectolitre and grams in a kilogram of fruit, years between crops and years of age from which it bears. A pair of
// noughts is a cell that is empty or of another unit.
func TestSeedOfTheLaterSpeciesAgainstTheSeedManual(t *testing.T) {
	type run = [2]float64
	const pines, oaks = "Pinus, tables 2, p. 814, and 8", "Quercus, tables 2, p. 933, and 3"
	for _, tt := range []struct {
		id                  string
		perKG, perHL, grams run
		crops, age          run
		source              string
	}{
		{"pinus-taeda", run{27000, 58000}, run{.8, 1.7}, run{20, 30}, run{3, 13}, run{5, 10}, pines},
		{"pinus-echinata", run{71000, 161000}, run{.52, 1.4}, run{20, 30}, run{3, 10}, run{5, 20}, pines},
		{"pinus-palustris", run{6600, 15400}, run{1.03, 1.03}, run{21, 21}, run{5, 7}, run{20, 20}, pines},
		{"pinus-elliottii", run{21000, 43000}, run{.77, 1}, run{10, 20}, run{3, 3}, run{7, 10}, pines},
		{"pinus-virginiana", run{101000, 201000}, run{.64, 1.2}, run{30, 30}, run{1, 1}, run{5, 5}, pines},
		{"pinus-rigida", run{94000, 181000}, run{1.03, 1.03}, run{20, 30}, run{4, 9}, run{3, 4}, pines},
		{"pinus-banksiana", run{156000, 551000}, run{.26, .9}, run{10, 10}, run{3, 4}, run{3, 15}, pines},
		{"pinus-ponderosa", run{15000, 51000}, run{.8, 2.6}, run{20, 70}, run{2, 5}, run{}, pines},
		{"pinus-monticola", run{31000, 71000}, run{.4, 1.03}, run{10, 10}, run{3, 7}, run{7, 20}, pines},
		{"pinus-lambertiana", run{3300, 6000}, run{1.9, 2.6}, run{37, 37}, run{3, 5}, run{40, 80}, pines},
		{"quercus-coccinea", run{230, 890}, run{39, 77}, run{}, run{3, 5}, run{20, 20}, oaks},
		{"quercus-montana", run{120, 430}, run{}, run{}, run{2, 3}, run{20, 20}, oaks}, // as Q. prinus
		{"quercus-falcata", run{705, 1730}, run{42, 64}, run{}, run{1, 2}, run{25, 25}, oaks},
		{"quercus-garryana", run{165, 220}, run{50, 50}, run{}, run{2, 3}, run{}, oaks},
		{"quercus-muehlenbergii", run{580, 1145}, run{60, 66}, run{}, run{}, run{}, oaks},
		{"quercus-nigra", run{510, 1545}, run{57, 72}, run{}, run{1, 2}, run{20, 20}, oaks},
		{"quercus-phellos", run{600, 1530}, run{59, 60}, run{}, run{1, 1}, run{20, 20}, oaks},
		{"quercus-stellata", run{440, 1400}, run{69, 69}, run{}, run{2, 3}, run{25, 25}, oaks},
		{"quercus-virginiana", run{530, 1125}, run{71, 71}, run{}, run{1, 1}, run{}, oaks},
		{"carya-tomentosa", run{75, 249}, run{57, 57}, run{}, run{2, 3}, run{25, 25},
			"Carya, tables 3, p. 335, and 4, as C. alba; kilograms of Mississippi"},
		{"carya-illinoinensis", run{121, 353}, run{}, run{}, run{}, run{}, "Carya, table 4"},
		{"chamaecyparis-thyoides", run{926100, 1102500}, run{}, run{200, 200}, run{1, 1},
			run{3, 20}, "Chamaecyparis, tables 3, p. 393, and 4"},
		{"chamaecyparis-nootkatensis", run{145500, 396900}, run{}, run{}, run{}, run{},
			"Chamaecyparis, table 4"},
		{"tsuga-heterophylla", run{417000, 1120000}, run{}, run{}, run{5, 8}, run{20, 30},
			"Tsuga, tables 2 and 3"},
		{"abies-grandis", run{26250, 63500}, run{1.9, 2.5}, run{}, run{}, run{}, "Abies, table 8"},
		{"abies-procera", run{20300, 42100}, run{1.7, 3.6}, run{}, run{}, run{}, "Abies, table 8"},
		{"pseudotsuga-menziesii-var-glauca", run{}, run{.65, 1.03}, run{}, run{3, 10},
			run{20, 20}, "Pseudotsuga, tables 3, p. 895, and 4"},
		{"pseudotsuga-menziesii", run{}, run{}, run{}, run{2, 11}, run{7, 10},
			"Pseudotsuga, table 3, p. 895"},
		{"cornus-amomum", run{22400, 30800}, run{}, run{}, run{}, run{}, "Cornus, table 4"},
		{"cornus-alternifolia", run{13000, 20500}, run{}, run{}, run{}, run{}, "Cornus, table 4"},
		{"nyssa-sylvatica", run{4100, 8820}, run{}, run{}, run{}, run{}, "Nyssa, table 3"},
		{"corylus-americana", run{434, 1623}, run{}, run{250, 300}, run{}, run{}, "Corylus, table 3"},
		{"prunus-americana", run{550, 1500}, run{}, run{70, 340}, run{1, 2}, run{4, 4},
			"Prunus, tables 3, p. 881, and 4"},
		{"diospyros-virginiana", run{1460, 3880}, run{}, run{}, run{}, run{}, "Diospyros, table 2"},
		{"castanea-dentata", run{220, 360}, run{}, run{}, run{}, run{}, "Castanea, table 2"},
		{"robinia-pseudoacacia", run{52920, 52920}, run{}, run{150, 330}, run{}, run{},
			"Robinia, table 3"},
		{"rhus-typhina", run{107100, 148700}, run{}, run{}, run{}, run{}, "Rhus, table 3, as R. hirta"},
	} {
		s := species(t, tt.id).Seed
		for _, c := range []struct {
			what  string
			got   *phenology.Quantity
			want  run
			times float64 // of the profile's unit to the table's
		}{
			{"seeds a kilogram", s.SeedsPerKg, tt.perKG, 1}, {"kilograms a hectolitre", s.SeedPerHL, tt.perHL, 1},
			{"grams a kilogram", s.SeedPerFruit, tt.grams, 10}, {"years between crops", s.CropInterval, tt.crops, 1},
			{"years of age", s.SeedAge, tt.age, 1},
		} {
			switch {
			case c.want == run{}:
			case c.got == nil:
				t.Errorf("%s: found no %s, want %v (%s)", tt.id, c.what, c.want, tt.source)
			case !near(c.got.Low*c.times, c.want[0]) || !near(c.got.High*c.times, c.want[1]):
				t.Errorf("%s: found %v to %v %s, want %v (%s)", tt.id, c.got.Low*c.times, c.got.High*c.times, c.what,
					c.want, tt.source)
			case c.got.Source.Mark == phenology.MarkMemory:
				t.Errorf("%s: %s is marked as recalled, and the manual prints it (%s)", tt.id, c.what, tt.source)
			}
		}
	}
}

// near is as near as the tables are printed: two figures.
func near(got, want float64) bool { return got > want*0.995 && got < want*1.005 }
