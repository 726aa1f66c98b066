// Package planfile answers: what did this user ask for? It reads the plan file and the observations file.
//
// # The plan file
//
// A plan is one YAML document. Unknown keys are errors. Paths are relative to the plan file; "-" is standard input.
//
//	title: Three places in one spring  # any text; wanted
//	feed_id: 6f9619ff-8b86-4d11-b42d-00c04fc964ff   # a UUID of the plan's own, from which the identifiers in its
//	                               # calendars are derived: set it once and keep it
//	address: https://example.org/trees/  # where treewhen serve is reached: events link to their entries on its page,
//	                               # unless there is a feed_key, which keeps the page to those who know its address
//	feed_key: a-long-random-text   # 16 to 200 characters; with it, a server's addresses cannot be guessed
//	feed_days: windows             # how work of many days stands in a calendar: windows (one event over them),
//	                               # best-days (one event on the best day) or both
//	units: us                      # in which people read what is told: us (°F, ft, in, miles, lb, US gallons) or
//	                               # metric; default: °C, and both units where the trade gives both. csv and json
//	                               # have metric figures always
//	language: en                   # in which it is told: en or, where tapping is the only activity, fr, as in
//	                               # Quebec; keys, errors, csv and json stay English
//	as_of: 2027-03-05              # pretend that today is that day; the command line's --as-of wins
//	contact: you@example.org       # an address of mail or of the web, at which a weather service may reach you: it
//	                               # is sent with every request. --contact wins; who names none gets no forecast
//	observations: seen.csv         # what was seen: see below
//	lots: lots.csv                 # what was done with lots of seed: see below
//	alerts:                        # who is told of what: see below
//	  mail:                        # for recipients of mail
//	    server: smtp.example.org   # SMTP
//	    tls: starttls              # starttls (default), from-start, or none: whoever is on the way can read it
//	    port: 587                  # default 587, from the start 465, without TLS 25
//	    user: bush@example.org
//	    password: {env: BUSH_MAIL} # a variable of the environment, or {file: secret.txt}, relative to the plan: the
//	                               # first line of it. A password in the plan itself is refused
//	    from: Kettle Ridge <bush@example.org>
//	  to:                          # at least one
//	    - mail: crew@example.org
//	      activities: [tapping]    # default: all
//	      sites: [fallow-creek]    # default: all
//	      runs: middling           # from which size of run on: small (default), middling or large. One whose size
//	                               # cannot be told, for want of past runs, is told of
//	      quiet: "21:00/06:00"     # in these hours, by the clocks of the site, nobody is told; afterwards, if it is
//	                               # still of use
//	    - post: https://push.example.org/bush   # http as well, with tls: none beside it
//	      token: {env: BUSH_PUSH}  # sent as Authorization: Bearer
//	      fields: {topic: bush}    # put into the JSON as well; in a text, {title} and {message} stand for these
//	yield: sap.csv                 # what was gathered and boiled: see below
//	temperature_sets:              # lists of temperatures as under sites, by a name that several sites may give
//	  sugarhouse:
//	    - {file: sugarhouse.csv, unit: F, elevation: 1400 ft}
//	activities:                    # options of the activities; every one can be set for a site alone as well
//	  tapping:
//	    collection: gravity        # gravity (buckets, bags, tubing without a pump) or vacuum
//	    taphole_life: 6 weeks      # till a hole gives half, by age alone; default 42 days by gravity, 70 under vacuum
//	    drying_by_warmth: 0.5      # the share of its drying that is by warmth and not by age; default 0.5 and 0.45
//	    notice: 7 days             # before the best day to tap
//	    taps: 450                  # how many; with it, quantities are for all of them
//	    days_to_tap: 3 days        # how long drilling takes; it moves the start
//	    sugar_percent: 1.8 to 2.2  # of this bush's sap, a figure or a run; default: by species
//	    taps_by_diameter: careful  # careful (one from 30 cm, two from 45 cm, never three) or traditional
//	    tapped: 2027-03-08         # the day on which it was done: runs and the end are then counted from it.
//	                               # Without it, holes are taken to be in once sap-start is among the observations
//	    reminder: "07:00"          # civil time at the site
//	  seed-collection:
//	    sowing: last-frost         # worked out from the site's temperatures; or a month and a day such as 05-01
//	    frost_risk: 0.1            # with last-frost: how likely a later frost may be; default 0.1
//	    sowing_of:                 # species that are sown at another time
//	      viburnum-lentago: second-spring  # a year later than the rest
//	      Quercus rubra: 10-20     # or on a day of their own
//	    work:                      # people-days that a task takes each time: your own figures, any of these
//	      {scout-crop: 0.25, check-ripeness: 0.25, collect-seed: 1.5, process-seed: 1, store-seed: 0.1,
//	      stratify: 0.25, sow: 1, check-germination: 0.25}
//	    people_days_a_week: 6      # what a full week has; weeks that want more are shown. It is of one crew for all
//	                               # sites; a site that sets it, or any of the next four, has a crew of its own
//	    weekdays: [Mon, Tue, Wed, Thu]  # on which the crew works; default: Monday to Friday
//	    closed: [2026-12-24/2027-01-01]  # days or spans on which it does not
//	    busy: [holidays.ics]       # calendars whose whole days are days off: see below
//	    terms: [2027-03-01/2027-11-30]  # spans in which there is a crew; default: all year
//	    one_drive_km: 30           # sites within so many kilometres of each other are gone to on one drive;
//	                               # default 30
//	    targets:                   # seedlings wanted of a season's seed, by species and, if wanted, seed zone:
//	      - {species: black cherry, seed_zone: River 2, seedlings: 10000}   # worked back to kilograms to bring home
//	    survive: 70                # percent of what comes up that becomes a seedling worth having; default 70
//	    scout: 6 weeks             # before the best day of collection
//	    prohibited: [acer-platanoides]  # species that may not be collected
//	    reminder: "07:00"
//	  twig-survey:
//	    from: 11-15                # the survey's own season; it may pass New Year
//	    to: 03-15
//	    closed: [2026-12-19/2027-01-03]  # days or spans on which nobody goes out
//	    hours: "09:00/11:30"       # the survey's, by the site's clocks; default 09:00/12:00; they must be light
//	    weekdays: [Tue, Thu]       # default: any
//	    terms: [2026-11-02/2027-03-19]  # spans in which a survey can be; default: any
//	    busy: [term.ics]           # calendars whose events take days, halves of days or hours: see below
//	    daylight: 9                # hours that a survey day must have; default 9
//	    coldest: -10 C             # usual temperature of the hours, at least; default -10 C; needs temperatures
//	    targets: [red maple]       # the species to be told apart; default: all of the site
//	    reminder: "07:00"
//	  field-trip:
//	    trips: 4                   # in a school year, 0 to 12; default 2
//	    year_starts: 08-01         # first day of a school year; default 08-01, south of the equator 01-01
//	    hours: "09:00/11:30"       # default 09:00/12:00
//	    travel_minutes: 25         # there, and as long back: what stands in a calendar then takes the day as well
//	    bells: "08:15/14:30"       # the school's day, which must hold the trip with both rides
//	    margin_minutes: 10         # to spare behind the return; default 0
//	    weekdays: [Tue, Wed, Thu]  # default: Monday to Friday; weekends: true adds Saturday and Sunday
//	    terms: [2027-03-15/2027-06-18]  # spans in which trips can be; default: any
//	    closed: [2027-04-05/2027-04-09]
//	    busy:
//	      - staff.ics
//	      - file: term.ics         # instead of the path alone, with your own words for its titles, whole words in
//	        taken: [Pretzel Day]   # any case: these days are closed
//	        half: [Chapel]         # these lose their afternoon, or by a title with late or delayed their morning
//	        free: [No School LHS only]  # and these are days like others
//	    spacing: 14 days           # from one trip to the next, at least; default 7
//	    most_a_month: 2            # trips in a calendar month, at most; default: any
//	    rain_within: 7 days        # of a trip, for its rain date; default 7; 0 days for none
//	    booked: [2027-05-04]       # trips made or booked: they count, the others are chosen around them
//	                               # a feed counts its own trips whose day has come as made; closed says: not made
//	    wishes:                    # what is to be seen; default: flowering, bud-break, fruit-ripe, leaf-color
//	      - see: flowering         # what follows a phase (sap-start, bud-swell, flowering, bud-break, leaf-out,
//	        weight: 2              # fruit-ripe, seed-fall, leaf-color, leaf-fall); default weight 1
//	      - see: fruit angle       # or a trait of the profiles, by organ and name
//	        species: [Norway maple]  # default: every species of the site that has it
//	    reminder: "07:00"
//	sites:                         # at least one
//	  - id: fallow-creek           # a-z 0-9 -; names the feeds: keep it for good
//	    name: Fallow Creek sugarbush
//	    short_name: Fallow Creek   # begins titles and alarms in the calendars of a plan of several sites;
//	                               # default: name
//	    color: teal                # of its events there, by its name in CSS; default: one that goes by the id
//	    latitude: 44.62            # decimal degrees, north positive
//	    longitude: -89.61          # decimal degrees, east positive
//	    elevation: 350 m           # m or ft
//	    timezone: America/Chicago  # IANA name
//	    temperatures:              # observed daily minimum and maximum, the most trusted first
//	      - file: fallow-creek.csv # or just the path
//	        format: auto           # or plain, ghcn-dly, ghcn-csv, canada-csv, grid-cell-csv
//	        unit: C                # C or F, where the file does not say: a plain CSV must
//	        station: USC00470000   # which one, in a file of several
//	        elevation: 120 m       # the station's, where it is not the site's and the file does not say
//	        setting: valley        # the thermometer stands on a valley's floor, where cold air pools: trees above
//	                               # it are not later than their height makes them; station: valley says the same
//	        shift: {tmax: -1 day}  # days to move minima or maxima by, where the file dates them wrong
//	        offset: {tmin: 1.4 C}  # degrees to add; instead of what the overlap with other files would give
//	        leave_out: {tmin: [2027-01-07]}   # days, as the file dates them, whose value is not to be used
//	      - "station-*.csv"        # a pattern: all files that fit, by name, and one at least. * is any letters, ?
//	                               # one, [0-9] one of some, in the name of the file alone. Files that the list
//	                               # names as well stand where they are named
//	      - set: sugarhouse        # a list that several sites name: temperature_sets at the top of the plan has it
//	      - url: https://example.org/daily.csv   # instead of file: fetched at every run; see --cache
//	      - service: noaa-daily    # instead of file: a station of a weather service, see below; or canada-daily
//	        station: USC00470000   # by the service's own identifier
//	    forecast:                  # used only for days after the last observed one; same keys as above. One that is
//	                               # missing, empty, damaged, more than 3 days old or far from the record is left
//	                               # out, and that is said
//	      - file: next-ten-days.csv  # without an elevation it is taken to be for the record's. Its first day is taken
//	                               # for the day it was made on
//	      - service: us-forecast   # for the United States, or norway-forecast, for any point of the world
//	        decimals: 2            # of the coordinates that it is told, 0 to 4; default 2, a kilometre
//	        address: https://example.org/weather   # a server that answers in the service's place, of records too
//	    normals:                   # monthly means of minima and maxima, used where there is no daily record
//	      {unit: C, tmin: [12 numbers], tmax: [12 numbers],
//	       elevation: 120 m}       # the station's, where it is not the site's or the file of a station, as NOAA
//	                               # publishes the U.S. climate normals (by month, in CSV): {file: normals.csv}, and
//	                               # if wanted station (in a file of several), unit (C where it is not F), elevation
//	                               # (in place of the file's)
//	    climate: none              # or built-in, the default: where there are neither temperatures nor normals, or
//	                               # a record of less than five years, dates rest on the climate of the place that
//	                               # comes with the program (North America); none leaves them to the place alone
//	    species: [acer-saccharum, red maple]    # default: every species in the library, or those of the stands
//	    stands:                                 # for seed-collection: parts of the site, each with dates of its own
//	      - id: flood-bank                      # goes into identifiers: keep it for good
//	        name: Flood bank
//	        elevation: 85 m                     # default: the site's
//	        offset: 3 days                      # spring is so much later here than the height makes it, or, below 0,
//	                                            # earlier: what comes later northward moves with it, autumn color
//	                                            # against it
//	        seed_zone: River 2                  # your own label
//	        permit: asked for, with the town    # your own words; both go into the entries
//	        landowner: R. Alder, call first
//	        species: [silver maple]             # default: the site's
//	    activities: [tapping]                   # default: all; or a map, with options for this site alone
//
// # What feeds remember
//
// A feed remembers what it told, in the file itself: keep it where it is, and keep feed_id. What it promised to ring
// for rings once, on its day or, where that was missed, on the next morning on which it is still true; an advice to tap
// is held until waiting is worth 7 % more of the catch, and a day moves only by more than can matter so far ahead. What
// moved says so, with the day on which it did and the days that it was on before. A survey of twigs stands on its best
// day, with the days on which it can be done in its text; once that day has come, it counts as made. Once the plan says
// that a thing is done or fixed (tapped, booked), that counts for more than what the feed told.
//
// # Weather services
//
// With a service in place of a file, temperatures keep themselves up to date. noaa-daily is NOAA's records of stations
// in North America and elsewhere (GHCN-Daily), canada-daily those of Environment and Climate Change Canada; us-forecast
// is the forecast of the US National Weather Service, norway-forecast MET Norway's. None wants a key. A station's
// history of thirty years is asked for once and kept; from then on some weeks are asked for, so that what its agency
// revises is taken over. Forecasts are kept for as long as their service says they stay good. Copies lie beside your
// other caches, or in the folder of --cache. When a service is down, or sends what cannot be true of the place, the
// last good copy stands in: the log says why at once, every output once a forecast is a day old or a record three.
// treewhen check says how old each is, and what was revised; treewhen check --network says what is sent, and sends
// nothing. treewhen init finds stations.
//
// All this was built from recorded answers of the services and from their documentation, without the services
// themselves at hand: should one differ, the log says so, and the rest of the plan goes on.
//
// # Alerts that are sent
//
// What rings in a calendar is also sent, by mail through a server of yours, or by a POST of JSON to an address of yours
// (see testdata/schemas/alerts.schema.json), once to each recipient. treewhen serve sends at the hour of the reminder;
// treewhen feed sends all that is due on its day, when it runs. What fails is tried again for as long as it is of use.
// Who was told of what is remembered beside the feeds, in alerts.json, without addresses: keep it as you keep them.
//
// # Many sites from a table
//
// A plan may take sites from a CSV file, beside its own or instead of them:
//
//	sites_from: grid.csv           # header id, latitude, longitude, elevation_m or elevation_ft, timezone, name
//	every_site:                    # what all of them have; any key of a site except the table's columns
//	  timezone: America/Chicago    # for a table without that column, and where its cell is empty
//	  temperatures: [{file: county.csv, elevation: 120 m}]   # read once for all
//	  species: [sugar maple, red maple]
//	  activities: [seed-collection]
//
// A column elevation has heights with their unit, such as 350 m. Columns may be in any order, and others are left
// alone. A table of thousands is gone through site by site on all cores: phases and feed take no more memory for many
// sites than for a few, schedule that of its entries.
//
// # Calendars that say when people are busy
//
// iCalendar files (RFC 5545), read by package busy. Words in a title decide what a whole day is, in English and French,
// since programs mark whole days as free or busy without asking: the first of these that fits.
//
//   - your own words, the longest first
//   - called off (Canceled:, or by its status): takes nothing
//   - school in session, possible make-up day: takes nothing
//   - no school, no classes, schools closed, student holiday, snow day, remote learning; congé, relâche, journée
//     pédagogique: takes the day, even where the event has hours
//   - early release, half day, minimum day, late start, two-hour delay; demi-journée: takes half of it. The other half
//     can be used; a time in the title is believed, else noon parts them
//   - Day 4, A Day, report cards, make-up day, first day of school: takes nothing
//   - professional development, in-service, workday, planning day, recess, vacation, holiday, spring break, or nothing
//     but the name of a public holiday: takes the day
//   - exams, testing: takes the day, or the event's hours
//   - the words for closed and half days in its categories, or at the beginning of its description
//   - anything else: takes nothing, and treewhen check lists it as not understood
//
// Other events with hours take them, if they touch the outing's, unless they are marked transparent. Events may recur,
// with exceptions, and be in any time zone, be it by the name that desktop programs give it; one in a zone that nobody
// knows is read by the site's clocks. An event without a day, or broken off, is left out, and that is said. This plan's
// own entries take nothing. treewhen check lists every event as taken, half or free.
//
// # The observations file
//
// CSV with a header: date, site, species, phase, and if wanted stage, crop and note, in any order. The site may be a
// stand of it: osier-bank/flood-bank; a row of the site alone counts for all its stands that have none of their own. A
// row with a crop (none, light, good or bumper, as scouted) needs no phase: it says how much seed there will be, not
// that it is ripe. With none, nothing is collected there that season. One row is one phase seen, on the first day on
// which the phase's definition held (see the species' profile). Who dates bud break by another sign says so in stage:
// first-bud (the first bud of the tree shows green), first-leaf (its first leaf is unfolded) or half (of the buds show
// leaves, the default); the date is moved by what lies between, and is that much less sure. Rows may be in any order.
//
// Who went out on a day and looked says in a column seen what was found: just (it came then, or a day or two before),
// before (it came earlier), not-yet, or ? (nobody looked). Only just, or nothing, dates a phase; treewhen sheet
// --format csv gives the rows of an outing to fill in.
//
// # The file of lots
//
// CSV with a header: lot, date, species, site, what, and if wanted stand, seed_zone, quantity, unit and note, in any
// order. A row is one thing that was done with one lot on one day; the lot's name is your own, and the same in all its
// rows. what is
//
//   - collected: in fruit, as it came from the tree. It comes first, and the work before it is asked for no more
//   - too-late: there was nothing left to collect; nothing more is asked for
//   - cleaned, stored; tested (percent that germinate, or percent-water); sprouting: found with roots in the store
//   - stratified: a step of its treatment began, the first, and the next in the next such row
//   - sown: all of it; give a part that is kept another name
//   - came-up: seedlings counted
//   - discarded: thrown or given away
//
// quantity is a figure, unit kg, g, lb, oz, l, gallons, bushels (US), seeds, seedlings, percent, percent-water or bags.
// What was done takes the place of what was supposed: work follows each lot by its own dates until it is sown, and
// targets ask for less by what is in hand. Rows of days after the as-of day are not looked at.
//
// # The book of sap
//
// CSV with a header: date, site, volume, unit, and if wanted sugar, syrup and note, in any order: what was gathered on
// a day, in litres or gallons (US), its sugar in percent by weight, and what syrup was boiled, in the same unit. A row
// of syrup alone has no volume. Rows may be in any order, and several may be of one day. Once two whole seasons of a
// site are in, the volumes that are expected of runs there are tuned to them; and, where that foretells each season
// better that is left out, how long holes last (unless the plan says so) and from which night and day a run day counts
// for volumes.
//
// # Limits
//
// What is larger is refused before it costs more time or memory: a plan of 16 MiB or 100000 sites, a table of sites of
// 32 MiB, an observations file of 64 MiB, a file of lots or a book of sap of 16 MiB, a calendar of 32 MiB or 100000
// events, a species profile of 16 MiB, a file of temperatures of 512 MiB when unpacked, or of 64 MiB as it is fetched
// over the web.
package planfile
