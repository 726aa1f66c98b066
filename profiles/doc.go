// Package profiles says what is known of each species, and from which source.
//
// A profile is a YAML file that describes one species. Some come with the program ([Builtin]); a folder of the user's
// own stands beside them or replaces some ([Read]). Both go through the same two doors: a strict decoder that knows
// every key (package strictyaml lists what it refuses), and [Check], which judges the biology. An error names the file,
// the line, what was found and what is wanted; all problems of all files are reported at once. A user's profiles pass
// them at every start; the built-in ones have passed them before they are packed into the program.
//
// # The file
//
// Its name is the id with .yaml behind it. Numbers are written without units where the key says the unit; where a
// quantity can have several units, it is written with one: "350 m", "1150 ft", "4 C", "40 F", "60 days", "8 weeks",
// "3 years". "3 to 7" is a run of figures, "1 to 5 C" a run of quantities. Days of the year are MM-DD. Latitudes and
// longitudes are decimal degrees, north and east positive.
//
// Every figure has a source: the key of an entry in the shared bibliography, in a file sources.yaml of the user's
// folder or under sources in the profile itself; or memory, for what somebody recalls; or common-practice, for what the
// trade knows without a source.
//
//	id            the botanical name in lower case, joined by hyphens: acer-saccharum
//	botanical     the botanical name
//	common        a list of common names as they stand inside a sentence (sugar maple, Norway maple), the preferred
//	              one first; no other species may have any of them
//	family        the botanical family
//	range         optional: south, north, west, east as a box in degrees; parts (optional, a list of boxes within it,
//	              where one box would hold much that the range is not); naturalized (optional, another box, where it
//	              was brought and has gone wild); note; source
//	sap           whether it is tapped, see below
//	phases        what happens when, see below
//	seed          optional: what collectors and nurseries need to know, see below
//	traits        optional: how it is told from others, see below
//	cautions      optional: a list of text and source; activities (tapping, seed-collection, twig-survey, field-trip)
//	              where it does not go with all of them; in-leaf: true for what the species is taken for while leaves
//	              show: it is read out on such days alone, and its text names the species
//	regulated     optional: a list of where, text, collecting (true if collecting seed can itself be forbidden),
//	              source
//	disputes      optional: a list of about, used, other, why, source (of the other) where sources disagree
//	sources       optional: by key, citation (author, year, title, page) and mark (seen, memory, common practice,
//	              computed, fitted)
//
// # Sap
//
//	tapped         commonly, sometimes or no
//	note, source   note is optional
//	sugar-percent  optional: value (a figure or a run, of fresh sap, percent by weight, 0 to 10), source
//	litres-per-tap optional: value (a figure or a run, of sap in a season by gravity), source
//	run            unless tapped is no: min-below (the night's freeze) and max-above (the day's thaw), for sap that a
//	               freeze and a thaw drive; or nights-above and days-above (of five days, on average), for sap that
//	               root pressure drives; each a temperature, or a run of temperatures where published definitions
//	               differ (30 to 32 F); and source. Or none, where what makes it run is not known
//
// # Phases
//
// By the phase's name (sap-start, sap-end, bud-swell, flowering, bud-break, leaf-out, flowering-end, fruit-ripe,
// seed-fall, seed-fall-end, leaf-color, leaf-fall, dormant); only those that the species has, each with references or a
// dating or both, or with months alone: those are told, and date nothing. A phase that nothing is known of is left out:
//
//	meaning      what the date is the date of
//	moves        how it moves northward, up and inland: later (as spring does), earlier (as autumn does) or not
//	gradient     optional: north (days later for each degree poleward; below 0 earlier), up (optional: days later for
//	             each 100 m up), source: as it was measured, in place of the bioclimatic law
//	references   a list of published mean dates: place, latitude, longitude, elevation, date (the mean, MM-DD), spread
//	             (standard deviation between years, days, above 0), years (optional), source; following-year: true
//	             where the date falls in the calendar year after the growing year's. The first place is the one where
//	             models were fitted: elsewhere those of thermal time start 2.5 days earlier for each degree Celsius by
//	             which February to May are warmer, by the built-in climate of both
//	months       optional: from, to (1 to 12 of the northern hemisphere, over the whole range, both included; from 9
//	             to 3 passes New Year), source
//	dating       optional: models (a list; the dates of several are averaged), residual (standard deviation of
//	             observed less predicted in days, on years that the parameters were not fitted to), score (optional:
//	             years, rmse and mean-date-rmse in days, of years left out), source
//
// A model is one of these, by its kind:
//
//	thermal-time  start (MM-DD on which summing begins; for what happens before leaf-color, September to December are
//	              those of the year before), base (with unit), requirement (degree-days Celsius), method (sine,
//	              average or triangle, default sine), day-length-exponent (default 0: day length does not count). The
//	              phase comes when the degree-days above the base reach the requirement. Optional: upper (with unit)
//	              and cutoff (horizontal, intermediate, vertical): what becomes of warmth above it.
//	chilling-thermal-time  start, base, method as above; chill-start (MM-DD), chill-below (with unit): a day whose
//	              mean is not above it is a chill day; the degree-days needed are requirement + extra x exp(-decay x
//	              chill days).
//	chilling-then-forcing  chill-start (MM-DD), chill-requirement, then requirement. Chilling is days of full chilling
//	              by Sarvas' rate; or chilling: hours (from 0 to 7.2 C, Weinberger 1950), or units (Richardson 1974:
//	              warm hours take some away), or a rate of your own (low, optimum, high, with units). Forcing is units
//	              of Sarvas' rate; or forcing: ceiling, steepness, midpoint of your own; or base and if wanted method,
//	              for degree-days.
//	degree-day-lag  after (a phase), base, requirement, method: degree-days from the other phase on.
//	autumn-cooling  day-length-below (hours), base, requirement, temperature-exponent (default 1), day-length-exponent
//	              (default 0), shortening (true: shorter days count more).
//	warmth-shift  from, to (MM-DD), days-per-degree: the mean of the references, moved by so many days for each degree
//	              by which that part of the season was warmer than the site's own mean.
//	lag           after (a phase), days (negative: before it), spread (standard deviation, days)
//	run-count     start (MM-DD), runs: the day on which the sap runs expected since start sum to so many, by the run
//	              rule under sap
//	run-share     start (MM-DD), share (above 0, below 1), before (a phase): the day by which that share of the runs
//	              from start to the other phase has come
//	last-run      start (MM-DD), before (a phase): the last day before the other phase on which sap is as likely to
//	              run as not
//
// Dates of models and months are of the northern hemisphere's calendar; half a year is added for southern sites. The
// date of a southern reference is the southern calendar's own.
//
// # Seed
//
//	fruit           what is collected: acorn, berry, berry-like cone, capsule, cone, drupe, nut, nutlet, pod, pome,
//	                samara, seed catkin or seed head; what to bring and which test to make of a sample follow from it
//	maturity-signs  a list of text, source, and, for one that is a usual test of a sample, test (float: in water; cut:
//	                open), so that the test is not told twice
//	collect-from    text, source
//	dispersal       optional: agent (wind, water, birds, animals, gravity, or itself where it is shot from its
//	                capsule), gather (before-fall: cones and catkins before they open; while-falling: until half of it
//	                is down, the default; once-fallen: nuts from the ground), source
//	processing      optional: the steps from fruit to clean seed, a list of text, for (optional, days), source
//	keep            optional: how it is kept: text, source; moist: true for what is kept moist and cold, which
//	                stratifies it
//	storage         class (orthodox: bears drying and cold; intermediate; recalcitrant: dies when it dries), source
//	pretreatments   a list of alternatives, the usual one first: note (optional), source, steps: a list, [] for seed
//	                sown fresh, of kind (warm, cold, scarify, soak), for (days), at (temperature); warm and cold need
//	                both
//	crop-interval   optional: value (with unit: years between good crops), source
//	seed-age        optional: value (with unit: years of age from which a tree bears), source
//	seeds-per-kg    optional: value (a figure or a run, cleaned seeds per kilogram), source
//	germination     optional: value (a figure or a run, percent of clean seed that germinates once treated), source
//	seed-per-fruit  optional: value (a figure or a run, percent of the fruit's weight that is clean seed), source
//	seed-per-hl     optional: value (a figure or a run, kilograms of clean seed in a hectolitre of fruit), source
//
// # Traits
//
// Two species can be told apart by a trait that both have, while it can be seen on both, if they share no state (or no
// part of the measure). So traits and states are words that all profiles share: they stand, with what is near to what,
// in the table of package phenology/traits. A word that is not there is noted, not refused. Where a species mostly
// grows (habit, ground) is a hint and never tells two apart by itself.
//
//	organ     twig, bud, leaf, flower, fruit, bark, sap, pith or habit
//	name      what is looked at: color, form, edge, scales, angle
//	states    a list of the states that it can be in; or
//	measure   a figure or a run, with unit (degrees, leaflets, lobes, a bundle, mm)
//	text      optional: as a field sheet says it, where the words of the table do not serve
//	seen      all-year, or from one moment to another: a phase, a phase and days after it, or a month, both included:
//	          bud-break+7 to dormant, august to bud-break
//	          (leaves can be told by their outline from about a week after bud-break until the last are down; buds
//	          stand full-sized from august and keep their scales until bud-break, flower buds until flowering; twigs
//	          have their color from september, and last year's are bare until leaf-out: common practice, no source)
//	handling  optional: true if it is destructive or needs a hand lens
//	source    one key, or a list of them, each of some of the states
//
// # Example
//
// An invented species, to copy and change:
//
//	id: arbor-exempli
//	botanical: Arbor exempli
//	common: [example tree]
//	family: Exemplaceae
//	range: {south: 40, north: 48, west: -80, east: -65, source: herbarium}
//	sap: {tapped: "no", source: common-practice}
//	phases:
//	  bud-break:
//	    meaning: half the buds show leaves
//	    moves: later
//	    references:
//	      - {place: Example Hill, latitude: 44.1, longitude: -72.6, elevation: 1150 ft, date: 05-06,
//	         spread: 6, years: 2011-2024, source: own-notes}
//	    dating:
//	      models:
//	        - {kind: thermal-time, start: 03-01, base: 40 F, requirement: 190}
//	      residual: 4
//	      score: {years: 14, rmse: 4.1, mean-date-rmse: 6.2}
//	      source: own-notes
//	  fruit-ripe:
//	    meaning: nuts fall at a touch
//	    moves: not
//	    months: {from: 9, to: 10, source: herbarium}
//	    dating:
//	      models: [{kind: lag, after: bud-break, days: 140, spread: 10}]
//	      residual: 12
//	      source: memory
//	seed:
//	  fruit: nut
//	  maturity-signs: [{text: husk splits, source: own-notes}]
//	  collect-from: {text: the ground, source: own-notes}
//	  storage: {class: intermediate, source: memory}
//	  pretreatments:
//	    - source: herbarium
//	      steps: [{kind: cold, for: 12 weeks, at: 1 to 5 C}]
//	  seeds-per-kg: {value: 200 to 300, source: own-notes}
//	traits:
//	  - {organ: bud, name: tip, states: [blunt], text: end bud blunt, seen: all-year, source: own-notes}
//	sources:
//	  herbarium: {citation: "Exemplar A 2001, Trees of Nowhere, p. 12", mark: memory}
//	  own-notes: {citation: "our own notes, 2011 to 2024", mark: computed}
package profiles
