package words

import (
	"treewhen/calendar/phrase"
	"treewhen/calendar/seed"
	"treewhen/phenology"
)

var kit = map[seed.Kit]string{
	seed.Binoculars:      "binoculars, and a book for crop notes",
	seed.KnifeAndLens:    "knife, cutting board and hand lens",
	seed.FloatTub:        "tub of water for float tests",
	seed.TagsAndPencils:  "tags and pencils: species, stand, seed zone, date, number of trees",
	seed.BucketsAndSacks: "buckets and mesh sacks",
	seed.HardHats:        "hard hats",
	seed.LiddedBuckets:   "buckets with lids, and a cool box",
	seed.Sheets:          "sheets to shake fruit onto",
	seed.AirySacks:       "airy sacks for cones and catkins",
	seed.PrunersAndBags:  "hand pruners and closed paper bags",
	seed.Tarpaulins:      "tarpaulins and paper bags",
	seed.DustMasks:       "dust masks and goggles",
	seed.DryingRacks:     "drying racks and screens",
	seed.HuskGloves:      "gloves that husk stain does not pass",
	seed.PulpSieves:      "tubs, mashing tool and sieves for pulp",
	seed.StillRoom:       "a room without drafts, trays, a soft brush",
	seed.SealedJars:      "jars or bags that seal, inside and outside labels, a scale",
	seed.ColdStore:       "cold store space",
	seed.DampSand:        "damp sand, peat or vermiculite, and bags",
	seed.WarmShelf:       "a warm shelf at 20 to 30 °C",
	seed.Files:           "files or sandpaper; hot water",
	seed.BedLabels:       "bed labels and a sowing plan",
	seed.Mesh:            "mesh against squirrels and mice",
	seed.CountFrame:      "count frame and tally sheet",
}

// Kit says something to have at hand, and the species that it is for.
func Kit(item seed.KitItem, as phrase.Speech) (what string, of []string) {
	return as.Measures(kit[item.What]), each(item.For, (*phenology.Species).Name)
}
