package profiles_test

import (
	"cmp"
	"math"
	"slices"
	"strings"
	"testing"

	"treewhen/phenology"
	"treewhen/profiles"
)

// inNewEngland reports whether a phase is dated in central New England first, following lags.
func inNewEngland(s *phenology.Species, p phenology.Phase) bool {
	r := s.Phase(p)
	if len(r.References) > 0 {
		return math.Abs(r.References[0].Latitude-42.53) < 0.5 && math.Abs(r.References[0].Longitude+72.19) < 0.5
	}
	lag, ok := r.Model.Models[0].(phenology.Lag)
	return ok && inNewEngland(s, lag.After)
}

// usualDay returns the mean day of the year of a phase at the species' first place, following lags.
func usualDay(t *testing.T, s *phenology.Species, p phenology.Phase) float64 {
	t.Helper()
	r := s.Phase(p)
	if r == nil {
		t.Fatalf("%s has no %s", s.ID, p)
	}
	if len(r.References) > 0 {
		return r.References[0].Day
	}
	lag, ok := r.Model.Models[0].(phenology.Lag)
	if !ok {
		t.Fatalf("%s %s has neither a date nor a lag", s.ID, p)
	}
	return usualDay(t, s, lag.After) + lag.Days
}

// Common practice, no source: the seed year begins with elm, aspen and silver and red maple in May and June and ends
// with oaks, walnuts and hickories in autumn. That red and silver maple, elm, river birch, aspen, cottonwood and willow
// ripen in spring and early summer is printed in Agriculture Handbook 727 (see the table of months).
func TestOrderOfTheSeedYear(t *testing.T) {
	var order []string
	day := map[string]float64{}
	for _, s := range profiles.Builtin().All() {
		if s.Seed == nil || !inNewEngland(s, phenology.FruitRipe) {
			continue // days of other places do not compare
		}
		day[s.ID] = usualDay(t, s, phenology.FruitRipe)
		order = append(order, s.ID)
	}
	slices.SortFunc(order, func(a, b string) int { return cmp.Or(cmp.Compare(day[a], day[b]), cmp.Compare(a, b)) })
	spring := []string{"ulmus-americana", "populus-tremuloides", "acer-saccharinum", "acer-rubrum", "populus-deltoides",
		"betula-nigra", "salix-nigra"}
	for _, id := range order[:len(spring)] {
		if !slices.Contains(spring, id) {
			t.Errorf("%s is among the first %d to ripen, on day %.0f", id, len(spring), day[id])
		}
	}
	const midsummer, autumn = 181, 244 // 30 June, 1 September
	for _, id := range spring {
		if day[id] > midsummer {
			t.Errorf("%s ripens on day %.0f, want before July", id, day[id])
		}
	}
	for _, s := range profiles.Builtin().All() {
		if fruit := s.Seed.Fruit; (fruit == "acorn" || fruit == "nut") && day[s.ID] != 0 && day[s.ID] < autumn {
			t.Errorf("%s ripens on day %.0f, want September or later", s.ID, day[s.ID])
		}
	}
	for _, early := range []string{"amelanchier-arborea", "amelanchier-laevis", "prunus-virginiana",
		"prunus-serotina"} {
		if day[early] <= midsummer-5 || day[early] >= autumn {
			t.Errorf("%s ripens on day %.0f, want summer", early, day[early])
		}
	}
}

// Facts of the trade on the five maples: common practice, no source.
func TestCommonPracticeOnTheFiveMaples(t *testing.T) {
	five := []string{"acer-saccharum", "acer-rubrum", "acer-saccharinum", "acer-negundo", "acer-platanoides"}
	trait := func(id, organ, name string) *phenology.Trait {
		s := species(t, id)
		for i := range s.Traits {
			if s.Traits[i].Organ == organ && s.Traits[i].Name == name {
				return &s.Traits[i]
			}
		}
		return nil
	}
	// Angle between the wings of a pair: red up to about 70 degrees, sugar about 50 or a little more, box elder 60 to
	// 90, silver 60 to 100, Norway about 180.
	for _, tt := range []struct {
		id        string
		low, high float64 // must lie in the profile's range
		most      float64 // the profile's range must not go beyond
	}{
		{"acer-rubrum", 50, 70, 75}, {"acer-saccharum", 45, 55, 65}, {"acer-negundo", 60, 90, 95},
		{"acer-saccharinum", 60, 100, 110}, {"acer-platanoides", 170, 180, 180},
	} {
		a := trait(tt.id, "fruit", "angle")
		if a == nil || a.Low > tt.low || a.High < tt.high || a.High > tt.most {
			t.Errorf("%s: angle %+v, want one that holds %v to %v and ends by %v degrees", tt.id, a, tt.low, tt.high,
				tt.most)
		}
	}
	// Silver maple's samaras are the largest of the five.
	silver := trait("acer-saccharinum", "fruit", "length")
	for _, id := range five {
		if l := trait(id, "fruit", "length"); l != nil && id != "acer-saccharinum" && l.High >= silver.High {
			t.Errorf("%s: samara up to %v mm, silver maple up to %v", id, l.High, silver.High)
		}
	}
	// Box elder has three to seven leaflets, and alone of the five has any.
	for _, id := range five {
		l := trait(id, "leaf", "leaflets")
		if (l != nil) != (id == "acer-negundo") {
			t.Errorf("%s: leaflets %+v", id, l)
		} else if l != nil && (l.Low != 3 || l.High < 7) {
			t.Errorf("box elder: %v to %v leaflets, want 3 to 7", l.Low, l.High)
		}
	}
	// Norway maple alone of the five has milky sap.
	for _, id := range five {
		if s := trait(id, "sap", "color"); s != nil &&
			slices.Contains(s.States, "milky") != (id == "acer-platanoides") {
			t.Errorf("%s: sap %v", id, s.States)
		}
	}
	// Silver maple flowers from as early as February, the others in April or May at this place, not after their leaves
	// are out.
	if m := species(t, "acer-saccharinum").Phase(phenology.Flowering).Months; m.From != 2 {
		t.Errorf("silver maple flowers from month %d, want February", m.From)
	}
	for _, id := range five {
		s := species(t, id)
		flower := usualDay(t, s, phenology.Flowering)
		if id != "acer-saccharinum" && (flower < 91 || flower > 151) {
			t.Errorf("%s flowers on day %.0f, want April or May", id, flower)
		}
		if out := usualDay(t, s, phenology.LeafOut); flower >= out {
			t.Errorf("%s flowers on day %.0f, its leaves are out on day %.0f", id, flower, out)
		}
	}
	// Autumn-ripening maples mature from August to October.
	for _, id := range []string{"acer-saccharum", "acer-negundo", "acer-platanoides"} {
		if m := species(t, id).Phase(phenology.FruitRipe).Months; m.From < 8 || m.To > 10 {
			t.Errorf("%s ripens in months %d to %d, want August to October", id, m.From, m.To)
		}
	}
}

// What guides to winter twigs say of the five maples. Colors of twigs and of the ground are common practice, no source;
// those of buds are from Otis 1915, Dame & Brooks 1904, Common Trees of Pennsylvania and Virginia Tech dendrology taken
// together, since one has a twig in the sun and another one in the shade.
func TestWinterTwigsOfTheMaples(t *testing.T) {
	for _, tt := range []struct {
		id, organ, name string
		among           []string // the profile's states, no other
		must            []string // of which these
		practice        bool     // the profile has it as common practice
	}{
		{"acer-negundo", "twig", "color", []string{"green", "purple"}, []string{"green", "purple"}, false},
		{"acer-saccharum", "bud", "color", []string{"brown", "red-brown", "dark-brown"}, []string{"brown", "dark-brown"}, false},
		{"acer-rubrum", "bud", "color", []string{"red", "maroon", "green"}, []string{"red"}, false},
		{"acer-saccharinum", "bud", "color", []string{"red", "red-brown", "maroon"}, []string{"red"}, false},
		{"acer-rubrum", "twig", "color", []string{"red", "red-brown"}, []string{"red"}, false},
		{"acer-platanoides", "bud", "color", []string{"maroon", "purple", "red", "green", "yellow-green", "red-brown"}, []string{"purple"}, false},
		{"acer-platanoides", "twig", "color", []string{"brown", "red-brown", "olive"}, []string{"brown"}, false},
		{"acer-saccharinum", "habit", "ground", []string{"flood-plain"}, []string{"flood-plain"}, true},
	} {
		s := species(t, tt.id)
		k := slices.IndexFunc(s.Traits,
			func(x phenology.Trait) bool { return x.Organ == tt.organ && x.Name == tt.name })
		if k < 0 {
			t.Errorf("%s: no %s %s", tt.id, tt.organ, tt.name)
			continue
		}
		x := s.Traits[k]
		for _, state := range x.States {
			if !slices.Contains(tt.among, state) {
				t.Errorf("%s: %s %s is %v, want none but %v", tt.id, tt.organ, tt.name, x.States, tt.among)
			}
		}
		for _, state := range tt.must {
			if !slices.Contains(x.States, state) {
				t.Errorf("%s: %s %s is %v, want %s among them", tt.id, tt.organ, tt.name, x.States, state)
			}
		}
		if got := x.Source == phenology.CommonPractice; got != tt.practice {
			t.Errorf("%s: %s %s is from %v", tt.id, tt.organ, tt.name, x.Source)
		}
	}
	// All maples have opposite buds, three at the tip; vine maple, whose end bud often fails, mostly two.
	maples := 0
	for _, s := range profiles.Builtin().All() {
		if !strings.HasPrefix(s.ID, "acer-") {
			continue
		}
		maples++
		opposite, three := false, false
		for _, x := range s.Traits {
			opposite = opposite || x.Organ == "twig" && x.Name == "arrangement" &&
				slices.Equal(x.States, []string{"opposite"}) && x.AllYear
			three = three || x.Organ == "bud" && x.Name == "tip-buds" && slices.Contains(x.States, "three") &&
				x.Source == phenology.CommonPractice
		}
		if !opposite || !three {
			t.Errorf("%s: opposite %v, three at the tip %v, want both", s.ID, opposite, three)
		}
	}
	if maples < 9 {
		t.Errorf("found %d maples", maples)
	}
}

// The five maples can be compared in winter by each other's marks only if all profiles have them: what one alone has
// tells nothing. What is not comparable is box elder's bloom and the hair that hides its scales and the tip of its bud,
// the round flower buds of red and silver maple, and what must be scraped or cut.
func TestMaplesCanBeComparedInWinter(t *testing.T) {
	own := []string{"twig surface", "bud surface", "bud side-buds", "bud flower-buds", "twig smell", "twig scar-shape",
		"bud sap", "bud scales", "bud tip", "bud coat"}
	five := []string{"acer-saccharum", "acer-rubrum", "acer-saccharinum", "acer-negundo", "acer-platanoides"}
	count := map[string]int{}
	for _, id := range five {
		for _, x := range species(t, id).Traits {
			if x.Organ == "twig" || x.Organ == "bud" {
				count[x.Organ+" "+x.Name]++
			}
		}
	}
	for name, n := range count {
		if n < len(five) && !slices.Contains(own, name) {
			t.Errorf("%s: %d of %d maples have it", name, n, len(five))
		}
	}
}

// For how long a twig's characters can be seen. That buds stand full-sized from August and keep their scales, swollen as
// they are, until they break, flower buds until they open, and that a twig has its color from September and stands bare
// until its own leaves are out, is common practice, no source. Size and shape of a bud are those of one at rest; scars
// show from leaf fall; what is smelled, or cut, is there all year.
func TestHowLongTwigsShow(t *testing.T) {
	scars := []string{"scar-shape", "scar-top", "scar-edges", "bundle-scars", "stipule-scars"}
	for _, s := range profiles.Builtin().All() {
		out := "leaf-out"
		if s.Phase(phenology.LeafOut) == nil {
			out = "bud-break"
		}
		for _, x := range s.Traits {
			if x.AllYear || x.Organ != "bud" && x.Organ != "twig" {
				continue
			}
			from, to := "august", []string{"bud-break"}
			switch {
			case slices.Contains(scars, x.Name):
				from, to = "leaf-fall", []string{out}
			case x.Organ == "twig":
				from, to = "september", []string{out}
			case x.Name == "end-bud-size" || x.Name == "shape":
				to = []string{"bud-swell"}
			case x.Name == "flower-buds":
				from, to = "september", append(to, "flowering")
			}
			if x.From.String() != from || !slices.Contains(to, x.To.String()) {
				t.Errorf("%s: %s %s is seen from %v to %v, want from %s to %v", s.ID, x.Organ, x.Name, x.From, x.To, from, to)
			}
		}
	}
}

// What the seed manual's tables of stratification print (Agriculture Handbook 727, by genus), total days of cold and of
// warmth, against the profiles: an alternative of each species must have exactly these.
func TestStratificationAgainstTheSeedManual(t *testing.T) {
	for _, tt := range []struct {
		id                     string
		warm, warmTo           int
		cold, coldTo           int
		coldestFrom, warmestTo float64
	}{
		{"acer-circinatum", 30, 60, 90, 180, 3, 3},         // Acer, table 5
		{"acer-pensylvanicum", 0, 0, 90, 120, 5, 5},        // Acer, table 5
		{"betula-papyrifera", 0, 0, 60, 75, 1, 5},          // Betula; the temperature is from memory
		{"carya-ovata", 0, 0, 90, 150, 1, 4},               // Carya, table 6
		{"cornus-florida", 0, 0, 120, 120, 5, 5},           // Cornus
		{"fraxinus-americana", 30, 30, 60, 60, 5, 5},       // Fraxinus, pp. 537-542
		{"fraxinus-nigra", 60, 60, 90, 90, 5, 5},           // Fraxinus
		{"fraxinus-nigra", 126, 126, 90, 90, 5, 5},         // Fraxinus
		{"fraxinus-pennsylvanica", 60, 60, 210, 210, 0, 5}, // Fraxinus
		{"fraxinus-pennsylvanica", 0, 0, 60, 150, 2, 5},    // Fraxinus
		{"pinus-strobus", 0, 0, 30, 60, 0.5, 5},            // Pinus
		{"prunus-virginiana", 0, 0, 120, 160, 3, 5},        // Prunus
		{"quercus-rubra", 0, 0, 30, 45, 2, 5},              // Quercus, table 4, p. 936
		{"quercus-alba", 0, 0, 0, 0, 0, 0},                 // Quercus, table 4, p. 936
		{"sambucus-canadensis", 60, 60, 90, 150, 5, 5},     // Sambucus
		{"tsuga-canadensis", 0, 0, 30, 120, 1, 5},          // Tsuga
		{"viburnum-lentago", 150, 270, 60, 120, 5, 10},     // Viburnum, table 5, p. 1166
		{"carpinus-caroliniana", 60, 60, 60, 60, 5, 5},     // Carpinus
		{"juniperus-virginiana", 0, 0, 30, 120, 5, 5},      // Juniperus
		{"hamamelis-virginiana", 60, 60, 90, 90, 5, 5},     // from memory
	} {
		found := false
		for _, p := range species(t, tt.id).Seed.Pretreatments {
			var warm, warmTo, cold, coldTo int
			var low, high float64
			for _, s := range p.Steps {
				switch s.Kind {
				case phenology.WarmStratify:
					warm, warmTo = warm+s.MinDays, warmTo+s.MaxDays
				case phenology.ColdStratify:
					cold, coldTo, low, high = cold+s.MinDays, coldTo+s.MaxDays, s.LowC, s.HighC
				}
			}
			found = found || warm == tt.warm && warmTo == tt.warmTo && cold == tt.cold && coldTo == tt.coldTo &&
				low == tt.coldestFrom && high == tt.warmestTo
		}
		if !found {
			t.Errorf("%s: no pre-treatment with %d to %d days warm and %d to %d days cold at %v to %v C: %+v", tt.id,
				tt.warm, tt.warmTo, tt.cold, tt.coldTo, tt.coldestFrom, tt.warmestTo,
				species(t, tt.id).Seed.Pretreatments)
		}
	}
}

// Silver maple's seed dies below about 30 percent moisture and is sown at once; so are the acorns of the white oaks
// (Agriculture Handbook 727, Acer and Quercus); those of the red oaks rest.
func TestSeedThatDoesNotStore(t *testing.T) {
	for id, fresh := range map[string]bool{
		"acer-saccharinum": true, "quercus-alba": true, "quercus-bicolor": true, "quercus-macrocarpa": true,
		"quercus-rubra": false, "quercus-velutina": false, "quercus-palustris": false, "aesculus-flava": false,
	} {
		s := species(t, id).Seed
		if s.Storage != phenology.Recalcitrant {
			t.Errorf("%s: storage %s, want recalcitrant", id, s.Storage)
		}
		if got := len(s.Pretreatments[0].Steps) == 0; got != fresh {
			t.Errorf("%s: sown fresh %v, want %v", id, got, fresh)
		}
	}
}

// Where trees of the later species are at home, by what handbooks say in words (Silvics of North America, Agriculture
// Handbook 654, from memory), far from the edges of their rough boxes: a range that bends is of several.
func TestRoughRanges(t *testing.T) {
	for _, tt := range []struct {
		id       string
		lat, lon float64
		inside   bool
	}{
		{"pinus-banksiana", 46.5, -88, true}, {"pinus-banksiana", 55, -115, true}, {"pinus-banksiana", 43.6, -116.2, false},
		{"picea-mariana", 47, -93, true}, {"picea-mariana", 47.6, -122.3, false},
		{"populus-balsamifera", 64.8, -147.7, true}, {"populus-balsamifera", 47.6, -122.3, false},
		{"tsuga-heterophylla", 47.5, -116.3, true}, {"tsuga-heterophylla", 43.6, -116.2, false},
		{"alnus-rubra", 47.6, -122.3, true}, {"alnus-rubra", 43.6, -116.2, false},
		{"pinus-ponderosa", 44.1, -103.5, true}, {"pinus-ponderosa", 47.6, -122.3, false},
		{"pinus-taeda", 33.5, -83, true}, {"pinus-taeda", 44, -72, false},
		{"picea-abies", 44, -72, true}, {"robinia-pseudoacacia", 47.6, -122.3, true}, // planted and gone wild
		{"chamaecyparis-thyoides", 39.5, -74.8, true}, {"chamaecyparis-thyoides", 44.5, -73.2, false},
		{"quercus-montana", 35.6, -82.5, true}, {"quercus-montana", 32.1, -81.1, false}, // the Georgia coast has none
		{"quercus-coccinea", 35.6, -82.5, true}, {"quercus-coccinea", 32.1, -81.1, false},
		{"castanea-dentata", 35.6, -82.5, true}, {"castanea-dentata", 32.1, -81.1, false},
		{"cornus-alternifolia", 35.6, -82.5, true}, {"cornus-alternifolia", 32.1, -81.1, false},
	} {
		km := species(t, tt.id).KilometresOutside(phenology.Site{Latitude: tt.lat, Longitude: tt.lon})
		if (km == 0) != tt.inside {
			t.Errorf("%s at %v, %v: found it %.0f km outside, want inside %v", tt.id, tt.lat, tt.lon, km, tt.inside)
		}
	}
	spruce := *species(t, "picea-mariana")
	spruce.Range = &phenology.Range{South: 45, North: 50, West: -90, East: -80, Source: phenology.FromMemory,
		Parts: []phenology.Range{{South: 44, North: 50, West: -90, East: -85, Source: phenology.FromMemory}}}
	if found := profiles.Check(&spruce).Error(); !strings.Contains(found, "range.parts[1]") {
		t.Errorf("found %s, want a part that reaches out of its range", found)
	}
}
